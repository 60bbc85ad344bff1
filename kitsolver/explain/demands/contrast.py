"""Contrast: how far shades differ from each other and from the cloth, dark to light."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.least_change import lowered
from kitsolver.explain.demands.matched import thread_is_matched
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.thread.parts import colourable_charts
from kitsolver.solve.rules import contrast as rule


@dataclass(frozen=True)
class Contrast(Demand):
    """How far shades are to differ.

    Parameters
    ----------
    name : str
        ``contrast`` or ``on_cloth``.
    """

    name: str

    @property
    def _path(self) -> tuple[str, ...]:
        return ("shades", self.name)

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that lets shades be as alike as they may."""
        return relaxed.with_value(self._path, "0" if self.name == "contrast" else None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the greatest difference with which there is a kit."""
        found = lowered(relaxed, self._path, self._reachable(relaxed))
        if found is not None:
            value, pain = found
            both = "from each other and " if self.name == "contrast" else ""
            says = f"let shades differ by no more than {value} {both}from the cloth"
            yield easing(relaxed, self._path, value, says, pain)

    def _reachable(self, relaxed: RelaxedBrief) -> Fraction | None:
        """Return the difference beyond which no chart can be coloured; None where it is not known.

        It is bounded by hundredths, whatever is paid.
        """
        candidates = relaxed.candidates
        if candidates.infeasible:
            return None

        parts = branches(candidates)

        def too_far(hundredths: int) -> bool:
            brief = relaxed.with_value(self._path, f"{hundredths / 100:g}").now
            each = [candidates] if parts is None else parts
            return not any(colourable_charts(replace(part, brief=brief)) for part in each)

        values = range(1, ceil(Decimal(relaxed.value(*self._path)) * 100))
        return Fraction(bisect_left(values, True, key=too_far), 100)


@dataclass(frozen=True)
class KeepValues(Demand):
    """That shades stay dark to light as charted."""

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief that lets shades be of any lightness."""
        return relaxed.with_value(("shades", "keep_values"), False)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield that shades may be of any lightness."""
        path = ("shades", "keep_values")
        for kept in easings_that_work(relaxed, path, [False]):
            says = "let shades be lighter and darker than charted"
            yield easing(relaxed, path, kept, says)


def _demands(brief: Brief, _: Catalogue) -> Iterator[Demand]:
    shades = brief.shades
    if not thread_is_matched(brief):
        return
    if shades.free and shades.contrast:
        says = f"shades are to differ by {shades.contrast} from each other and from the cloth"
        yield Contrast("shades.contrast", says, "contrast")
    if shades.free and shades.keep_values:
        says = "shades are to stay dark to light as charted"
        yield KeepValues("shades.keep_values", says)
    if shades.on_cloth:
        says = f"shades are to differ by {shades.on_cloth} from the cloth"
        yield Contrast("shades.on_cloth", says, "on_cloth")


EXPLANATION = RuleExplanation(
    rule.Contrast,
    eases=("shades.contrast", "shades.keep_values", "shades.on_cloth"),
    demands=_demands,
)
