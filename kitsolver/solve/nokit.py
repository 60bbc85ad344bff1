"""Why there is no kit, as far as it can be told without weighing the demands against each other."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.shop.money import to_text
from kitsolver.solve import rules
from kitsolver.solve.bychart.bychart import least_payable
from kitsolver.solve.entry.offers import Offers
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver
from kitsolver.solve.outcome import NoKit


def because(offers: Offers, solver: Solver, clock: Clock) -> NoKit:
    """Return the reasons why no kit can be chosen from `offers`."""
    if lost := tuple(_lost(offers)):
        return NoKit(lost)
    if empty := tuple(_empty(offers)):
        return NoKit(empty)
    if crowded := tuple(_crowded(offers)):
        return NoKit(crowded)
    if apart := tuple(_apart(offers)):
        return NoKit(apart)
    try:
        least = least_payable(offers, solver, clock)
    except OutOfTime:
        return NoKit(("No kit holds to every demand of the brief within the cap.",))
    brief = offers.brief
    if least is None:
        names = ", ".join(rule.name for rule in _TOGETHER)
        return NoKit(
            (f"Even without a cap, nothing that is left meets these rules at once: {names}.",)
        )
    cap = brief.total_cap
    paid, short = (to_text(sum_, brief.currency) for sum_ in (least, least - cap))
    return NoKit(
        (
            f"The kit for which least is paid comes to {paid} {brief.currency}, "
            f"and that is {short} above the cap.",
        ),
        (f"--cap {paid}",),
    )


_TOGETHER = (
    rules.FIT,
    rules.NEEDLE,
    rules.THREAD,
    rules.HOOP,
    rules.STOCK,
    rules.KEEP,
    rules.EXTRAS,
)


def _lost(offers: Offers) -> Iterator[str]:
    """Tell of each kept sku that cannot enter which rule bars it."""
    for sku in offers.lost:
        breaks = [
            rule
            for barred in offers.barred.values()
            for rule, skus in barred.items()
            if sku in skus
        ]
        if breaks:
            yield f"{sku} is to be kept, but it breaks a rule. {breaks[0].sentence}"
        else:
            yield f"{sku} is to be kept, but what it is for is at home already."


def _empty(offers: Offers) -> Iterator[str]:
    """Tell of each need without a usable row what became of its rows."""
    for need in offers.weights:
        if offers.needs[need]:
            continue
        fallen = {rule: len(skus) for rule, skus in offers.barred.get(need, {}).items() if skus}
        if not fallen:
            yield f"The catalogue has nothing for {need}."
            continue
        every = sum(fallen.values())
        told = ", ".join(
            f"{number} of {every} rows fall to the rule “{rule.name}”"
            for rule, number in fallen.items()
        )
        yield f"Nothing is left for {need}: {told}."


def _crowded(offers: Offers) -> Iterator[str]:
    """Tell of kept skus that would have to share one place in the kit."""
    for category, held in offers.crowded.items():
        yield f"{' and '.join(held)} are all to be kept, but a kit holds one {category}."


def _apart(offers: Offers) -> Iterator[str]:
    """Tell of needs that have rows, none of which go together."""
    brief = offers.brief
    if not any(
        rules.fabric_units(chart, fabric, brief)
        for chart in offers.charts
        for fabric in offers.fabrics
    ):
        yield "No fabric that is left takes the design of any chart that is left, with its margins."
    if not offers.shaded:
        return
    for chart in offers.charts:
        missing = [
            colour
            for (colour, _), places in zip(chart.shades or (), offers.places(chart), strict=True)
            if not places
        ]
        if not missing:
            return
        last = f"{chart.sku or 'the chart at home'} asks for {missing[0]}"
    if len(offers.charts) == 1:
        yield f"No thread within the tolerance: {last}."
    else:
        yield f"Each of {len(offers.charts)} charts has a colour that no thread matches."
