"""A kit in one file, to be sent: without anything that is the shop's own business.

The file is the customer's sheet with the brief and the kit's record below it, as text. It can be
handed in again: the record is found in it.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import non_defaults, toml_of
from kitsolver.brief.reading import brief_of
from kitsolver.explain.answer import answer
from kitsolver.explain.recheck.at_home import with_home_of
from kitsolver.explain.recheck.recheck import recheck
from kitsolver.explain.recheck.saved import saved_in
from kitsolver.page.catalogue_to_read import CatalogueToRead, catalogue_of
from kitsolver.page.tasks import PICKING, SEARCHING
from kitsolver.show.json_record import JsonObject, json_text
from kitsolver.show.kit_record import record_of
from kitsolver.show.recheck import mend_sentences, recheck_sentences
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.sheet import Reader, sheet_html
from kitsolver.show.sheet.texts import texts

# A column that only the shop knows, and the table of a brief that only the shop writes.
_SECRET_COLUMN, _SECRET_TABLE = "trade_cost", "shop"
_RECORD = re.compile(r'<pre id="kit-record">(.*?)</pre>', re.DOTALL)


def shared_brief(brief: Brief) -> Brief:
    """Return a brief without what the shop asks for itself."""
    data = non_defaults(brief)
    data.pop(_SECRET_TABLE, None)
    return brief_of(_without_secrets(data))


def _without_secrets(value: Any) -> Any:
    """Return data without what names the column that only the shop knows."""
    if isinstance(value, Mapping):
        return {key: _without_secrets(held) for key, held in value.items() if key != _SECRET_COLUMN}
    if isinstance(value, list):
        tables = [one for one in value if not _names_secret(one)]
        return [_without_secrets(one) for one in tables]
    return value


def _names_secret(value: Any) -> bool:
    """Tell whether a rule of one's own speaks of the column that only the shop knows."""
    return isinstance(value, Mapping) and _SECRET_COLUMN in json.dumps(value, default=str)


def shared_record(record: JsonObject, brief: Brief) -> JsonObject:
    """Return the record of a kit without what is the shop's own business."""
    checks = [check for check in record["checks"] if not _about_secret(check)]
    kept = {key: value for key, value in record.items() if key != "margin"}
    shared = brief.model_dump(mode="json")
    del shared[_SECRET_TABLE]
    return kept | {"checks": checks, "brief": shared}


def _about_secret(check: Mapping[str, Any]) -> bool:
    return check["rule"] == "margin" or _SECRET_COLUMN in json.dumps(check)


def friend_html(source: CatalogueToRead, brief: Brief, paper: Paper) -> str:
    """Return the file of the best kit, of a brief that is not shared as it is."""
    catalogue = catalogue_of(source)
    shared = shared_brief(brief)
    outcome, why = answer(catalogue, brief, seconds=PICKING)
    sheet = sheet_html(outcome, why, None, Reader.CUSTOMER, 1, replace(paper, catalogue=catalogue))
    t = texts("kitsolver.page").friend
    record = shared_record(record_of(outcome, why), shared)
    below = (
        f'<details class="beside"><summary>{t.brief}</summary>'
        f"<pre>{html.escape(toml_of(shared))}</pre></details>"
        f'<details class="beside"><summary>{t.kit}</summary>'
        f'<pre id="kit-record">{html.escape(json_text(record))}</pre></details></main>'
    )
    head, _, tail = sheet.rpartition("</main>")
    return head + below + tail


def record_in(text: str) -> str:
    """Return the record in a saved kit as JSON: of a JSON file, or of a file for a friend."""
    found = _RECORD.search(text)
    return html.unescape(found[1]) if found else text


@dataclass(frozen=True)
class Rechecked:
    """What became of a saved kit.

    Parameters
    ----------
    brief : Brief
        What it was picked for.
    stands : bool
        Whether it can be had as it was.
    says : tuple of str
        What changed, and how it compares with today's best.
    mend : tuple of str
        What to take out and to put in; empty if it stands.
    saved, nearest, best : tuple of str
        The skus of its lines, of the kit nearest to it, and of the best kit; empty if there is
        none.
    """

    brief: Brief
    stands: bool
    says: tuple[str, ...]
    mend: tuple[str, ...]
    saved: tuple[str, ...]
    nearest: tuple[str, ...]
    best: tuple[str, ...]


def rechecked(source: CatalogueToRead, text: str) -> Rechecked:
    """Return what became of a saved kit; a task of worker processes.

    Raises
    ------
    BadInput
        If it is no saved kit.
    """
    saved = saved_in(record_in(text).encode(), "the saved kit")
    catalogue = catalogue_of(source.priced_in(saved.brief.currency))
    saved, catalogue, _ = with_home_of(saved, catalogue)
    found = recheck(saved, catalogue, seconds=SEARCHING)
    mend = mend_sentences(found, found.nearest) if found.nearest else ()
    lines = (found.saved.lines, *(kit.lines if kit else () for kit in (found.nearest, found.best)))
    skus = (tuple(line.sku for line in each) for each in lines)
    says = tuple(sentence.strip() for sentence in recheck_sentences(found))
    return Rechecked(found.brief, found.stands, says, tuple(mend), *skus)
