"""Ways to give free colours thread that reach a floor, where all best ways are too many.

Places are gone through (`walk.py`), and labels that cannot reach the floor are left out. Where all
colours take as many units of a place, the best way is known without (`same_units.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace

from kitsolver.solve.decomposition.free.colours import FreeColours, Taking
from kitsolver.solve.decomposition.free.question import Floor, Found, Question
from kitsolver.solve.decomposition.free.relaxation import relaxed_scores
from kitsolver.solve.decomposition.free.same_units import SameUnits
from kitsolver.solve.decomposition.free.walk import walk
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.time_limit import TimeLimit

# So many labels are made for one question before a model takes over: among many places, where a
# question takes several walks, fewer.
_MOST_LABELS = 400_000
_MOST_OF_MANY = 60_000
# So often places that are too alike are remembered from then on, and the question asked again.
_ROUNDS = 60
# The best score is looked for so near below its bound, then twice as far below, and so on.
_NEAR = 4096


class FloorSearch:
    """The ways of one chart's colours that reach a floor; without packs.

    Parameters
    ----------
    colours : FreeColours
        What they choose from.
    question : Question
        Of these colours, the darkest first, without a floor.
    taking : sequence of Taking
        What each takes.
    order : sequence of int
        Their numbers in the chart.
    weight : int
        What a hundredth of a point counts.
    """

    def __init__(
        self,
        colours: FreeColours,
        question: Question,
        taking: Sequence[Taking],
        order: Sequence[int],
        weight: int,
    ) -> None:
        self.colours, self.question, self.order, self.weight = colours, question, order, weight
        self._same_units: SameUnits | None = None
        if len(set(taking)) == 1:
            self._same_units = SameUnits(colours, question.units[0], order, weight)
        self._relaxed: dict[int, list[list[int]]] = {}
        # By multiplier the highest floor at which there were too many labels, by score alone.
        self._given_up: dict[int, int] = {}

    def bound(self, multiplier: int) -> int:
        """Return what all colours score at most at a multiplier."""
        return self._relaxed_scores(multiplier)[0][0]

    def best_score(self, multiplier: int, time_limit: TimeLimit) -> int:
        """Return the best score, or a bound on it where it takes too long to find.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        if self._same_units:
            with suppress(StateLimitReached):
                return self._same_units.best_score(multiplier, time_limit)
        bound = self.bound(multiplier)
        below, most = 0, 8 * abs(bound) + 1
        with suppress(StateLimitReached):
            while below < most:
                floor = Floor(bound - below, multiplier, self.weight, alone=True)
                self._given_up[multiplier] = floor.score
                found = self._walked(floor, time_limit)
                del self._given_up[multiplier]
                if found:
                    return -min(one.cost for one in found)
                below = max(2 * below, abs(bound) // _NEAR + 1)
        return bound

    def reaching(self, score: int, multiplier: int, time_limit: TimeLimit) -> list[Found]:
        """Return the best ways that score so much.

        Raises
        ------
        StateLimitReached
            If there are too many.
        OutOfTime
            If there is no time left.
        """
        if self._same_units and not multiplier and not self.question.equal_cost:
            with suppress(StateLimitReached):
                best = self._same_units.best_score(multiplier, time_limit)
                if best < score:
                    return []
                if best == score:
                    # All that score so much count as many points, and cost no less.
                    return [self._same_units.cheapest(time_limit)]
        given_up = self._given_up.get(multiplier)
        if given_up is not None and score <= given_up:
            # A lower floor, and costs beside the score, leave more labels.
            raise StateLimitReached
        return self._walked(Floor(score, multiplier, self.weight), time_limit)

    def _relaxed_scores(self, multiplier: int) -> list[list[int]]:
        """Return what the colours from each on score at most with the places from each on."""
        if multiplier not in self._relaxed:
            found = relaxed_scores(self.colours.steps, self.question, multiplier, self.weight)
            self._relaxed[multiplier] = found.tolist()
        return self._relaxed[multiplier]

    def _walked(self, floor: Floor, time_limit: TimeLimit) -> list[Found]:
        """Return the best ways that reach a floor, by a walk through the places.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.free.walk.walk` does.
        """
        many, steps = self.colours.many_places, self.colours.steps
        question = replace(self.question, floor=floor, order=None if many else self.order)
        if floor.alone:
            question = replace(question, equal_cost=False, order=None)
        rest = self._relaxed_scores(floor.multiplier)
        most = _MOST_OF_MANY if many else _MOST_LABELS
        for _ in range(_ROUNDS):
            if many:
                question = replace(question, remembered=self.colours.remembered)
            found = walk(steps, question, most, time_limit.check, rest)[-1]
            marked = [one for one in found if one.marked]
            if not marked:
                return found
            self.colours.remember(marked)
        raise StateLimitReached
