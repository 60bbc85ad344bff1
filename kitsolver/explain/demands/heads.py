"""Heads: every head gets what it needs. What changes if heads are fewer, or share more."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.explain.demands.demand import FURTHER, Easing, easing
from kitsolver.explain.demands.explanation import RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.mend import Change
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.solve.rules import heads as rule

# More heads than these do not share one thing in a lesson: the rest would only wait.
_MOST_SHARING = 4
# A chart is usually licensed to one stitcher, and nobody stitches without a needle; the brief
# itself refuses to share fabric.
_NOT_SHARED = frozenset({"chart", "fabric", "needle"})


def sharing(relaxed: RelaxedBrief) -> Iterator[Easing]:
    """Yield for each need the fewest heads that would have to share it."""
    if relaxed.brief.kits == 1:
        return
    for need in relaxed.brief.holds:
        if need in _NOT_SHARED or relaxed.value("needs", need, "have") is True:
            continue
        path, now = ("needs", need, "shared_by"), relaxed.value("needs", need, "shared_by")
        most = min(_MOST_SHARING, relaxed.brief.kits)
        found = least_change(relaxed, path, range(now + 1, most + 1))
        if found is not None:
            pain = (found - now) / _MOST_SHARING
            yield easing(relaxed, path, found, f"let {found} heads share the {need}", pain)


def fewer_spare(relaxed: RelaxedBrief) -> Iterator[Easing]:
    """Yield the most spare kits that can be made."""
    spare, path = relaxed.value("spare"), ("spare",)
    found = least_change(relaxed, path, range(spare - 1, -1, -1))
    if found is not None:
        # All heads still get their kit.
        says = f"make {kits_of(found)} to spare"
        yield easing(relaxed, path, found, says, (spare - found) / (10 * spare))


def fewer_heads(relaxed: RelaxedBrief) -> Iterator[Easing]:
    """Yield the most heads for which kits can be made, without spare kits if need be."""
    heads, spare = relaxed.value("heads"), relaxed.value("spare")
    path, fewer = ("heads",), range(heads - 1, 0, -1)
    found = least_change(relaxed, path, fewer)
    if found is not None:
        pain = FURTHER + (heads - found) / heads
        yield easing(relaxed, path, found, f"make {_kits_for(found)}", pain)
        return
    bare = relaxed.with_value(("spare",), 0)
    found = least_change(bare, path, fewer) if spare else None
    if found is not None:
        yield Easing(
            bare.with_value(path, found),
            (Change(("spare",), 0), Change(path, found)),
            f"make {_kits_for(found)} and none to spare",
            pain=1.0 + (heads - found) / heads,
        )


def kits_of(number: int) -> str:
    """Return a number of kits as text."""
    return {0: "no kit", 1: "one kit"}.get(number, f"{number} kits")


def _kits_for(heads: int) -> str:
    return "one kit" if heads == 1 else f"kits for {heads} heads"


EXPLANATION = RuleExplanation(rule.Heads, eases=("heads", "spare", "needs.*.shared_by"))
