"""The picking sheet and the buying list of every kit of a range."""

from __future__ import annotations

from pathlib import Path

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput
from kitsolver.show.buying_list import buying_list
from kitsolver.show.files import Unwritable, write_whole
from kitsolver.show.range import outcome_of
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.sheet import Reader, sheet_html
from kitsolver.solve.ranges.range import RangeOutcome


def write_sheets(folder: str, found: RangeOutcome, catalogue: Catalogue) -> None:
    """Write ``NAME.html`` and ``NAME.csv`` for each kit into a folder, which is made if missing.

    Raises
    ------
    BadInput
        If a file cannot be written there.
    """
    try:
        Path(folder).mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        detail = (fault.strerror or "unwritable").lower()
        raise BadInput([Unwritable(file=folder, detail=detail)]) from None
    for asked, kit in zip(found.asked.kits, found.kits, strict=False):
        outcome = outcome_of(asked, kit, found)
        name = str(Path(folder) / asked.name)
        sheet = sheet_html(outcome, reader=Reader.SHOP, copies=asked.copies, paper=Paper(catalogue))
        write_whole(f"{name}.html", sheet)
        write_whole(f"{name}.csv", buying_list(outcome, catalogue))
