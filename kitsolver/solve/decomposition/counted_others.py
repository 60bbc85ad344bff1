"""What all rows beside chart, fabric and matched thread count for a limit together.

It is the same for all charts: which of these rows go with which fabric is not looked at.
"""

from __future__ import annotations

from dataclasses import replace

from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.contents import Contents, Option
from kitsolver.solve.decomposition.counted_rows import CountedRows
from kitsolver.solve.decomposition.frontier import Frontier, sum_of_all
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.decomposition.objective import SCORE_UNIT, Objective
from kitsolver.solve.decomposition.row_parts import RowParts
from kitsolver.solve.time_limit import TimeLimit


def counted_others(
    candidates: Candidates, counted: CountedRows, most: int, time_limit: TimeLimit
) -> Frontier:
    """Return what rows beside chart, fabric and matched thread count, by their cost: a frontier.

    Parameters
    ----------
    counted : CountedRows
        What the rows count for the limit.
    most : int
        No breakpoint costs more, in minor units.

    Raises
    ------
    StateLimitReached, OutOfTime
        As `kitsolver.solve.decomposition.frontier.sum_of` does.
    """

    def pointed(row: Candidate) -> Candidate:
        return replace(row, points=counted.of_row(row))

    plain = candidates.plain_needs
    pointed_needs = {need: tuple(map(pointed, candidates.needs[need])) for need in plain}
    of_counts = replace(
        candidates,
        needs={need: candidates.needs[need] for need in ("chart", "fabric")} | pointed_needs,
        extras=tuple(map(pointed, candidates.extras)),
        # What is not weighed is at home, and counts nothing.
        weights={need: 1 for need in plain if need in candidates.weights},
    )
    objective = Objective(1, together=False, share=0, base=1, large=False, only_money=False)
    settings = FrontierSettings(0, 1, 1, large=False, time_limit=time_limit, ties=False)
    parts = RowParts(of_counts, objective, most, settings)
    each = [part.choose(part.rows) for part in parts.all()]
    return sum_of_all([parts.choice([Option(0, 0, Contents())]), *each], Bounds(most), settings)


def score_of_others(candidates: Candidates, counted: CountedRows, rate: int) -> int:
    """Return what rows beside chart, fabric and matched thread score at most, money having a price.

    Parameters
    ----------
    counted : CountedRows
        What the rows count for the limit.
    rate : int
        The multiplier: what a minor unit of cost takes from a score.
    """

    def score(row: Candidate) -> int:
        return SCORE_UNIT * counted.of_row(row) - rate * row.cost

    needs = sum(
        max(map(score, candidates.needs[need]), default=0) for need in candidates.plain_needs
    )
    extras: dict[str, int] = {}
    for extra in candidates.extras:
        extras[extra.category] = max(score(extra), extras.get(extra.category, 0))
    return needs + sum(sorted(extras.values(), reverse=True)[: candidates.brief.extras.most])
