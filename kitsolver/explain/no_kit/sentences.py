"""A conflict in words: because of this, and because of that, with skus, rows and sums."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitsolver.brief.brief import Conditions
from kitsolver.brief.reading import brief_of
from kitsolver.craft.needles import suiting
from kitsolver.explain.barring import barring
from kitsolver.explain.no_kit.demands import Demand
from kitsolver.explain.no_kit.relaxed_brief import Asking, smallest
from kitsolver.shop.money import to_text
from kitsolver.solve.candidates.candidate import Needle
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import fabric_units
from kitsolver.solve.pick import pick
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.rules.conditions import meeting

_CONDITIONS = ("only", "tags_any", "tags_none", "max_price", "min_quality")


def sentences(conflict: Sequence[Demand], asking: Asking) -> Iterator[str]:
    """Yield what stands in the way of a kit, the reasons first and then what they come to."""
    candidates = asking.candidates
    if not conflict:
        yield from _nothing(asking)
        return
    empty = _emptied(conflict, candidates)
    start = f"Nothing is left for {empty}" if empty else "There is no kit"
    yield f"{start}, {listed([f'because {demand.says}' for demand in conflict])}."
    if empty:
        yield from _meeting(empty, conflict, asking)
    yield from _kept(candidates, asking)
    kinds = {demand.kind for demand in conflict}
    if "cap" in kinds:
        yield from _sums(asking)
    elif not empty:
        yield from apart(candidates)
    if "stock" in kinds and not empty:
        yield from _short(asking)


def listed(parts: Sequence[str]) -> str:
    """Return parts of a sentence as one."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])}, and {parts[-1]}"


def _emptied(conflict: Sequence[Demand], candidates: Candidates) -> str:
    """Return the need that the conflict leaves without a row, if it is about one need alone."""
    needs = {demand.need for demand in conflict if demand.kind in _CONDITIONS}
    others = [demand for demand in conflict if demand.kind not in (*_CONDITIONS, "stock")]
    need = needs.pop() if len(needs) == 1 and not others else ""
    return need if need in candidates.needs and not candidates.needs[need] else ""


def _meeting(need: str, conflict: Sequence[Demand], asking: Asking) -> Iterator[str]:
    """Tell how many rows of a need meet each condition alone."""
    catalogue, asked = asking.least.catalogue, asking.brief.need(need)
    shelf = catalogue.shelves.get(need)
    conditions = [demand for demand in conflict if demand.kind in _CONDITIONS]
    if shelf is None or len(conditions) < 2:
        return
    met = []
    for demand in conditions:
        value = getattr(asked, demand.kind)
        held = {demand.item: value[demand.item]} if demand.kind == "only" else value
        alone = Conditions.model_validate({demand.kind: held})
        number = int(meeting(shelf, catalogue.text, alone).sum())
        met.append(f"{number} {demand.says.partition(' to ')[2]}")
    every = "does both" if len(met) == 2 else "does all of it"
    yield f"Of {len(shelf)} rows of {need}, {listed(met)}, but none {every}."


def _kept(candidates: Candidates, asking: Asking) -> Iterator[str]:
    """Tell of kept skus why they cannot be in a kit, or not in one kit."""
    given = {demand.item for demand in asking.demands}
    for sku in [sku for sku in candidates.unavailable_keeps if sku in given]:
        for told in barring(sku, asking.brief, asking.least.catalogue):
            yield f"Of {sku}: {told[0].lower()}{told[1:]}"
    for category, held in candidates.competing_keeps.items():
        yield f"A kit holds one {category}, and {listed(held)} are all to be kept."


def _sums(asking: Asking) -> Iterator[str]:
    """Tell what the cheapest kit comes to that meets all but the cap."""
    paid, brief = asking.paid, asking.brief
    if paid is None:
        return
    sums = [to_text(sum_, brief.currency) for sum_ in (paid, paid - asking.cap)]
    yield (
        f"The cheapest kit that meets all the rest comes to {sums[0]} {brief.currency}, "
        f"which is {sums[1]} above the cap."
    )


def _short(asking: Asking) -> Iterator[str]:
    """Tell of which rows there would have to be more in stock for the cheapest kit."""
    stock = [demand for demand in asking.demands if demand.kind == "stock"]
    stocked, catalogue = asking.without(stock), asking.least.catalogue
    if stocked.paid is None:
        return
    brief = brief_of(stocked.data).with_cap(stocked.paid)
    kit = pick(asking.least.stocked, brief, solver=asking.least.solver).kit
    for line in kit.lines if kit else ():
        shelf = catalogue.shelves[line.category]
        row = catalogue.row_number(line.sku)
        there = int(shelf["stock"][row])
        if line.units > there and line.sku not in brief.choose.own:
            yield f"{line.sku} (row {row}) has {there} in stock, where {line.units} are needed."


def _nothing(asking: Asking) -> Iterator[str]:
    """Tell what is missing where nothing that is asked is in the way."""
    bare = asking.without(asking.demands)
    candidates = find_candidates(asking.least.stocked, brief_of(bare.data), thin=True)
    missing = [need for need in candidates.weights if not candidates.needs[need]]
    if missing:
        yield f"The catalogue has nothing for {listed(missing)}."
    else:
        told = list(apart(candidates))
        yield from told or ["Whatever is given up, nothing in the catalogue goes together."]


def apart(candidates: Candidates) -> Iterator[str]:
    """Tell of needs that have rows, none of which go together."""
    brief, charts = candidates.brief, candidates.charts
    if (
        charts
        and candidates.fabrics
        and not any(
            fabric_units(chart, fabric, brief)
            for chart in smallest(charts)
            for fabric in candidates.fabrics
        )
    ):
        yield "No fabric that is left takes the design of any chart that is left, with its margins."
    if candidates.near and charts:
        missing = [_unmatched(candidates, number) for number in range(len(charts))]
        if all(missing):
            sku = charts[0].sku or "the chart at home"
            yield (
                f"No thread is near enough for {sku}: it asks for {missing[0]}."
                if len(charts) == 1
                else f"Each of {len(charts)} charts has a colour that no thread is near enough to."
            )
    needles = [row for row in candidates.needs.get("needle", ()) if isinstance(row, Needle)]
    counts = {fabric.count for fabric in candidates.fabrics}
    table = brief.fit.needle_table
    if (
        needles
        and counts
        and not any(
            needle.sizes is None or count is None or needle.sizes & suiting(count, table)
            for needle in needles
            for count in counts
        )
    ):
        yield "No needle that is left suits the effective count of any fabric that is left."


def _unmatched(candidates: Candidates, number: int) -> str | None:
    """Return the first colour of a chart that has no place."""
    chart = candidates.charts[number]
    colours = zip(chart.shades or (), candidates.places(chart), strict=True)
    return next((asked.colour for asked, places in colours if not places), None)
