"""Fit: the design with its margins is within the fabric, one cut for every head."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import pieces
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.least_change import lowered
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import length_text, size_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidate import Chart, Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import cut_of, fabric_units
from kitsolver.solve.decomposition.widest_margin import widest_margin
from kitsolver.solve.rules import fit as rule

_UNITS = {"margin_cm": CM, "margin_in": INCH}


@dataclass(frozen=True)
class Margin(Demand):
    """How much fabric stays bare on each side.

    Parameters
    ----------
    name : str
        ``margin_cm`` or ``margin_in``.
    """

    name: str

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that needs no bare fabric."""
        bare = relaxed.with_value(("fit", "margin_in"), None)
        return bare.with_value(("fit", "margin_cm"), "0")

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the widest margin with which there is a kit."""
        path, unit = ("fit", self.name), self.name.removeprefix("margin_")
        found = lowered(relaxed, path, Fraction(self._widest(relaxed), 100))
        if found is not None:
            value, pain = found
            yield easing(relaxed, path, value, f"leave {value} {unit} bare on each side", pain)

    def _with(self, relaxed: RelaxedBrief, hundredths: int) -> RelaxedBrief:
        return relaxed.with_value(("fit", self.name), f"{hundredths / 100:g}")

    def _widest(self, relaxed: RelaxedBrief) -> int:
        """Return how many hundredths of margin no kit has more of; below zero if none has any."""
        length, now = _UNITS[self.name], relaxed.now.fit.margin
        bare = self.drop(relaxed)
        widest = _widest_margin(bare.designs, now)
        hundredths = min(floor(widest / length * 100), ceil(now / length * 100) - 1)
        if hundredths <= 0 or not relaxed.capped or relaxed.may_be_bought:
            return hundredths
        # Where the widest margin is not within the cap, kits within it are looked at. Kits with any
        # of many charts are seen to be too dear sooner than they are bounded.
        if not relaxed.keeps_chart:
            if self._with(relaxed, hundredths).possible:
                return hundredths
            margins = range(1, hundredths + 1)
            dear = bisect_left(margins, True, key=lambda n: self._with(relaxed, n).seen_too_dear)
            hundredths = min(hundredths - 1, dear)
            if self._with(relaxed, hundredths).possible:
                return hundredths
        unit = Fraction(length) / 100
        limit = relaxed.oracle.time_limit
        return widest_margin(bare.affordable, bare.most_goods, unit, hundredths, limit)


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    if not {"chart", "fabric"} <= set(brief.holds) or not brief.fit.margin:
        return
    name = "margin_cm" if brief.fit.margin_in is None else "margin_in"
    margin = f"{getattr(brief.fit, name)} {name.removeprefix('margin_')}"
    says = f"{margin} of fabric are to stay bare on each side"
    yield Margin(f"fit.{name}", says, name)


def _widest_margin(candidates: Candidates, asked: Fraction) -> Fraction:
    """Return the margin beyond which no design is within any fabric, in length units."""
    widest, charts = Fraction(0), smallest(candidates.charts)
    for fabric in candidates.fabrics:
        if fabric.roll is not None and fabric.count is not None:
            # Any length can be cut off a roll: its width alone bounds the margin.
            sides = [fabric.roll.width, max(fabric.roll.width, 100 * asked)]
        elif fabric.size is None or fabric.count is None:
            return asked
        else:
            sides = sorted(fabric.size)
        for chart in charts:
            stitches = sorted(chart.size or (0, 0))
            spare = [
                have - n * INCH / fabric.count for have, n in zip(sides, stitches, strict=True)
            ]
            widest = max(widest, min(spare) / 2)
    return widest


def smallest(charts: Sequence[Chart]) -> list[Chart]:
    """Return the charts of which no other is smaller both ways: if any fits, one of these does."""
    found: list[Chart] = []
    longest: int | None = None
    for chart in sorted(charts, key=lambda chart: sorted(chart.size or (0, 0))):
        longer = max(chart.size or (0, 0))
        if longest is None or longer < longest:
            found.append(chart)
            longest = longer
    return found


def fitting_pairs(candidates: Candidates) -> Iterator[tuple[Chart, Fabric]]:
    """Yield the small charts and the fabrics that take them."""
    for chart in smallest(candidates.charts):
        for fabric in candidates.fabrics:
            if fabric_units(chart, fabric, candidates.brief):
                yield chart, fabric


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell which design and which fabric come closest, where no fabric takes any design."""
    candidates = conflict.alone.designs
    if any(fitting_pairs(candidates)):
        return
    closest: tuple[Fraction, Chart, Fabric] | None = None
    for chart in smallest(candidates.charts):
        for fabric in candidates.fabrics:
            lack = _lack(chart, fabric, candidates.brief)
            if lack is not None and (closest is None or lack < closest[0]):
                closest = lack, chart, fabric
    if closest is not None:
        several = conflict.alone.number_of("chart") * len(candidates.fabrics) > 1
        says = _too_small(closest[1], closest[2], candidates.brief, several=several)
        yield Obstacle(says, {"fabric": True})


def _lack(chart: Chart, fabric: Fabric, brief: Brief) -> Fraction | None:
    """Return by how much a cut is longer or wider than a fabric; None if its size is not known."""
    cut = cut_of(chart, fabric.count, brief.fit)
    if cut is None:
        return None
    if fabric.roll is not None:
        return max(Fraction(0), min(cut) - fabric.roll.width)
    if fabric.size is None:
        return None
    (short, long), (narrow, wide) = sorted(cut), sorted(fabric.size)
    return max(Fraction(0), short - narrow, long - wide)


def _too_small(chart: Chart, fabric: Fabric, brief: Brief, *, several: bool) -> str:
    cut = cut_of(chart, fabric.count, brief.fit) or Size(Fraction(0), Fraction(0))
    design, cloth = chart.sku or "the chart at home", fabric.sku or "the fabric at home"
    margins = " with its margins" if brief.fit.margin else ""
    needs = f"{design} takes {size_text(cut, brief)} of {cloth}{margins}"
    told = f"no fabric takes any design, and the closest is this: {needs}" if several else needs
    if fabric.roll is not None:
        return f"{told}, which is {length_text(fabric.roll.width, brief)} wide"
    size = fabric.size or Size(Fraction(0), Fraction(0))
    yielded = pieces(cut, size, brief.kits)
    if yielded:
        number = "one piece" if yielded == 1 else f"{yielded} pieces"
        return f"{cloth} yields {number} for {design}, and {brief.kits} are needed"
    return f"{told}, which is {size_text(size, brief)}"


EXPLANATION = RuleExplanation(
    rule.Fit,
    eases=("fit.margin_cm", "fit.margin_in"),
    demands=_demands,
    obstacles=_obstacles,
)
