"""A saved kit held against today's catalogue, on the terminal and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from rich.console import Console
from rich.text import Text

from kitsolver.explain.recheck.line_changes import LineChange
from kitsolver.explain.recheck.recheck import Recheck
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import sum_text
from kitsolver.show.json_record import (
    JsonObject,
    check_records,
    figure_number,
    kit_figures_record,
    skipped_records,
)
from kitsolver.show.named import listed, named, names_of
from kitsolver.show.sentences import figure_text
from kitsolver.show.skipped import skipped_sentences
from kitsolver.solve.outcome import Kit


def show_recheck(found: Recheck, mended: Kit | None, console: Console) -> None:
    """Print what changed, whether the kit still stands, and how to mend it into `mended`."""
    console.print(Text(found.brief.title or "A saved kit", style="bold"))
    for sentence in recheck_sentences(found):
        console.print(sentence, highlight=False)
    if not found.stands and not found.complete and found.nearest is None:
        console.print("Time ran out before the smallest change was known.", highlight=False)
    if mended is not None:
        for sentence in mend_sentences(found, mended):
            console.print(sentence, highlight=False)
    for sentence in skipped_sentences(found.row_counts):
        console.print(sentence, highlight=False)


def recheck_sentences(found: Recheck) -> Iterator[str]:
    """Yield what changed, whether the kit still stands, and how it compares with today's best."""
    return chain(_change_sentences(found), _standing_sentences(found), _best_sentences(found))


def recheck_record(found: Recheck, mended: Kit | None) -> JsonObject:
    """Return a recheck as a JSON object, schema ``kitsolver/recheck/1``."""
    brief, today = found.brief, found.today
    figures: JsonObject | None = None
    if today is not None:
        figures = {
            "payable": to_text(today.payable, brief.currency),
            "quality": figure_number(today.quality),
            "extras_quality": figure_number(today.extras),
        }
    return {
        "schema": "kitsolver/recheck/1",
        "title": brief.title,
        "currency": brief.currency,
        "stands": found.stands,
        "still_best": found.still_best,
        "changes": [
            {"sku": change.sku, "what": change.what, "before": change.before, "now": change.now}
            for change in found.changes
        ],
        "checks": check_records(found.checks),
        "saved": {"payable": to_text(found.saved.payable, brief.currency)},
        "today": figures,
        "best": _kit(found.best, found),
        "nearest": _kit(found.nearest, found),
        "mend": _kit(mended, found),
        "names": _names(found),
        "skipped": skipped_records(found.row_counts),
        "complete": found.complete,
    }


def _kit(kit: Kit | None, found: Recheck) -> JsonObject | None:
    if kit is None:
        return None
    return {
        **kit_figures_record(kit, found.brief),
        "came": _came(kit, found),
        "went": _went(kit, found),
        "units": [
            {"sku": sku, "before": before, "now": now} for sku, before, now in _units(kit, found)
        ],
    }


def _names(found: Recheck) -> dict[str, str]:
    """Return the names of all rows of the saved kit and of today's, by sku."""
    today = (kit.lines for kit in (found.best, found.nearest) if kit is not None)
    return names_of(found.saved.lines, *today)


def _came(kit: Kit, found: Recheck) -> list[str]:
    saved = {line.sku for line in found.saved.lines}
    return [line.sku for line in kit.lines if line.sku not in saved]


def _went(kit: Kit, found: Recheck) -> list[str]:
    held = {line.sku for line in kit.lines}
    return [line.sku for line in found.saved.lines if line.sku not in held]


def _units(kit: Kit, found: Recheck) -> Iterator[tuple[str, int, int]]:
    saved = {line.sku: line.units for line in found.saved.lines}
    for line in kit.lines:
        if line.units != saved.get(line.sku, line.units):
            yield line.sku, saved[line.sku], line.units


_CHANGES = {
    "vanished": "is no longer in the catalogue",
    "category": "was of category {before} and is of {now}",
    "price": "cost {before} and now costs {now}",
    "quality": "had a quality of {before} and has {now}",
    "stock": "is short: {before} needed, {now} in stock",
}


def _change_sentences(found: Recheck) -> Iterator[str]:
    names = _names(found)
    if not found.changes:
        yield "Nothing has changed about its lines."
    for change in found.changes:
        yield f"  {named(change.sku, names)} {_change_text(change)}."


def _change_text(change: LineChange) -> str:
    return _CHANGES[change.what].format(before=change.before, now=change.now)


def _standing_sentences(found: Recheck) -> Iterator[str]:
    if found.stands:
        now = sum_text(found.today.payable, found.brief) if found.today else ""
        before = sum_text(found.saved.payable, found.brief)
        same = "as before" if now == before else f"instead of {before}"
        yield f"The kit still stands: it comes to {now} {same}."
        return
    if found.today is None:
        yield "The kit no longer stands, for not all of its lines are there."
        return
    yield "The kit no longer stands:"
    for check in found.checks:
        if check.holds is False:
            yield f"  {check.rule}: {check.detail}."


def _best_sentences(found: Recheck) -> Iterator[str]:
    if found.still_best:
        yield "It is still the best there is."
    elif found.best is None and not found.proven:
        yield "Time ran out before the best kit of today was known."
    elif found.best is None:
        yield "Today no kit meets its brief at all: kitsolver why tells what is in the way."
    elif found.stands and found.today is not None:
        best, today = found.best.figures, found.today
        which = "The best kit today" if found.proven else "The best kit found today"
        sums = (sum_text(one.payable, found.brief) for one in (best, today))
        yield (
            f"{which} has quality {figure_text(best.quality)} "
            f"against its {figure_text(today.quality)}, "
            f"extras {figure_text(best.extras)} against {figure_text(today.extras)}, and comes to "
            f"{' against '.join(sums)}."
        )


def mend_sentences(found: Recheck, kit: Kit) -> Iterator[str]:
    """Yield what to take out and to put in so that a saved kit becomes `kit`."""
    came, went, names = _came(kit, found), _went(kit, found), _names(found)
    parts = [f"take out {listed(went, names)}"] if went else []
    parts += [f"put in {listed(came, names)}"] if came else []
    parts += [
        f"take {now} of {named(sku, names)} instead of {was}"
        for sku, was, now in _units(kit, found)
    ]
    if parts:
        mend = ", and ".join(parts)
        yield f"To mend it, {mend}." if not found.stands else f"To get there, {mend}."
    else:
        yield "The same lines make a kit that stands, once it is picked again."
    quality, extras = figure_text(kit.figures.quality), figure_text(kit.figures.extras)
    paid = sum_text(kit.figures.payable, found.brief)
    yield f"It then has quality {quality}, extras {extras}, and comes to {paid}."
