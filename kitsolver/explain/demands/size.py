"""Size: the finished design is within, and contains, the rectangles that are asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.craft.lengths import CM, INCH
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.fit import fitting_pairs
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.quantities import finished_of
from kitsolver.solve.rules import size as rule

_HUNDREDTH = Decimal("0.01")
_UNITS = {"cm": CM, "in": INCH}
_KEYS = ("at_most_cm", "at_most_in", "at_least_cm", "at_least_in")


@dataclass(frozen=True)
class Rectangle(Demand):
    """A rectangle that the finished design is within, or contains.

    Parameters
    ----------
    name : str
        The key in the table `size`.
    sides : tuple of Decimal
        In the key's unit.
    """

    name: str
    sides: tuple[Decimal, Decimal]

    @property
    def _most(self) -> bool:
        return self.name.startswith("at_most")

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the rectangle."""
        return relaxed.with_value(("size", self.name), None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the rectangle that changes least, in proportion, with which there is a kit."""
        path, unit = ("size", self.name), self.name.rpartition("_")[2]
        rectangles = self._rectangles(relaxed)
        changes = sorted(rectangles, reverse=not self._most)
        found = least_change(relaxed, path, changes, form=self._grown)
        if found is None:
            return
        change = next(each for each in changes if self._grown(each) == found)
        # Of the designs that take that much, the first that does it alone: no side gives in vain.
        sides = next((s for s in rectangles[change] if relaxed.works_with(path, s)), found)
        way = "finish at up to" if self._most else "finish as small as"
        says = f"let the design {way} {sides[0]} × {sides[1]} {unit}"
        yield easing(relaxed, path, sides, says, abs(float(change) - 1))

    def _rectangles(self, relaxed: RelaxedBrief) -> dict[Fraction, list[list[str]]]:
        """Return by what share the sides would have to change the rectangles of the designs."""
        unit, low = _UNITS[self.name.rpartition("_")[2]], sorted(map(Fraction, self.sides))
        better = max if self._most else min
        found: dict[Fraction, list[list[str]]] = {}
        for chart, fabric in fitting_pairs(self.drop(relaxed).candidates):
            finished = finished_of(chart, fabric.count)
            if finished is None:
                continue
            design = [side / unit for side in sorted(finished)]
            change = better(have / asked for have, asked in zip(design, low, strict=True))
            if better(change, Fraction(1)) != 1:
                pairs = zip(low, design, strict=True)
                sides = self._written([better(*pair) for pair in pairs])
                if sides not in found.setdefault(change, []):
                    found[change].append(sides)
        return {change: sorted(sides) for change, sides in found.items()}

    def _grown(self, change: Fraction) -> list[str]:
        return self._written([Fraction(side) * change for side in sorted(self.sides)])

    def _written(self, sides: list[Fraction]) -> list[str]:
        """Return a shorter and a longer side as the brief has them, to hundredths."""
        rounding = ROUND_CEILING if self._most else ROUND_FLOOR
        exact = (Decimal(side.numerator) / Decimal(side.denominator) for side in sides)
        short, long = (f"{side.quantize(_HUNDREDTH, rounding).normalize():f}" for side in exact)
        return [short, long] if self.sides[0] <= self.sides[1] else [long, short]


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    for key in _KEYS:
        sides = getattr(brief.size, key)
        if sides is not None:
            unit = key.rpartition("_")[2]
            does = "be within" if key.startswith("at_most") else "fill"
            size = f"{sides[0].normalize():f} × {sides[1].normalize():f} {unit}"
            yield Rectangle(f"size.{key}", f"the design is to {does} {size}", key, sides)


EXPLANATION = RuleExplanation(
    rule.FinishedSize, eases=tuple(f"size.{key}" for key in _KEYS), demands=_demands
)
