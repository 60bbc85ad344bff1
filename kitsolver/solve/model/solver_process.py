"""A solver in a process of its own, which can be ended at any moment.

Solvers look at their clocks only between the steps of their work, and over a large model a step can
take many times as long as the time that is left: SCIP came back after 35 s where 5 s were given. So
where a time limit is to be kept and the model is large, the solver works in a child process. This
file is that process, too, when it is run as a module.
"""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
import threading
import time
from typing import NamedTuple

# This share of the time is kept for handing over what was found.
_HANDING_OVER = 0.1


class ChildFailed(Exception):
    """The child process ended by itself, without a result."""


class _Question(NamedTuple):
    """What the child is asked; `until` is when it is to stop.

    It is told by `time.monotonic`, which is one clock for all processes and is never set back.
    """

    model: bytes
    solver_type: int
    parameters: bytes
    until: float


def solve_within(model: bytes, solver_type: int, parameters: bytes, seconds: float) -> bytes | None:
    """Return a solver's result; None if it is not there in time.

    Parameters
    ----------
    model, parameters : bytes
        MathOpt's `ModelProto` and `SolveParametersProto`; the parameters get their time limit here.
    solver_type : int
        As in MathOpt's `SolverTypeProto`.
    seconds : float
        After so long the solver is ended, whatever it is doing.

    Returns
    -------
    bytes or None
        MathOpt's `SolveResultProto`.

    Raises
    ------
    ChildFailed
        If the child ended without a result, and not because its time was over.
    """
    question = _Question(model, solver_type, parameters, time.monotonic() + seconds)
    paths = os.pathsep.join(filter(None, sys.path))
    child = subprocess.Popen(
        [sys.executable, "-m", __name__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": paths},
    )
    late = threading.Event()

    def end() -> None:
        late.set()
        child.kill()

    watch = threading.Timer(seconds, end)
    watch.start()
    try:
        assert child.stdin is not None
        assert child.stdout is not None
        # The pipe stays open: its end tells the child that nobody waits any more.
        pickle.dump(question, child.stdin)
        child.stdin.flush()
        found = child.stdout.read()
        if child.wait() == 0:
            return found
    except BrokenPipeError:
        pass
    finally:
        watch.cancel()
        child.kill()
        child.communicate()
    if late.is_set():
        return None
    raise ChildFailed(f"the process of the solver ended with {child.returncode}")


def _answer() -> None:
    """Answer one question from standard input on standard output."""
    # The parent decides what Ctrl-C means, and its end is this process's end.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    question: _Question = pickle.load(sys.stdin.buffer)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    # Solvers print: nothing but the result may go to standard output.
    out = os.dup(1)
    os.dup2(2, 1)
    from ortools.math_opt import callback_pb2, model_parameters_pb2, model_pb2, parameters_pb2
    from ortools.math_opt.core.python import solver

    model, parameters = model_pb2.ModelProto(), parameters_pb2.SolveParametersProto()
    model.ParseFromString(question.model)
    parameters.ParseFromString(question.parameters)
    left = max(0.0, question.until - time.monotonic()) * (1 - _HANDING_OVER)
    parameters.time_limit.FromMicroseconds(int(left * 1e6))
    found = solver.solve(
        model,
        question.solver_type,
        parameters_pb2.SolverInitializerProto(),
        parameters,
        model_parameters_pb2.ModelSolveParametersProto(),
        None,
        callback_pb2.CallbackRegistrationProto(),
        None,
        None,
    )
    with os.fdopen(out, "wb") as answer:
        answer.write(found.SerializeToString())
    # Threads of the solver may still be at work: nothing is to be tidied up.
    os._exit(0)


def _end_with_parent() -> None:
    """End the process once the parent's end of standard input is closed."""
    sys.stdin.buffer.read()
    os._exit(1)


if __name__ == "__main__":
    _answer()
