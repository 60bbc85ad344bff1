"""The solvers behind the models: one worker, a fixed seed, tight tolerances."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext, suppress
from dataclasses import dataclass
from datetime import timedelta
from math import inf

from ortools.math_opt.model_pb2 import ModelProto
from ortools.math_opt.python import mathopt
from ortools.math_opt.python.result import parse_solve_result
from ortools.math_opt.result_pb2 import SolveResultProto

from kitsolver.solve.engine import Solver
from kitsolver.solve.model.solver_process import ChildFailed, solve_within
from kitsolver.solve.time_limit import TimeLimit


class SolverFault(Exception):
    """A solver ended with neither an answer nor a time limit."""


@dataclass(frozen=True)
class Run:
    """How one run of a solver ended.

    Parameters
    ----------
    finished : bool
        Whether the run proved its answer, be it a solution or that there is none.
    values : dict of Variable to float, or None
        The best solution found.
    bound : float
        No solution has an objective beyond this.
    """

    finished: bool
    values: dict[mathopt.Variable, float] | None
    bound: float


@contextmanager
def _stdout_kept_clean() -> Iterator[None]:
    """Send what HiGHS prints to standard error: it prints some lines even when silenced.

    They come from its C++ code, so the file descriptor itself is redirected, and the C library's
    buffer is emptied before it is restored. The descriptor belongs to the whole process, so no
    other solver is run this way.
    """
    try:
        kept = os.dup(1)
    except OSError:  # no standard output to keep clean
        yield
        return
    sys.stdout.flush()
    os.dup2(2, 1)
    try:
        yield
    finally:
        with suppress(OSError, TypeError):
            ctypes.CDLL(None).fflush(None)
        os.dup2(kept, 1)
        os.close(kept)


_TYPES = {
    Solver.HIGHS: mathopt.SolverType.HIGHS,
    Solver.SCIP: mathopt.SolverType.GSCIP,
    Solver.CP_SAT: mathopt.SolverType.CP_SAT,
}
_TIGHT = 1e-9
# Seconds. A solver can cycle without end over a model that another solves at once: SCIP did in one
# of some ten thousand small models.
_PATIENCE = 20.0
# A model with so many entries in its matrix is large: single steps of a solver may take seconds.
_LARGE = 50_000


def run(model: mathopt.Model, solver: Solver, time_limit: TimeLimit, gap: float) -> Run:
    """Solve a model; if the solver has not ended after 20 s, another one takes over.

    That there is no solution is held against another solver, which has as long to find one: SCIP
    came to that in its presolving where there was one, in one of some 30,000 random instances.

    Parameters
    ----------
    gap : float
        The absolute gap of the proof, in units of the objective; smaller than the least difference
        between two values of it.

    Raises
    ------
    SolverFault
        If the solver failed.
    """
    left = time_limit.left
    if left == 0:
        return _nothing(model)
    strict = left is not None
    patient = time_limit.at_most(_PATIENCE)
    first = _ask(model, solver, patient, gap, strict=strict)
    if first.finished and first.values is not None:
        return first
    if first.finished:
        second = _ask(model, solver.second, time_limit.at_most(_PATIENCE), gap, strict=strict)
        return first if second.values is None else second
    if time_limit.left == 0:
        return first
    second = _ask(model, solver.second, time_limit, gap, strict=strict)
    return second if second.finished or first.values is None else first


def _ask(
    model: mathopt.Model, solver: Solver, time_limit: TimeLimit, gap: float, *, strict: bool
) -> Run:
    """Run a solver once; where the time limit is `strict`, it is kept over a large model, too."""
    parameters = mathopt.SolveParameters(
        # HiGHS refuses a number of threads, and has an option of its own, set below.
        threads=None if solver is Solver.HIGHS else 1,
        random_seed=1,
        relative_gap_tolerance=0.0,
        absolute_gap_tolerance=gap,
    )
    parameters.highs.string_options["parallel"] = "off"
    parameters.highs.double_options["mip_feasibility_tolerance"] = _TIGHT
    parameters.highs.double_options["primal_feasibility_tolerance"] = _TIGHT
    parameters.gscip.real_params["numerics/feastol"] = _TIGHT
    # With it, SCIP cut off the only solution of some models.
    parameters.gscip.bool_params["constraints/linear/rangedrowpropagation"] = False
    if strict:
        exported = model.export_model()
        if len(exported.linear_constraint_matrix.row_ids) >= _LARGE:
            return _ask_child(model, exported, solver, parameters, time_limit)
    left = time_limit.left
    parameters.time_limit = None if left is None else timedelta(seconds=left)
    with _stdout_kept_clean() if solver is Solver.HIGHS else nullcontext():
        result = mathopt.solve(model, _TYPES[solver], params=parameters)
    return _run(result, solver)


def _run(result: mathopt.SolveResult, solver: Solver) -> Run:
    """Return how a run of a solver ended."""
    reason = result.termination.reason
    bound = result.termination.objective_bounds.dual_bound
    values = result.variable_values() if result.has_primal_feasible_solution() else None
    match reason:
        case mathopt.TerminationReason.OPTIMAL:
            return Run(True, values, bound)
        case mathopt.TerminationReason.INFEASIBLE:
            return Run(True, None, bound)
        case mathopt.TerminationReason.FEASIBLE | mathopt.TerminationReason.NO_SOLUTION_FOUND:
            return Run(False, values, bound)
    raise SolverFault(f"{solver}: {result.termination.detail or reason.name.lower()}")


def _ask_child(
    model: mathopt.Model,
    exported: ModelProto,
    solver: Solver,
    parameters: mathopt.SolveParameters,
    time_limit: TimeLimit,
) -> Run:
    """Run a solver in a process of its own, and end it when the time is over."""
    asked = parameters.to_proto().SerializeToString()
    solver_type = _TYPES[solver].value
    try:
        answer = solve_within(
            exported.SerializeToString(), solver_type, asked, time_limit.left or 0.0
        )
    except ChildFailed as failure:
        raise SolverFault(f"{solver}: {failure}") from failure
    if answer is None:
        return _nothing(model)
    found = SolveResultProto()
    found.ParseFromString(answer)
    return _run(parse_solve_result(found, model), solver)


def _nothing(model: mathopt.Model) -> Run:
    """Return how a run ended in which nothing was found, and nothing proven."""
    return Run(False, None, inf if model.objective.is_maximize else -inf)
