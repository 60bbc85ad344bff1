"""Why there is no kit: what cannot be met together, and what would mend it."""

from __future__ import annotations

import shlex
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.brief.settings import setting
from kitsolver.explain.no_kit.cheapest_kit import Least
from kitsolver.explain.no_kit.conflict import minimal_conflict, minimal_mends
from kitsolver.explain.no_kit.demands import Demand, demands
from kitsolver.explain.no_kit.easing import Eased, eased, put
from kitsolver.explain.no_kit.relaxed_brief import Asking
from kitsolver.explain.no_kit.sentences import sentences
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# So many demands are given up at most to mend a brief, and so many mends are told.
_MOST_GIVEN_UP = 3
_MOST_MENDS = 5


@dataclass(frozen=True)
class Mend:
    """A change of the brief with which there is a kit.

    Parameters
    ----------
    says : str
        What is changed, in words.
    options : str
        The same as options of the command line, to be typed as they stand.
    payable : int
        What the cheapest kit then comes to, in minor units.
    """

    says: str
    options: str
    payable: int


@dataclass(frozen=True)
class NoKit:
    """Why there is no kit.

    Parameters
    ----------
    because : tuple of str
        Sentences.
    conflict : tuple of str
        The keys of the brief's demands that cannot be met together, none of which could be spared.
    mends : tuple of Mend
        The least painful first; each is known to give a kit.
    """

    because: tuple[str, ...]
    conflict: tuple[str, ...] = ()
    mends: tuple[Mend, ...] = ()

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
        The mixed-integer solver behind charts that are not for staircases.
    time_limit : TimeLimit, optional
        When it has run out, what is known by then is told.

    Raises
    ------
    SolverFault
        If the program is at fault.
    """
    asked = demands(brief, catalogue, hard)
    asking = Asking(Least(catalogue, solver, time_limit or TimeLimit()), brief, asked)
    try:
        conflict = minimal_conflict(asked, asking.works, failing=True) or []
    except OutOfTime:
        told = "No kit meets the brief; time ran out before it was known what is in the way."
        return NoKit((told,))
    because: tuple[str, ...] = ()
    mends: list[Mend] = []
    try:
        because = tuple(sentences(conflict, asking))
        mends = _mends(conflict, asking)
    except OutOfTime:
        because = (*because, "Time ran out before it was known what would mend that.")
    return NoKit(because, tuple(demand.key for demand in conflict), tuple(mends))


def _mends(conflict: Sequence[Demand], asking: Asking) -> list[Mend]:
    """Return changes with which there is a kit, the least painful first."""
    found: list[list[Eased]] = []
    if conflict:
        # What is least dear comes first where changes weigh alike.
        found = [[one] for demand in reversed(conflict) if (one := eased(demand, asking))]
    if conflict and not found:
        several = minimal_mends(asking.demands, asking.works, _MOST_GIVEN_UP)
        found = [changes for mend in several if (changes := _together(mend, asking))]
    if not found:
        found = list(_at_home(asking))
    found.sort(key=lambda changes: sum(change.change for change in changes))
    return [_mend(changes) for changes in found[:_MOST_MENDS]]


def _together(mend: Sequence[Demand], asking: Asking) -> list[Eased]:
    """Return the changes of several demands, each as small as it can be after the ones before.

    The least dear give way first. Nothing is returned if one of them cannot.
    """
    changes: list[Eased] = []
    order = list(reversed(mend))
    for number, demand in enumerate(order):
        change = eased(demand, asking.without(order[number + 1 :]))
        if change is None:
            return []
        asking = asking.changed(put(change.value, *change.path))
        changes.append(change._replace(asking=asking))
    return changes


def _at_home(asking: Asking) -> Iterator[list[Eased]]:
    """Yield what would have to be at home, where nothing that is asked is in the way."""
    bought = [need for need in asking.brief.holds if not asking.brief.need(need).have]
    shelves = asking.least.catalogue.shelves
    missing = [need for need in bought if need not in shelves]
    for needs in [missing] if missing else ([need] for need in bought):
        changes = []
        there = asking
        for need in needs:
            path = ("needs", need, "have")
            there = there.changed(put(True, *path))
            changes.append(Eased(there, path, True, f"have the {need} at home"))
        if there.possible:
            yield changes


def _mend(changes: Sequence[Eased]) -> Mend:
    says = ", and ".join(change.says for change in changes)
    # Of changes of one key the last has them all.
    last = {change.path: change for change in changes}
    options = " ".join(map(_option, last.values()))
    return Mend(f"{says[0].upper()}{says[1:]}.", options, changes[-1].asking.paid or 0)


def _option(change: Eased) -> str:
    """Return a change as an option of the command line."""
    if change.path == ("cap",):
        return f"--cap {change.value}"
    return f"--set {shlex.quote(setting(change.path, change.value))}"
