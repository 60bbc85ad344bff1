"""Mutation testing of a room: changes one thing in the code at a time, and runs the tests of it.

Run ``python tests/bench/mutants.py LOG --room craft --number 100``. It draws that many of all
changes of the room's files by ``--seed``, and writes a line for each: killed by a test, by its
time, or alive. Changes that the log holds are not tried again, and a greater number goes on where
a smaller one ended. It prints the share that is killed and the survivors.

At first all tests are run once, to learn which lines each runs (kept in ``--map``, and only true of
the code as it is then). A change is looked for by the tests that run its lines, the quickest first,
up to the first that fails, and up to a sum of seconds. Each change is tried in a process of its own
that is forked once the libraries are loaded; a tool that starts Python anew for each change would
spend most of its time on imports.
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

from mutants.changes import Change, changed, places
from mutants.rooms import ROOMS, TESTS
from mutants.touched import Plugin, Touched, read

HOME = Path(__file__).parents[2]
LIBRARIES = (
    *("numpy", "pandas", "ortools.math_opt.python.mathopt", "pydantic", "hypothesis", "typer"),
    *("_pytest.assertion.rewrite", "scipy.optimize", "coloraide", "colour.difference", "jinja2"),
)
SECONDS = 60  # of processor time, for the tests of one change
TESTED = 10  # seconds that the tests of one change take unchanged, at most
NOTHING_RAN = 5  # pytest's own code


def tried(path: Path, change: Change, tests: list[str]) -> str:
    """Run tests in a process of its own, with a file changed."""
    if not tests:
        return "alive: no test runs it"
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        try:
            _load_changed(path, change)
            os._exit(_run(["-x", *tests]))
        except BaseException:  # whatever it is, nothing of the parent is to go on in here
            traceback.print_exc()
            os._exit(1)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return "killed by time"
    code = os.WEXITSTATUS(status)
    assert code != NOTHING_RAN, "no test was run"
    return "killed" if code else "alive"


def _load_changed(path: Path, change: Change) -> None:
    """Let the changed file be loaded in the place of the real one."""
    real = importlib.machinery.SourceFileLoader.get_code

    def get_code(loader: Any, name: str) -> CodeType | None:
        if Path(loader.path) == path:
            return compile(change.tree, str(path), "exec")
        return real(loader, name)

    importlib.machinery.SourceFileLoader.get_code = get_code


def _run(asked: list[str], plugins: tuple[object, ...] = ()) -> int:
    import pytest

    os.chdir(HOME)
    out = os.open(os.devnull, os.O_WRONLY)
    os.dup2(out, 1)
    os.dup2(out, 2)
    # Plugins are loaded before, which this warns of.
    loaded = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    options = [*loaded, "-q", "-n", "0", "-p", "no:cacheprovider", "--assert=plain"]
    return int(pytest.main([*options, *asked], plugins=[*plugins]))


def lines_of_tests(path: Path) -> list[Touched]:
    """Read which lines each test runs, after all tests were run once if that is not known."""
    if not path.exists():
        unfinished = path.with_suffix(".part")
        unfinished.unlink(missing_ok=True)
        child = os.fork()
        if child == 0:
            files = [file for room in ROOMS.values() for file in files_of(room)]
            os._exit(_run([*TESTS], (Plugin(files, unfinished),)))
        _, status = os.waitpid(child, 0)
        if status:
            raise SystemExit("The tests do not pass unchanged.")
        unfinished.rename(path)
    return read(path)


def tests_of(path: Path, change: Change, known: list[Touched]) -> list[str]:
    """Return the tests that run the lines of a change, or some line of its file if none does."""
    changed_lines, found, seconds = {*range(change.line, change.last_line + 1)}, [], 0.0
    every = [(one, one.lines.get(str(path), set())) for one in known]
    within = [one for one, lines in every if lines & changed_lines]
    # A line may run only while the file is loaded.
    for one in within or [one for one, lines in every if lines]:
        seconds += one.seconds
        if found and seconds > TESTED:
            break
        found.append(one.test)
    return found


def files_of(patterns: tuple[str, ...]) -> list[Path]:
    """Return the files that patterns name."""
    return sorted({path for pattern in patterns for path in HOME.glob(pattern)})


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
    parser.add_argument("--map", type=Path, help="which lines each test runs (LOG.map)")
    asked = parser.parse_args()
    with contextlib.redirect_stdout(io.StringIO()):
        for name in LIBRARIES:
            importlib.import_module(name)
    known = lines_of_tests(asked.map or Path(f"{asked.log}.map"))
    sources = {path: path.read_text(encoding="utf-8") for path in files_of(ROOMS[asked.room])}
    every = [(path, place) for path, source in sources.items() for place in places(source)]
    random.Random(asked.seed).shuffle(every)
    drawn = [(path, changed(sources[path], place)) for path, place in every[: asked.number]]
    told = {}
    if asked.log.exists():
        for line in asked.log.read_text(encoding="utf-8").splitlines():
            name, _, end = line.rpartition("\t")
            told[name] = end
    with asked.log.open("a", encoding="utf-8") as log:
        for path, change in drawn:
            name = named(path, change)
            if name not in told:
                told[name] = tried(path, change, tests_of(path, change, known))
                log.write(f"{name}\t{told[name]}\n")
                log.flush()
    ends = Counter(told[named(path, change)] for path, change in drawn)
    killed = sum(number for end, number in ends.items() if end.startswith("killed"))
    print(f"{asked.room}: {len(every)} changes, {len(drawn)} drawn, {killed} killed", end=" ")
    print(f"({killed / len(drawn):.1%}): {dict(ends)}")
    for path, change in drawn:
        if told[named(path, change)].startswith("alive"):
            print(named(path, change))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
