"""A ladder on the terminal, as JSON and as CSV."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rich.console import Console
from rich.table import Table
from rich.text import Text

from kitsolver.explain.ladder import Ladder, LadderRung
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import a_head_text
from kitsolver.show.csv_text import csv_text
from kitsolver.show.json_record import JsonObject, figure_number, no_kit_record, skipped_records
from kitsolver.show.named import changes, names_of
from kitsolver.show.sentences import figure_text
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.tables import headed_table
from kitsolver.show.terminal import show_no_kit

# The characters of a bar for a quality of 100.
_BAR = 12
# How far up a ladder goes is an option of its own.
_CAP = "--to"
_COLUMNS = ("cap", "payable", "quality", "extras_quality", "skus", "came", "went")


def show_ladder(ladder: Ladder, console: Console, *, main: bool = False) -> None:
    """Print every rung, or with `main` only those at which quality rises, with a bar for it."""
    brief = ladder.brief
    low, high = (to_text(cap, brief.currency) for cap in (ladder.low, ladder.high))
    heads = "" if brief.heads == 1 else f", {brief.heads} heads"
    console.print(Text(brief.title or "A kit", style="bold"))
    console.print(f"Caps from {low} to {high} {brief.currency}{heads}", highlight=False)
    if ladder.why is not None:
        show_no_kit(ladder.why, ladder.row_counts, console, cap_option=_CAP)
        return
    console.print()
    console.print(_table(ladder.main if main else ladder.rungs, ladder))
    console.print()
    # The first rung is the kit at the lower cap: quality does not rise there.
    rises = sum(rung.main for rung in ladder.rungs[1:])
    ending = f"Rungs {len(ladder.rungs)}, each proven best; quality rises at {rises} of them."
    if not ladder.complete:
        cut = to_text(ladder.proven_from, brief.currency)
        ending += f" Time ran out: below {cut} {brief.currency} there may be others."
    console.print(ending, highlight=False)
    for sentence in skipped_sentences(ladder.row_counts):
        console.print(sentence, highlight=False)


def ladder_record(ladder: Ladder) -> JsonObject:
    """Return a ladder as a JSON object, schema ``kitsolver/ladder/1``."""
    currency = ladder.brief.currency
    record: JsonObject = {
        "schema": "kitsolver/ladder/1",
        "title": ladder.brief.title,
        "currency": currency,
        "from": to_text(ladder.low, currency),
        "to": to_text(ladder.high, currency),
        "proven_from": to_text(ladder.proven_from, currency),
        "skipped": skipped_records(ladder.row_counts),
        "rungs": [
            {
                "cap": to_text(rung.cap, currency),
                "payable": to_text(rung.kit.receipt.payable, currency),
                "a_head": a_head_text(rung.kit.receipt.payable, ladder.brief),
                "quality": figure_number(rung.kit.figures.quality),
                "extras_quality": figure_number(rung.kit.figures.extras),
                "skus": list(rung.skus),
                "came": list(rung.came),
                "went": list(rung.went),
            }
            for rung in ladder.rungs
        ],
    }
    record["names"] = _names(ladder.rungs)
    if ladder.why is not None:
        record["why"] = no_kit_record(ladder.why, ladder.brief.currency, _CAP)
    return record | {"brief": ladder.brief.model_dump(mode="json")}


def ladder_csv(ladder: Ladder) -> str:
    """Return the rungs as CSV (RFC 4180), with ``;`` between skus."""
    rungs = ladder_record(ladder)["rungs"]
    cells = ((rung[column] for column in _COLUMNS) for rung in rungs)
    rows = ([";".join(cell) if isinstance(cell, list) else cell for cell in row] for row in cells)
    return csv_text(_COLUMNS, rows)


def _table(rungs: Sequence[LadderRung], ladder: Ladder) -> Table:
    table = headed_table()
    brief, names = ladder.brief, _names(rungs)
    table.add_column("cap", justify="right", no_wrap=True)
    if brief.heads > 1:
        table.add_column("a head", justify="right", no_wrap=True)
    table.add_column("quality", justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    table.add_column("extras", justify="right", no_wrap=True)
    table.add_column("came (+) and went (−)", overflow="fold", ratio=1)
    for rung in rungs:
        kit = rung.kit
        each = a_head_text(rung.cap, brief)
        table.add_row(
            to_text(rung.cap, brief.currency),
            *([] if each is None else [each]),
            figure_text(kit.figures.quality),
            Text(bar(kit.figures.quality), style="cyan"),
            figure_text(kit.figures.extras),
            # The first kit is listed whole, for nothing stands before it.
            Text(changes(rung.came, rung.went, names)),
        )
    return table


def _names(rungs: Sequence[LadderRung]) -> dict[str, str]:
    """Return the names of all rows of the kits of some rungs, by sku."""
    return names_of(*(rung.kit.lines for rung in rungs))


def bar(quality: Fraction) -> str:
    """Return a quality from 0 to 100 as a bar of blocks, in steps of an eighth of a block."""
    eighths = int(quality * _BAR * 8 / 100)
    return "█" * (eighths // 8) + " ▏▎▍▌▋▊▉"[eighths % 8].strip()
