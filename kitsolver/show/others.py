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
from kitsolver.show.a_head import a_head_text, sum_text
from kitsolver.show.json_record import JsonObject, bound_record, kit_figures_record, skipped_records
from kitsolver.show.named import Names, changes, listed, named, names_of
from kitsolver.show.sentences import figure_text
from kitsolver.show.skipped import skipped_sentences
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
    names = _names(found, reached, lines)
    if found.bound is not None:
        _table(console, "The best kit found so far", _kits(best, rest, names), brief)
        above = figure_text(found.bound.quality)
        console.print(
            f"Time ran out before it was proven best. No kit has a quality above {above}.",
            highlight=False,
        )
        return
    title = "The best kit, and others that come close"
    _table(console, title, _kits(best, rest, names), brief)
    if not rest and found.complete:
        console.print("There is no other kit that differs enough.", highlight=False)
    if not found.complete:
        console.print("Time ran out before all of them were found.", highlight=False)
    if reached:
        console.print()
        _table(console, "Just out of reach", _reached(best, reached, brief, names), brief)
    for one in lines:
        console.print()
        line = f"{named(one.line.sku, names)}, {sum_text(one.line.total, brief)}"
        console.print(Text(line, style="bold"))
        for sentence in _instead(one, best, brief, names):
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
        "bound": None if found.bound is None else bound_record(found.bound, brief.currency),
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
    record["names"] = _names(found, reached, lines)
    return record | {"brief": brief.model_dump(mode="json")}


def comparison_record(kit: Kit, best: Kit, brief: Brief) -> JsonObject:
    """Return the figures of a kit, and which skus it has and lacks beside the best."""
    return {
        **kit_figures_record(kit, brief),
        "came": list(came(kit, best)),
        "went": list(came(best, kit)),
    }


def _names(
    found: Others, reached: Sequence[Reached], lines: Sequence[Instead] | None
) -> dict[str, str]:
    """Return the names of all rows of the kits that are compared, by sku."""
    instead = [kit for one in lines or () for kit in (one.replaced, one.given_up) if kit]
    kits = (*found.kits, *(one.kit for one in reached), *instead)
    return names_of(*(kit.lines for kit in kits))


def _table(
    console: Console, title: str, rows: Iterable[tuple[int, Kit, str]], brief: Brief
) -> None:
    """Print kits with their figures; a row is a sum, the kit, and what is told of it."""
    table = headed_table()
    heads = ("a head",) if brief.heads > 1 else ()
    for name in ("payable", *heads, "quality", "extras"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("came (+) and went (−)", overflow="fold")
    for payable, kit, told in rows:
        each = a_head_text(payable, brief)
        table.add_row(
            to_text(payable, brief.currency),
            *([] if each is None else [each]),
            figure_text(kit.figures.quality),
            figure_text(kit.figures.extras),
            Text(told),
        )
    console.print(Text(title, style="bold"))
    console.print(table)


def _kits(best: Kit, rest: Sequence[Kit], names: Names) -> Iterator[tuple[int, Kit, str]]:
    needs = (named(line.sku, names) for line in best.lines if line.role == "need")
    yield best.figures.payable, best, "\n".join(needs)
    for kit in rest:
        yield kit.figures.payable, kit, _changes(kit, best, names)


def _reached(
    best: Kit, reached: Sequence[Reached], brief: Brief, names: Names
) -> Iterator[tuple[int, Kit, str]]:
    for one in reached:
        missing = sum_text(one.cap - brief.total_cap, brief)
        told = f"{missing} more\n{_changes(one.kit, best, names)}"
        yield one.kit.figures.payable, one.kit, told


def _changes(kit: Kit, best: Kit, names: Names) -> str:
    return changes(came(kit, best), came(best, kit), names) or "the same rows"


def _instead(one: Instead, best: Kit, brief: Brief, names: Names) -> Iterator[str]:
    if one.replaced is None:
        yield "Nothing else goes in its place while the other lines stay."
    else:
        figures, before = one.replaced.figures, best.figures
        yield (
            f"In its place: {listed(came(one.replaced, best), names) or 'nothing new'}; quality "
            f"{figure_text(figures.quality)} instead of {figure_text(before.quality)}, payable "
            f"{sum_text(figures.payable, brief)} instead of {sum_text(before.payable, brief)}."
        )
    if one.given_up is not None:
        new = listed(came(one.given_up, best), names) or "nothing better"
        yield f"Without it, its money could buy {new}."
