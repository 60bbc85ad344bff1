"""A bound of what colours that are still to be assigned score, after each state of a walk."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from kitsolver.solve.decomposition.frontier_settings import Bounds
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.thread.assignment import Assignment
from kitsolver.solve.decomposition.thread.relaxation import ColourScores
from kitsolver.solve.decomposition.thread.states import State, Step

if TYPE_CHECKING:
    from kitsolver.solve.decomposition.thread.walk import Walk


class Rest:
    """What the colours still to be assigned score at most, and so what a state must reach.

    Parameters
    ----------
    scores : ColourScores, optional
        What each colour scores at most, where a floor is given.
    bounds : Bounds
        What is wanted of all colours together.
    """

    def __init__(self, walk: Walk, scores: ColourScores | None, bounds: Bounds) -> None:
        self.walk, self.limits = walk, bounds
        self.best = [scores.best[number] for number in walk.order] if scores else []
        self.prices = scores.prices if scores else {}
        self.settled = scores.settled if scores else {}
        # After each colour, the best of all later ones and the prices of what they could take.
        self.later: list[int] = []
        for at in range(len(self.best)):
            open_ = sum(price for key, price in self.prices.items() if walk.last[key] > at)
            self.later.append(sum(self.best[at + 1 :]) + open_)
        # For each pack the colours that could use it: when, and by their best place.
        self.users: dict[str, list[tuple[int, int, int, Assignment]]] = defaultdict(list)
        for at, colour in enumerate(walk.colours if scores else ()):
            for a in colour:
                share = scores.shares.get((a.sku, a.colour)) if scores else None
                if share is not None:
                    score = SCORE_UNIT * walk.costs.points(a) - self.prices.get(a.key, 0)
                    self.users[a.sku].append((at, score, share, a))
        self._known: dict[tuple[int, tuple[tuple[str, int], ...]], int] = {}

    def score(self, step: Step) -> int:
        """Return what a step adds to the score."""
        points = SCORE_UNIT * self.walk.costs.points(step.assignment)
        return points - self.limits.multiplier * step.cost

    def bounds(self, state: State, at: int) -> Bounds:
        """Return what is wanted of a state after a colour."""
        return self.limits.beside(0, self._most(state, at) if self.best else 0)

    def floor(self, state: State, at: int) -> float:
        """Return what a state after a colour must score."""
        floor = self.bounds(state, at).floor
        return float("-inf") if floor is None else floor

    def _most(self, state: State, at: int) -> int:
        """Return what the colours after one score at most.

        A pack that is bought costs no more, one that is settled is still to be paid if it is not
        bought, and a place that is taken is there for nobody.
        """
        key = at, state.packs
        if key not in self._known:
            gains: dict[int, int] = {}
            for sku, units in state.packs:
                for later, most, share, a in self.users.get(sku, ()):
                    if later > at:
                        score = most - share * max(0, a.bought - a.thread.bought(units))
                        gains[later] = max(gains.get(later, 0), score - self.best[later])
            self._known[key] = self.later[at] + sum(gains.values()) - self._owed(state, at)
        taken = sum(self.prices.get(place, 0) for place in state.places) if self.prices else 0
        return self._known[key] - taken

    def _owed(self, state: State, at: int) -> int:
        """Return what settled packs take from the score that are still to be bought."""
        if not self.settled:
            return 0
        packs, owed = dict(state.packs), 0
        for sku, (thread, units, each) in self.settled.items():
            if self.walk.last[sku] > at:
                owed += each * max(0, units - thread.bought(packs.get(sku, 0)))
        return owed
