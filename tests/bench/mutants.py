"""Mutation testing of a room: changes one thing in the code at a time, and runs the room's tests.

Run ``python tests/bench/mutants.py LOG --room craft --number 100``. It draws that many of all
changes of the room's files by ``--seed``, and writes a line for each: killed by a test, by its
time, or alive. Changes that the log holds are not tried again. It prints the share that is killed
and the survivors. Each change is tried in a process of its own that is forked once the libraries
are loaded; a tool that starts Python anew for each change would spend most of its time on imports.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib
import importlib.machinery
import io
import os
import random
import resource
import sys
import traceback
from collections import Counter
from pathlib import Path
from types import CodeType
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from mutants.changes import Change, changes
from mutants.rooms import ROOMS, Room

HOME = Path(__file__).parents[2]
LIBRARIES = (
    *("numpy", "pandas", "ortools.math_opt.python.mathopt", "pydantic", "hypothesis", "typer"),
    *("_pytest.assertion.rewrite", "scipy.optimize", "coloraide", "colour.difference", "jinja2"),
)
SECONDS = 150  # of processor time: many times what the tests of a room take
NOTHING_RAN = 5  # pytest's own code


def tried(path: Path, change: Change | None, room: Room) -> str:
    """Run a room's tests in a process of its own, with a file changed."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        try:
            os._exit(_run(path, change, room))
        except BaseException:  # whatever it is, nothing of the parent is to go on in here
            traceback.print_exc()
            os._exit(1)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return "killed by time"
    code = os.WEXITSTATUS(status)
    assert code != NOTHING_RAN, "no test was run"
    return "killed" if code else "alive"


def _run(path: Path, change: Change | None, room: Room) -> int:
    """Load the changed file in the place of the real one, and run the tests."""
    import pytest

    real = importlib.machinery.SourceFileLoader.get_code

    def get_code(loader: Any, name: str) -> CodeType | None:
        if change is not None and Path(loader.path) == path:
            return compile(change.tree, str(path), "exec")
        return real(loader, name)

    importlib.machinery.SourceFileLoader.get_code = get_code
    os.chdir(HOME)
    out = os.open(os.devnull, os.O_WRONLY)
    os.dup2(out, 1)
    os.dup2(out, 2)
    # Plugins are loaded before, which this warns of.
    loaded = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    options = [*loaded, "-x", "-q", "-n", "0", "-p", "no:cacheprovider", "--assert=plain"]
    return int(pytest.main([*options, *room.tests]))


def every_change(room: Room) -> list[tuple[Path, Change]]:
    """Return all changes of a room's files."""
    files = sorted(path for pattern in room.files for path in HOME.glob(pattern))
    return [(path, one) for path in files for one in changes(path.read_text(encoding="utf-8"))]


def named(path: Path, change: Change) -> str:
    """Return the name of a change, as the log has it."""
    return f"{path.relative_to(HOME)}:{change.line}:{change.column}\t{change.what}"


def main() -> int:
    """Try the changes that the log does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("log", type=Path)
    parser.add_argument("--room", choices=ROOMS, required=True)
    parser.add_argument("--number", type=int, default=100, help="of changes, drawn from all")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with contextlib.redirect_stdout(io.StringIO()):
        for name in LIBRARIES:
            importlib.import_module(name)
    room = ROOMS[asked.room]
    every = every_change(room)
    drawn = random.Random(asked.seed).sample(every, min(asked.number, len(every)))
    told = {}
    if asked.log.exists():
        for line in asked.log.read_text(encoding="utf-8").splitlines():
            name, _, end = line.rpartition("\t")
            told[name] = end
    if not told and (end := tried(HOME, None, room)) != "alive":
        print(f"The tests of {asked.room} do not pass unchanged.")
        return 2
    with asked.log.open("a", encoding="utf-8") as log:
        for path, change in drawn:
            name = named(path, change)
            if name not in told:
                told[name] = tried(path, change, room)
                log.write(f"{name}\t{told[name]}\n")
                log.flush()
    ends = Counter(told[named(path, change)] for path, change in drawn)
    killed = sum(number for end, number in ends.items() if end != "alive")
    print(f"{asked.room}: {len(every)} changes, {len(drawn)} drawn, {killed} killed", end=" ")
    print(f"({killed / len(drawn):.1%}): {dict(ends)}")
    for path, change in drawn:
        if told[named(path, change)] == "alive":
            print(named(path, change))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
