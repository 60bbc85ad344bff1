"""Other kits beside the best one, on the terminal and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.console import Console
from rich.text import Text

from kitsolver.brief.brief import Brief
from kitsolver.explain.changed import came
from kitsolver.explain.lines import Instead
from kitsolver.explain.others import Others
from kitsolver.explain.reach import Reached
from kitsolver.shop.money import to_text
from kitsolver.show.json_record import JsonObject, kit_figures_record
from kitsolver.show.sentences import figure_text
from kitsolver.show.skipped import skipped_records, skipped_sentences
from kitsolver.show.tables import headed_table
from kitsolver.solve.outcome import Kit


def show_others(
    found: Others, reached: Sequence[Reached], lines: Sequence[Instead], console: Console
) -> None:
    """Print the other kits, the kits just above the cap, and what could replace each line.

    Parameters
    ----------
    found : Others
        The best kit and the others.
    reached : sequence of Reached
        Kits that a little more money would buy.
    lines : sequence of Instead
        For each line of the best kit, the kits without it.
    console : Console
        Where they are printed.
    """
    brief, (best, *rest) = found.brief, found.kits
    console.print(Text(brief.title or "A kit", style="bold"))
    console.print()
    _table(console, "The best kit, and others that come close", _kits(best, rest, brief))
    if not rest:
        console.print("There is no other kit that differs enough.", highlight=False)
    if not found.complete:
        console.print("Time ran out before all of them were found.", highlight=False)
    if reached:
        console.print()
        _table(console, "Just out of reach", _reached(best, reached, brief))
    for one in lines:
        console.print()
        console.print(Text(f"{one.line.sku}, {_sum(one.line.total, brief)}", style="bold"))
        for sentence in _instead(one, best, brief):
            console.print(f"  {sentence}", highlight=False)
    if sentences := list(skipped_sentences(found.row_counts)):
        console.print()
        for sentence in sentences:
            console.print(sentence, highlight=False)


def others_record(
    found: Others, reached: Sequence[Reached], lines: Sequence[Instead] | None
) -> JsonObject:
    """Return the other kits as a JSON object, schema ``kitsolver/others/1``."""
    brief, (best, *rest) = found.brief, found.kits
    record: JsonObject = {
        "schema": "kitsolver/others/1",
        "title": brief.title,
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "best": comparison_record(best, best, brief),
        "others": [comparison_record(kit, best, brief) for kit in rest],
        "complete": found.complete,
        "skipped": skipped_records(found.row_counts),
        "out_of_reach": [
            {
                "cap": to_text(one.cap, brief.currency),
                "missing": to_text(one.cap - brief.total_cap, brief.currency),
                **comparison_record(one.kit, best, brief),
            }
            for one in reached
        ],
    }
    if lines is not None:
        record["lines"] = [
            {
                "sku": one.line.sku,
                "line_total": to_text(one.line.total, brief.currency),
                "replaced": one.replaced and comparison_record(one.replaced, best, brief),
                "given_up": one.given_up and comparison_record(one.given_up, best, brief),
            }
            for one in lines
        ]
    return record | {"brief": brief.model_dump(mode="json")}


def comparison_record(kit: Kit, best: Kit, brief: Brief) -> JsonObject:
    """Return the figures of a kit, and which skus it has and lacks beside the best."""
    return {
        **kit_figures_record(kit, brief.currency),
        "came": list(came(kit, best)),
        "went": list(came(best, kit)),
    }


def _table(console: Console, title: str, rows: Iterable[Sequence[str]]) -> None:
    table = headed_table()
    for name in ("payable", "quality", "extras"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("what is in it", overflow="fold")
    for row in rows:
        table.add_row(*map(Text, row))
    console.print(Text(title, style="bold"))
    console.print(table)


def _kits(best: Kit, rest: Sequence[Kit], brief: Brief) -> Iterator[Sequence[str]]:
    needs = (line.sku for line in best.lines if line.role == "need")
    yield *_figures(best, brief), ", ".join(needs)
    for kit in rest:
        yield *_figures(kit, brief), _changes(kit, best)


def _reached(best: Kit, reached: Sequence[Reached], brief: Brief) -> Iterator[Sequence[str]]:
    for one in reached:
        missing = _sum(one.cap - brief.total_cap, brief)
        yield *_figures(one.kit, brief), f"{missing} more: {_changes(one.kit, best)}"


def _figures(kit: Kit, brief: Brief) -> tuple[str, str, str]:
    figures = kit.figures
    paid = to_text(figures.payable, brief.currency)
    return paid, figure_text(figures.quality), figure_text(figures.extras)


def _changes(kit: Kit, best: Kit) -> str:
    new, gone = came(kit, best), came(best, kit)
    comes = ", ".join(new) or "nothing new"
    return f"{comes} for {', '.join(gone)}" if gone else comes


def _instead(one: Instead, best: Kit, brief: Brief) -> Iterator[str]:
    if one.replaced is None:
        yield "Nothing else goes in its place while the other lines stay."
    else:
        figures, before = one.replaced.figures, best.figures
        yield (
            f"In its place: {', '.join(came(one.replaced, best)) or 'nothing new'}; quality "
            f"{figure_text(figures.quality)} instead of {figure_text(before.quality)}, payable "
            f"{_sum(figures.payable, brief)} instead of {_sum(before.payable, brief)}."
        )
    if one.given_up is not None:
        new = ", ".join(came(one.given_up, best)) or "nothing better"
        yield f"Without it, its money could buy {new}."


def _sum(minor: int, brief: Brief) -> str:
    return f"{to_text(minor, brief.currency)} {brief.currency}"
