"""The choices of one chart, in parts that know of each other only by the money they share.

The effective count ties fabric, needle and thread to each other, and a hoop ties itself to the
fabric. So each effective count has parts of its own: the cloth, which is the fabric with the
needle and hoop, and the thread. The other parts are the same at every count. Parts add up.

At any multiplier, the best scores of the parts add up to what no kit exceeds. Kits that must reach
a target are therefore sought among few breakpoints of each part.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Sequence
from fractions import Fraction

from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Fabric
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.at_count import AtCount, BestScores
from kitsolver.solve.decomposition.frontier import Frontier, StateLimitReached, sum_of_all, union_of
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.multiplier import closest
from kitsolver.solve.decomposition.objective import SCORE_UNIT, Objective, objective_of
from kitsolver.solve.decomposition.row_parts import RowPart, RowParts
from kitsolver.solve.decomposition.target import Target, at_goods
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem, Walks
from kitsolver.solve.decomposition.thread.parts import ThreadParts
from kitsolver.solve.time_limit import TimeLimit

# An effective count, and the thread colours that are too like the cloth.
_Cloth = tuple[Fraction | None, frozenset[str]]

# No multiplier takes more from a score than this.
_MOST_SCORE = 2**60

# Where packs are settled, money is dearer than where a pack can be bought in part: so much at a
# first guess, and by these factors others are tried, for each takes some hundredths of a second.
_DEARER = 1.6
_COARSE = (1.6, 1.25)


class Subproblem:
    """The choices of one chart.

    Parameters
    ----------
    candidates : Candidates
        The chart is the only one.
    objective : Objective
        What worths mean.
    limit : int
        The highest goods total that will be asked for.
    time_limit : TimeLimit
        Frontiers are added up only while it runs.
    gap : bool
        Whether to mind that dearer goods may be delivered free, where they may.
    ties : bool
        Whether all kits of equal figures are wanted; else one of them will do.
    multiplier : int
        One at which a relaxation bounds the chart closely, to start with.
    threads : ThreadParts, optional
        What is known of the thread of all charts.

    Raises
    ------
    StateLimitReached
        If only a model can tell how the chart is coloured.
    """

    def __init__(
        self,
        candidates: Candidates,
        objective: Objective,
        limit: int,
        time_limit: TimeLimit,
        *,
        gap: bool = True,
        ties: bool = True,
        multiplier: int = 0,
        threads: ThreadParts | None = None,
    ) -> None:
        self.candidates, self.objective, self.brief = candidates, objective, candidates.brief
        self.limit, self.multiplier = limit, multiplier or SCORE_UNIT
        (self.chart,) = candidates.charts
        till = self.brief.exact_till
        free = till.free_from if gap and till.free_from <= limit else 0
        self.settings = FrontierSettings(
            free, till.window, objective.base, objective.large, time_limit, ties
        )
        self.rows = RowParts(candidates, objective, limit, self.settings)
        self.threads = threads or ThreadParts(candidates)
        self.counts = list(self._counts(time_limit))

    @classmethod
    def of_money(cls, candidates: Candidates, limit: int, time_limit: TimeLimit) -> Subproblem:
        """Return the choices of one chart where any of the cheapest kits will do.

        Parameters
        ----------
        candidates : Candidates
            Of which nothing but money counts.
        """
        objective = objective_of(candidates)
        return cls(candidates, objective, limit, time_limit, gap=False, ties=False)

    def least_thread_costs(self) -> dict[Fraction | None, int]:
        """Return by effective count what matched thread costs at least; counts with kits only.

        Nothing but money counts.
        """
        least: dict[Fraction | None, int] = {}
        for at in self.counts:
            score = at.thread.closer_score(SCORE_UNIT) if at.thread else 0
            cost = max(0, -(score // SCORE_UNIT))
            least[at.count] = min(cost, least.get(at.count, cost))
        return least

    def upper_bound(self, goods: int, time_limit: TimeLimit) -> Fraction | None:
        """Return what the first figure of no kit within a goods total exceeds, in weighed points.

        None if there is no kit.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        most = None
        for at in self.counts:
            # A count that cannot reach what another one does needs no close bound.
            _, excess = self._closest(at, at_goods(goods, most or Fraction(0)), time_limit)
            if excess >= 0:
                beyond = Fraction(excess, SCORE_UNIT * self.objective.times)
                most = (most or Fraction(0)) + beyond
        return most

    @property
    def goods_lower_bound(self) -> int | None:
        """A goods total below which no kit comes, in minor units, where nothing else counts.

        None if there is no kit.
        """
        best = max((at.closer_score(SCORE_UNIT) for at in self.counts), default=None)
        return None if best is None else -(best // SCORE_UNIT)

    def frontier(self, limit: int, target: Target | None, time_limit: TimeLimit) -> Frontier:
        """Return what the choices of the chart come to, by goods total.

        Parameters
        ----------
        limit : int
            No kit costs more than this.
        target : Target, optional
            What kits must reach. All that do are there, and there may be others.

        Raises
        ------
        StateLimitReached, OutOfTime
            As `kitsolver.solve.decomposition.frontier.sum_of` does.
        """
        found, settings = [], self.settings._replace(time_limit=time_limit)
        for at in self.counts:
            bounds, excess = Bounds(limit), 0
            if target is not None:
                multiplier, excess = self._closest(at, target, time_limit)
                if excess < 0:
                    continue
                bounds = self._bounds(limit, target, multiplier)
            try:
                found.append(at.frontier(bounds, settings))
            except StateLimitReached:
                # Where nothing but money counts, a model takes less time than branches.
                if self.objective.only_money or not (
                    target and isinstance(at.thread, ThreadSubproblem)
                ):
                    raise
                multiplier, closer = self._settled(at, at.thread, target, multiplier, time_limit)
                if closer < 0:
                    continue
                if 10 * closer <= 9 * excess:
                    bounds = self._bounds(limit, target, multiplier)
                    found.append(at.frontier(bounds, settings, Walks.BRANCHES))
                else:
                    # Branches would be many.
                    found.append(at.frontier(bounds, settings, Walks.ONE))
        return union_of(found, settings)

    def _bounds(self, limit: int, target: Target, multiplier: int) -> Bounds:
        return Bounds(limit, target.floor(multiplier, self.objective.times), multiplier)

    def _closest(self, at: AtCount, target: Target, time_limit: TimeLimit) -> tuple[int, int]:
        """Return the multiplier that bounds closest at a count, and what it exceeds a target by."""
        times = self.objective.times

        def excess(multiplier: int) -> int:
            time_limit.check()
            return at.best_score(multiplier) - target.floor(multiplier, times)

        def closer_excess(multiplier: int) -> int:
            return at.closer_score(multiplier) - target.floor(multiplier, times)

        if self.objective.only_money:
            # Then all multipliers bound alike.
            return SCORE_UNIT, closer_excess(SCORE_UNIT)
        start = self.multiplier
        if at.slow and excess(0) <= excess(1):
            # The bound is convex, so it is lowest where money has no price.
            start = 0
        multiplier, least = closest(excess, start, _MOST_SCORE // (self.limit + 1))
        self.multiplier = max(1, multiplier)
        return multiplier, least if least < 0 else closer_excess(multiplier)

    def _settled(
        self,
        at: AtCount,
        thread: ThreadSubproblem,
        target: Target,
        multiplier: int,
        time_limit: TimeLimit,
    ) -> tuple[int, int]:
        """Return what `_closest` does, closer: packs are settled (`thread/branch.py`).

        Parameters
        ----------
        multiplier : int
            The one that bounds closest where packs are relaxed.
        """

        def excess(multiplier: int) -> int:
            floor = target.floor(multiplier, self.objective.times) - at.others(multiplier)
            return thread.most(Bounds(self.limit, floor, multiplier), time_limit) - floor

        start = at.multiplier or int(multiplier * _DEARER)
        at.multiplier, least = closest(excess, start, _MOST_SCORE // (self.limit + 1), _COARSE)
        return at.multiplier, least

    def _counts(self, time_limit: TimeLimit) -> Iterator[AtCount]:
        """Yield the parts at each effective count at which there can be a kit.

        Where thread must differ from the cloth, cloth of each colour that bars other thread has
        parts of its own.
        """
        if self.candidates.unavailable_keeps or self.candidates.competing_keeps:
            return
        by_count: dict[_Cloth, list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric in self.candidates.fabrics:
            units = rules.units_with(self.chart, fabric, self.brief)
            if units is not None:
                by_count[fabric.count, self.threads.barred(fabric)].append((fabric, units))
        parts = list(self.rows.all())
        tied = [part for part in parts if part.tied]
        loose = [self.rows.one([self.chart]), *(p.choose(p.rows) for p in parts if not p.tied)]
        if not all(map(len, loose)):
            return
        base = self.objective.base
        of_loose = BestScores(loose, base)
        for (count, barred), fabrics in by_count.items():
            if not self.threads.colourable(self.chart, barred):
                continue
            cloth = self._cloth(fabrics, tied)
            if not len(cloth):
                continue
            thread = self.threads.thread(self.candidates, count, barred, self.objective, time_limit)
            if thread is None or thread.feasible:
                yield AtCount(count, loose, of_loose, cloth, BestScores([cloth], base), thread)

    def _cloth(self, fabrics: list[tuple[Fabric, int]], tied: Sequence[RowPart]) -> Frontier:
        """Return what fabrics of an effective count come to with what is tied to them."""
        rows = [row for part in tied for row in part.rows]
        concerned = [r for r in rules.COMPATIBILITY if any(map(r.concerns, rows))]
        by_key: dict[tuple[Hashable, ...], list[tuple[Fabric, int]]] = defaultdict(list)
        for fabric, units in fabrics:
            key = tuple(rule.key(self.chart, fabric, self.brief) for rule in concerned)
            by_key[key].append((fabric, units))
        found = []
        for cut in by_key.values():
            key = rules.compatibility_key(self.chart, cut[0][0], self.brief)
            piece = self.rows.choice(self.rows.need(*one) for one in cut)
            beside = (part.compatible_with(key) for part in tied)
            found.append(sum_of_all([piece, *beside], Bounds(self.limit), self.settings))
        return union_of(found, self.settings)
