"""A solver that gives a wrong, an impossible or no answer: it is found out, or it is asked again.

Only models ask a solver; free colours that keep no order make every chart one.
"""

from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app
from kitsolver.solve.engine import Solver
from kitsolver.solve.model import lexicographic
from kitsolver.solve.model import solver as solvers
from kitsolver.solve.model.solver import SolverFault

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP, BRIEF = DEMO / "tormellick-whelk.csv", DEMO / "gift-card.toml"
FREE = {"mode": '"free"', "contrast": "1", "keep_values": "false"}
WITH_MODELS = [part for key, said in FREE.items() for part in ("--set", f"shades.{key}={said}")]
pytestmark = pytest.mark.slow


@pytest.fixture
def erring(monkeypatch):
    """Let a solver err: what it found is changed by a function."""
    real, asked = lexicographic.run, []

    def err(change, *, only=None):
        def run(model, solver, time_limit, gap):
            found = real(model, solver, time_limit, gap)
            if only is not None and solver is not only:
                return found
            asked.append(solver)
            return change(found)

        monkeypatch.setattr(lexicographic, "run", run)
        return asked

    return err


def pick(*options):
    return CliRunner().invoke(app, ["pick", str(SHOP), str(BRIEF), *WITH_MODELS, *options])


def told_as_a_fault(done, words):
    assert done.exit_code == 70, done.output
    assert "Traceback" not in done.output
    assert words in done.stderr


def everything(found):
    """Take every row: what no rule allows."""
    if found.values is None:
        return found
    return replace(found, values=dict.fromkeys(found.values, 1.0))


def nothing(found):
    """Say that nothing can be had."""
    return replace(found, finished=True, values=None)


def no_answer(_):
    raise SolverFault("it ended with neither")


def test_unchanged_it_gives_a_kit_and_both_solvers_agree(erring):
    asked = erring(lambda found: found)
    done = pick("--confirm")
    assert done.exit_code == 0, done.output
    assert Solver.HIGHS in asked


def test_an_impossible_answer_is_never_shown_as_a_kit(erring, tmp_path):
    assert erring(everything) == []
    target = tmp_path / "kit.json"
    target.write_text("before")
    done = pick("--json", str(target))
    assert done.exit_code == 70, done.output
    assert "Traceback" not in done.output
    assert target.read_text() == "before"


def test_a_solver_that_fails_is_told_as_a_fault(erring):
    erring(no_answer)
    told_as_a_fault(pick(), "neither")


def test_a_solver_that_finds_nothing_is_found_out_by_another(erring):
    erring(nothing, only=Solver.HIGHS)
    told_as_a_fault(pick("--confirm"), "another answer")


def test_what_one_solver_does_not_find_another_does(monkeypatch):
    right, real, asked = pick().stdout, solvers._ask, []

    def ask(model, solver, *given, **named):
        asked.append(solver)
        found = real(model, solver, *given, **named)
        return nothing(found) if solver is asked[0] else found

    monkeypatch.setattr(solvers, "_ask", ask)
    done = pick()
    assert len(set(asked)) == 2
    assert done.exit_code == 0, done.output
    assert done.stdout == right
