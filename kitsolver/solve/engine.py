"""The names of the ways to the best kit, light to import."""

from __future__ import annotations

from enum import StrEnum


class Engine(StrEnum):
    """A way to the best kit: chart by chart, or the one model that defines the problem."""

    BY_CHART = "bychart"
    ONE_SHOT = "oneshot"


class Solver(StrEnum):
    """A mixed-integer solver that MathOpt offers."""

    HIGHS = "highs"
    SCIP = "scip"
    CP_SAT = "cp-sat"

    @property
    def second(self) -> Solver:
        """Another solver, to confirm what this one proves."""
        return Solver.HIGHS if self is Solver.SCIP else Solver.SCIP
