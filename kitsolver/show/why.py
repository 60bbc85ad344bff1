"""Explanations for people at a terminal and for programs: why no kit, why not this row."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from kitsolver.brief.brief import Brief
from kitsolver.explain.changed import came
from kitsolver.explain.why_not import Verdict, WhyNot
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import sum_text
from kitsolver.show.json_record import (
    JsonObject,
    bound_record,
    kit_figures_record,
    no_kit_record,
    skipped_records,
)
from kitsolver.show.named import listed, named, names_of
from kitsolver.show.sentences import figure_text
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.terminal import show_no_kit
from kitsolver.solve.outcome import Kit


def show_why_not(found: WhyNot, console: Console) -> None:
    """Print why a row is not in the best kit."""
    console.print(Text(named(found.sku, _names(found)), style="bold"))
    for sentence in why_not_sentences(found):
        console.print(f"  {sentence}", highlight=False)
    if found.why is not None:
        whose = f"With {found.sku}" if found.best else ""
        show_no_kit(found.why, found.row_counts, console, whose)
        return
    for sentence in skipped_sentences(found.row_counts):
        console.print(sentence, highlight=False)


def why_not_record(found: WhyNot) -> JsonObject:
    """Return the record of why a row is not in the best kit, schema ``kitsolver/why/1``."""
    brief = found.brief
    return {
        "schema": "kitsolver/why/1",
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "sku": found.sku,
        "verdict": str(found.verdict),
        "barred": list(found.barred),
        "best": _kit(found.best, brief),
        "with_it": _kit(found.with_it, brief),
        "without": _kit(found.without, brief),
        "price": None if found.price is None else to_text(found.price, brief.currency),
        "quality": None if found.quality is None else found.quality / 100,
        "says": list(why_not_sentences(found)),
        "why": None if found.why is None else no_kit_record(found.why, brief.currency),
        "skipped": skipped_records(found.row_counts),
        "names": _names(found),
        "bound": None if found.bound is None else bound_record(found.bound, brief.currency),
        "complete": found.complete,
    }


def _names(found: WhyNot) -> dict[str, str]:
    """Return the names of the row and of all rows of the kits that are compared, by sku."""
    kits = (kit.lines for kit in (found.best, found.with_it, found.without) if kit is not None)
    own = {found.sku: found.name} if found.name else {}
    return own | names_of(*kits)


def _kit(kit: Kit | None, brief: Brief) -> JsonObject | None:
    return None if kit is None else kit_figures_record(kit, brief)


def why_not_sentences(found: WhyNot) -> Iterator[str]:
    """Tell why a row is in the best kit, or why not."""
    yield from standing_sentences(found)
    if found.verdict is Verdict.IN and found.best and found.without:
        yield from _without(found, found.best, found.without)
    if found.best and found.with_it:
        yield from _compared(found, found.best, found.with_it)
    yield from break_even_sentences(found)


def standing_sentences(found: WhyNot) -> Iterator[str]:
    """Tell whether a row is in the best kit, or what bars it."""
    if found.verdict is Verdict.UNKNOWN:
        yield from _not_known(found)
    if found.verdict is Verdict.IN and found.best:
        yield "It is in the best kit."
        if found.without is None and found.complete:
            yield "Without it there is no kit under the cap."
        elif found.without is None:
            yield "Time ran out before it was known what would be best without it."
    elif found.verdict is Verdict.BARRED:
        yield from found.barred or ["No kit under the cap can hold it."]
    elif found.verdict in (Verdict.REFUSED, Verdict.PASSED_OVER):
        yield from found.barred
    elif found.verdict is Verdict.BEATEN:
        yield "It may be in a kit, but the best kit is better without it."


def _not_known(found: WhyNot) -> Iterator[str]:
    """Tell how far the search came before time ran out."""
    if found.best and found.bound:
        sums = figure_text(found.best.figures.quality), figure_text(found.bound.quality)
        yield "Time ran out before the best kit was proven, so it is not known whether it is in it."
        yield f"The best kit found so far has quality {sums[0]}; no kit has more than {sums[1]}."
        return
    yield "It is not in the best kit. Time ran out before it was known why."


def _without(found: WhyNot, best: Kit, without: Kit) -> Iterator[str]:
    yield f"Without it the best kit has {_figures(without, best, found.brief)}."
    if new := came(without, best):
        names = _names(found)
        gone = listed(came(best, without), names)
        yield f"In place of {gone} would come {listed(new, names)}."


def _figures(kit: Kit, best: Kit, brief: Brief) -> str:
    """Return the figures of a kit beside those of the best."""
    mine, other = kit.figures, best.figures
    rows = (
        ("quality", figure_text(mine.quality), figure_text(other.quality)),
        ("extras", figure_text(mine.extras), figure_text(other.extras)),
        ("payable", sum_text(mine.payable, brief), sum_text(other.payable, brief)),
    )
    parts = [
        f"{name} {one}" + (" as well" if one == another else f" instead of {another}")
        for name, one, another in rows
    ]
    return f"{parts[0]}, {parts[1]}, and {parts[2]}"


def _compared(found: WhyNot, best: Kit, with_it: Kit) -> Iterator[str]:
    names = _names(found)
    yield f"With it the best kit has {_figures(with_it, best, found.brief)}."
    new, gone = (listed(skus, names) for skus in (came(with_it, best), came(best, with_it)))
    yield f"It would bring {new}" + (f" for {gone}." if gone else ".")


def break_even_sentences(found: WhyNot) -> Iterator[str]:
    """Tell at which price or quality a row would be in the best kit."""
    currency, ways = found.brief.currency, []
    if found.price is not None:
        ways.append(f"at a price of {to_text(found.price, currency)} {currency} or less")
    if found.quality is not None:
        ways.append(f"with a quality of {found.quality / 100:g} or more")
    if ways:
        yield f"It would be in the best kit {', or '.join(ways)}."
    if not found.complete and found.verdict is Verdict.BEATEN:
        yield "Time ran out before it was known at which price it would be in the best kit."
