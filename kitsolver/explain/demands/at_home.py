"""Shades at home, as a way out where no thread of the shop will do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitsolver.explain.demands.demand import Easing, easing
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed

SHADES_AT_HOME = ("needs", "thread", "have")


def shades_at_home(relaxed: RelaxedBrief, colours: Sequence[str], pain: float) -> Iterator[Easing]:
    """Yield that some more shades are at home, if there is a kit then; `pain` is that of each."""
    have = relaxed.value(*SHADES_AT_HOME)
    if not colours or have is True:
        return
    more = list(dict.fromkeys([*(have or []), *colours]))
    if relaxed.works_with(SHADES_AT_HOME, more):
        says = f"have thread of {listed(list(dict.fromkeys(colours)))} at home"
        yield easing(relaxed, SHADES_AT_HOME, more, says, pain * len(colours))
