"""A solver in a process of its own: the same answers, and ended when its time is over."""

import os
from datetime import timedelta

import pytest
from instances import instance, to_toml
from ortools.math_opt.python import mathopt
from seeds import over_seeds

from kitsolver import Engine, Solver, pick, read_brief, read_catalogue
from kitsolver.solve.model import solver, solver_process
from kitsolver.solve.time_limit import TimeLimit

pytestmark = pytest.mark.slow


def knapsack(items):
    """Give a model of which any solver finds the best in no time."""
    model = mathopt.Model()
    taken = [model.add_binary_variable() for _ in range(items)]
    model.add_linear_constraint(sum(3 * one for one in taken) <= items)
    model.maximize(sum((n + 1) * one for n, one in enumerate(taken)))
    return model


@pytest.mark.parametrize("which", list(Solver))
@over_seeds([1, 2], quick=0)
def test_a_kit_is_the_same_wherever_the_solver_works(seed, which, tmp_path, monkeypatch):
    text, asked = instance(seed, have=False)
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    brief.write_text(to_toml(asked), encoding="utf-8")
    catalogue, read = read_catalogue(shop, currency="EUR"), read_brief(brief)
    here = pick(catalogue, read, engine=Engine.ONE_SHOT, solver=which, seconds=3600.0)
    calls = []

    def counted(*question):
        calls.append(question)
        return solver_process.solve_within(*question)

    monkeypatch.setattr(solver, "_LARGE", 0)
    monkeypatch.setattr(solver, "solve_within", counted)
    there = pick(catalogue, read, engine=Engine.ONE_SHOT, solver=which, seconds=3600.0)
    assert calls
    assert there == here


def test_what_a_solver_prints_is_no_part_of_its_result():
    parameters = mathopt.SolveParameters(enable_output=True)
    model = knapsack(30)
    answer = solver_process.solve_within(
        model.export_model().SerializeToString(),
        mathopt.SolverType.HIGHS.value,
        parameters.to_proto().SerializeToString(),
        3600.0,
    )
    found = solver.SolveResultProto()
    found.ParseFromString(answer)
    best = found.solutions[0].primal_solution.objective_value
    assert best == sum(range(21, 31))


def test_when_its_time_is_over_it_is_ended(monkeypatch):
    children = []

    class Watched(solver_process.subprocess.Popen):
        def __init__(self, *arguments, **named):
            super().__init__(*arguments, **named)
            children.append(self)

    monkeypatch.setattr(solver_process.subprocess, "Popen", Watched)
    assert solver_process.solve_within(b"", 1, b"", 0.0) is None
    (child,) = children
    assert child.returncode is not None


def test_a_process_that_fails_is_a_fault_of_the_solver():
    model = knapsack(3)
    parameters = mathopt.SolveParameters(time_limit=timedelta(seconds=1))
    broken = model.export_model()
    broken.linear_constraint_matrix.row_ids.append(99)
    with pytest.raises(solver.SolverFault, match="ended with"):
        solver._ask_child(model, broken, Solver.SCIP, parameters, TimeLimit(3600.0))


def test_it_ends_with_its_parent():
    question = solver_process._Question(b"", 1, b"", 0.0)
    read, write = os.pipe()
    child = solver_process.subprocess.Popen(
        [
            solver_process.sys.executable,
            "-c",
            "import time, kitsolver.solve.model.solver_process as p\n"
            "p.pickle.load(p.sys.stdin.buffer)\n"
            "p.threading.Thread(target=p._end_with_parent, daemon=True).start()\n"
            "time.sleep(3600)",
        ],
        stdin=read,
    )
    os.close(read)
    with os.fdopen(write, "wb") as pipe:
        solver_process.pickle.dump(question, pipe)
    assert child.wait(timeout=600) == 1
