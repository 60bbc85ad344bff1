"""Why there is no kit: what cannot be met together, and what would mend it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import FURTHER, Demand, Easing
from kitsolver.explain.demands.explanation import Conflict, Obstacle
from kitsolver.explain.demands.registry import demands, obstacles
from kitsolver.explain.mend import Change, Mend
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.conflict import (
    Works,
    minimal_conflict,
    minimal_correction_sets,
    remembering,
)
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.no_kit.sentences import sentences
from kitsolver.explain.wording import listed, sentence
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.showing import ShowsItself
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# So many demands are given up at most to mend a brief, and so many mends are told.
_MOST_GIVEN_UP = 3
_MOST_MENDS = 5


@dataclass(frozen=True)
class NoKit(ShowsItself):
    """Why there is no kit.

    Parameters
    ----------
    because : tuple of str
        Sentences.
    conflict : tuple of str
        The keys of the brief's demands that cannot be met together, none of which could be spared.
    mends : tuple of Mend
        The least painful first; each is known to give a kit.
    complete : bool
        Whether time did not run out: if it did, there may be other mends.
    """

    because: tuple[str, ...]
    conflict: tuple[str, ...] = ()
    mends: tuple[Mend, ...] = ()
    complete: bool = True

    @property
    def hints(self) -> tuple[str, ...]:
        """The mends as options of the command line."""
        return tuple(mend.options for mend in self.mends)


def why_no_kit(
    catalogue: Catalogue,
    brief: Brief,
    *,
    hard: Collection[str] = (),
    solver: Solver = Solver.SCIP,
    time_limit: TimeLimit | None = None,
    oracle: CheapestKitOracle | None = None,
) -> NoKit:
    """Return why no kit of a catalogue meets a brief, and what would mend it.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        Held against the catalogue, and known to have no kit.
    hard : collection of str
        Kept skus that are not to be given up.
    solver : Solver
        The mixed-integer solver for charts that are too large for frontiers.
    time_limit : TimeLimit, optional
        When it has run out, what is known by then is told.
    oracle : CheapestKitOracle, optional
        Of the catalogue, with the same solver and time limit, if questions were asked of it before.

    Raises
    ------
    SolverFault
        If the program is at fault.
    """
    oracle = oracle or CheapestKitOracle(catalogue, solver, time_limit or TimeLimit())
    whole = RelaxedBrief.of(brief, oracle)
    every = demands(brief, catalogue, hard)
    # Where a hard row is barred by itself, that can be told without a search for kits.
    barred = bool(hard) and not set(hard).isdisjoint(whole.barred_keeps)
    works = remembering(partial(works_with, whole, every))
    admitted = remembering(partial(admitted_with, whole, every))
    try:
        if not barred:
            # Where the cap is in the way, the oracle is asked for this sum anyway: once it is
            # known, other questions need no search.
            _ = whole.least_paid
        # With one chart most questions are answered by a comparison of sums.
        several = not whole.keeps_chart
        asked = admitted if barred else works
        members = minimal_conflict(every, asked, failing=True, dearest_first=several) or []
    except OutOfTime:
        late = "No kit meets the brief; time ran out before it was known what is in the way."
        return NoKit((late,), complete=False)
    alone = whole.without(demand for demand in every if demand not in members)
    conflict = Conflict(tuple(members), alone, whole)
    because: tuple[str, ...] = ()
    mends: tuple[Mend, ...] = ()
    complete = True
    try:
        found = list(obstacles(conflict))
        because = tuple(sentences(conflict, found))
        known = _each_in_the_way(every, members, admitted) if barred else []
        mends = tuple(_mends(conflict, every, found, works, known))
    except OutOfTime:
        complete = False
        because = (*because, "Time ran out before it was known what would mend that.")
    return NoKit(because, tuple(demand.key for demand in members), mends, complete)


def works_with(whole: RelaxedBrief, every: Iterable[Demand], kept: Collection[Demand]) -> bool:
    """Tell whether there is a kit when only some of a brief's demands are kept."""
    return whole.without(demand for demand in every if demand not in kept).possible


def admitted_with(whole: RelaxedBrief, every: Iterable[Demand], kept: Collection[Demand]) -> bool:
    """Tell whether every kept row may enter a kit when only some of a brief's demands are kept."""
    relaxed = whole.without(demand for demand in every if demand not in kept)
    return not relaxed.barred_keeps


def _each_in_the_way(
    every: Sequence[Demand], members: Sequence[Demand], works: Works[Demand]
) -> list[Demand]:
    """Return the demands of which each is in the way by itself, such as the members of a conflict.

    If the others can be met together, it is remembered that each of them can be.
    """
    works([demand for demand in every if demand not in members])
    return [demand for demand in every if not works([demand])]


def _mends(
    conflict: Conflict,
    every: Sequence[Demand],
    found: Sequence[Obstacle],
    works: Works[Demand],
    known: Sequence[Demand],
) -> list[Mend]:
    """Return changes with which there is a kit, the least painful first.

    Parameters
    ----------
    known : sequence of Demand
        Demands that are known to be in the way each by itself.
    """
    whole = conflict.whole
    # What is least dear comes first where changes weigh alike.
    asked = list(reversed(conflict.demands))
    ways = [[one] for demand in asked for one in demand.ease(whole)]
    if sum(_pain(way) <= FURTHER for way in _least_painful(ways)) < _MOST_MENDS:
        ways += [[one] for demand in asked for one in demand.ease_further(whole)]
    # Where nothing works even with every demand given up, each set of them would be asked in vain.
    if conflict.demands and not ways and works(()):
        several = minimal_correction_sets(every, works, _MOST_GIVEN_UP, known)
        ways = [easings for some in several if (easings := _eased_together(some, whole))]
    if not ways:
        ways = [[one] for one in _at_home(found, whole)]
    return [_mend(way) for way in _least_painful(ways)]


def _least_painful(ways: Iterable[Sequence[Easing]]) -> list[Sequence[Easing]]:
    """Return those of some ways that are told, the least painful first."""
    told: list[Sequence[Easing]] = []
    for easings in sorted(ways, key=_pain):
        # Two demands may give way by the same change.
        if all(_changes(easings) != _changes(other) for other in told):
            told.append(easings)
    return told[:_MOST_MENDS]


def _pain(easings: Iterable[Easing]) -> float:
    return sum(one.pain for one in easings)


def _eased_together(demands: Sequence[Demand], whole: RelaxedBrief) -> list[Easing]:
    """Return the easings of several demands, each as small as it can be after those before it.

    The least dear give way first. Nothing is returned if one of them cannot. A demand that can be
    met once those before it are eased is left as it is: shades at home, for instance, are no line.
    """
    easings: list[Easing] = []
    order = list(reversed(demands))
    eased = whole
    for number, demand in enumerate(order):
        rest = order[number + 1 :]
        asking = eased.without(rest)
        if easings and asking.possible:
            continue
        found = next(chain(demand.ease(asking), demand.ease_further(asking)), None)
        if found is None:
            return []
        changes = [_merged(change, asking, eased) for change in found.changes]
        for change in changes:
            eased = eased.with_value(change.path, change.value)
        easings.append(Easing(eased, tuple(changes), found.says, found.pain))
    return easings


def _merged(change: Change, before: RelaxedBrief, now: RelaxedBrief) -> Change:
    """Return a change of one brief as a change of another, of which some demands are dropped.

    Kept rows, for instance, are each a demand of its own, but share a key.
    """
    old, new, whole = before.value(*change.path), change.value, now.value(*change.path)
    if old == whole:
        return change
    if isinstance(new, list) and isinstance(old, list) and isinstance(whole, list):
        left = [one for one in whole if one not in old or one in new]
        return Change(change.path, left + [one for one in new if one not in left])
    if isinstance(new, dict) and isinstance(old, dict) and isinstance(whole, dict):
        left_of = {key: one for key, one in whole.items() if key not in old or key in new}
        return Change(change.path, left_of | new)
    return change


def _at_home(found: Sequence[Obstacle], whole: RelaxedBrief) -> Iterator[Easing]:
    """Yield what would have to be at home, where nothing that is asked is in the way."""
    at_home = [dict(obstacle.at_home) for obstacle in found if obstacle.at_home]
    for needs in at_home:
        changes, eased = [], whole
        for need, have in needs.items():
            change = Change(("needs", need, "have"), have)
            changes.append(change)
            eased = eased.with_value(change.path, change.value)
        if eased.possible:
            says = listed([f"have the {need} at home" for need in needs])
            yield Easing(eased, tuple(changes), says)


def _mend(easings: Sequence[Easing]) -> Mend:
    says = sentence(listed([easing.says for easing in easings]))
    return Mend(says, _changes(easings), easings[-1].relaxed.least_paid_within or 0)


def _changes(easings: Sequence[Easing]) -> tuple[Change, ...]:
    # Of changes of one key the last has them all.
    last = {change.path: change for easing in easings for change in easing.changes}
    return tuple(last.values())
