"""``kitsolver why``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import command_errors, console, read_both
from kitsolver.cli.options import (
    BriefFile,
    CapText,
    CatalogueFile,
    Columns,
    JsonFile,
    Seconds,
    Sets,
    SkipBadRows,
)


def why(
    catalogue: CatalogueFile,
    brief: BriefFile,
    sku: Annotated[
        str | None, typer.Argument(metavar="SKU", help="The row to ask after.", show_default=False)
    ] = None,
    cap: CapText = None,
    sets: Sets = None,
    json: JsonFile = None,
    seconds: Seconds = None,
    columns: Columns = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Say why there is no kit, or why not with SKU."""
    with command_errors():
        from kitsolver.explain.answer import answer
        from kitsolver.explain.why_not import why_not
        from kitsolver.show.files import STANDARD_OUTPUT, write_whole
        from kitsolver.show.json_record import json_text
        from kitsolver.show.kit_record import record_of
        from kitsolver.show.terminal import show_no_kit
        from kitsolver.show.why import show_why_not, why_not_record

        asked, goods = read_both(catalogue, brief, sets or [], cap, columns, skip_bad_rows)
        if sku is not None:
            found = why_not(goods, asked, sku, seconds=seconds)
            record = why_not_record(found)
        else:
            outcome, reasons = answer(goods, asked, seconds=seconds)
            record = record_of(outcome, reasons)
        if json is not None:
            write_whole(json, json_text(record))
        if json == STANDARD_OUTPUT:
            return
        if sku is not None:
            show_why_not(found, console())
        elif reasons is not None:
            show_no_kit(reasons, console())
        else:
            told = f"There is a kit, of {len(outcome.kit.lines) if outcome.kit else 0} lines."
            console().print(told, highlight=False)
            console().print("hint: name a SKU to ask why it is not in it", highlight=False)
