"""Mutation testing of a room: changes one thing in the code at a time, and runs the tests of it.

Run ``python tests/bench/mutants.py LOG --room craft --number 100``. It draws that many of all
changes of the room's files by ``--seed``, and writes a line for each: killed by a test, by its
time, or alive. Changes that the log holds are not tried again, and a greater number goes on where
a smaller one ended. Changes that nobody could see are listed in ``tests/mutants/equivalent.toml``,
each with its reason; they are counted by themselves. It prints the share of the others that is
killed, and the survivors.

At first all tests are run once, to learn which lines each runs (kept in ``--map``, and only true of
the code as it is then). A change is looked for by the tests that run its lines, up to the first
that fails, and up to a sum of ``--seconds``. Test functions share these seconds alike, so that many
cases of one do not take the place of the others. Each change is tried in a process of its own that
is forked once all tests are collected: there the changed function takes the place of the real one.
Only where what is changed runs while its file is loaded are the tests collected anew. A tool that
starts Python for each change would spend most of its time on imports.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import importlib
import importlib.machinery
import io
import os
import random
import resource
import sys
import tempfile
import traceback
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from mutants.changes import Change, changed, places
from mutants.equivalent import Equivalents
from mutants.rooms import ROOMS, TESTS
from mutants.touched import Plugin, Touched, read

HOME = Path(__file__).parents[2]
LIBRARIES = (
    *("numpy", "pandas", "ortools.math_opt.python.mathopt", "pydantic", "hypothesis", "typer"),
    *("_pytest.assertion.rewrite", "scipy.optimize", "coloraide", "colour.difference", "jinja2"),
)
SECONDS = 60  # of processor time, for the tests of one change
TESTED = 20  # seconds that the tests of one change take unchanged, at most


def tried_anew(path: Path, change: Change, tests: list[str]) -> str:
    """Load a changed file, and run tests of it."""
    if not tests:
        return "alive: no test runs it"

    def fails() -> bool:
        _load_changed(path, change)
        return bool(_run(["-x", *tests]))

    return in_a_fork(fails)


def in_a_fork(fails: Callable[[], bool]) -> str:
    """Tell how a change ends that is looked for in a process of its own."""
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        try:
            os._exit(bool(fails()))
        except BaseException:  # whatever it is, nothing of the parent is to go on in here
            traceback.print_exc()
            os._exit(1)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return "killed by time"
    return "killed" if os.WEXITSTATUS(status) else "alive"


def _load_changed(path: Path, change: Change) -> None:
    """Let the changed file be loaded in the place of the real one."""
    real = importlib.machinery.SourceFileLoader.get_code

    def get_code(loader: Any, name: str) -> CodeType | None:
        if Path(loader.path) == path:
            return compile(change.tree, str(path), "exec")
        return real(loader, name)

    importlib.machinery.SourceFileLoader.get_code = get_code


class Tries:
    """A plugin for pytest that tries changes of functions in place of a run of the tests.

    Parameters
    ----------
    changes : sequence of (Path, Change, list of str)
        Each with the tests that look for it.
    note : callable
        Takes each change and how it ended.
    """

    def __init__(
        self,
        changes: Sequence[tuple[Path, Change, list[str]]],
        note: Callable[[Path, Change, str], None],
    ) -> None:
        self.changes, self.note = changes, note
        self.failed = False

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = {item.nodeid: item for item in session.items}
        functions = defaultdict(list)
        for found in gc.get_objects():
            if isinstance(found, FunctionType):
                functions[_name_of(found.__code__)].append(found)
        for path, change, tests in self.changes:
            changed_file = compile(change.tree, str(path), "exec")
            (code,) = (x for x in _functions_in(changed_file) if x.co_qualname == change.within)
            real = functions[_name_of(code)]
            assert real, f"{change.within} is not found"

            def fails(code: CodeType = code, real: Any = real, tests: Any = tests) -> bool:
                for function in real:
                    function.__code__ = code
                return self._any_fails([items[test] for test in tests])

            self.note(path, change, in_a_fork(fails) if tests else "alive: no test runs it")
        return True

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed |= report.failed

    def _any_fails(self, some: list[pytest.Item]) -> bool:
        for item, after in zip(some, [*some[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            if self.failed:
                return True
        return False


def _name_of(code: CodeType) -> tuple[str, str, int]:
    return code.co_filename, code.co_qualname, code.co_firstlineno


def _functions_in(code: CodeType) -> Iterator[CodeType]:
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield one
            yield from _functions_in(one)


def _run(asked: list[str], plugins: tuple[object, ...] = ()) -> int:
    os.chdir(HOME)
    out = os.open(os.devnull, os.O_WRONLY)
    os.dup2(out, 1)
    os.dup2(out, 2)
    # Plugins are loaded before, which this warns of.
    loaded = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    options = [*loaded, "-q", "-n", "0", "-p", "no:cacheprovider", "--assert=plain"]
    code = int(pytest.main([*options, *asked], plugins=[*plugins]))
    assert code != pytest.ExitCode.NO_TESTS_COLLECTED, "no test was run"
    return code


def try_all(
    left: Sequence[tuple[Path, Change, list[str]]], note: Callable[[Path, Change, str], None]
) -> None:
    """Try changes: first those that show while a file is loaded, then those of functions."""
    for path, change, tests in left:
        if not change.within:
            note(path, change, tried_anew(path, change, tests))
    of_functions = [one for one in left if one[1].within]
    files = sorted({test.partition("::")[0] for _, _, tests in of_functions for test in tests})
    if files:
        with tempfile.TemporaryDirectory() as place:
            tries = Tries(of_functions, note)
            child = os.fork()
            if child == 0:
                os._exit(_run([*files, f"--basetemp={place}/tests"], (tries,)))
            os.waitpid(child, 0)


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


def tests_of(path: Path, change: Change, known: list[Touched], most: float) -> list[str]:
    """Return the tests that run the lines of a change, or some line of its file if none does.

    Parameters
    ----------
    known : list of Touched
        The quickest first.
    most : float
        Seconds that these tests take at most, unless the first takes more.
    """
    changed_lines = {*range(change.line, change.last_line + 1)}
    every = [(one, one.lines.get(str(path), set())) for one in known]
    within = [one for one, lines in every if lines & changed_lines]
    # A line may run only while the file is loaded.
    within = within or [one for one, lines in every if lines]
    spent: defaultdict[str, float] = defaultdict(float)
    after = {}
    for one in within:
        function = one.test.partition("[")[0]
        spent[function] += one.seconds
        after[one.test] = spent[function]
    found, seconds = [], 0.0
    for one in sorted(within, key=lambda one: after[one.test]):
        seconds += one.seconds
        if found and seconds > most:
            break
        found.append(one.test)
    return found


def files_of(patterns: tuple[str, ...]) -> list[Path]:
    """Return the files that patterns name."""
    return sorted({path for pattern in patterns for path in HOME.glob(pattern)})


def named(path: Path, change: Change) -> str:
    """Return the name of a change, as the log has it."""
    return f"{path.relative_to(HOME)}:{change.line}:{change.column}\t{change.what}"


def ends_in(log: Path) -> dict[str, str]:
    """Return how the changes ended that a log holds, by their names."""
    if not log.exists():
        return {}
    lines = log.read_text(encoding="utf-8").splitlines()
    return {name: end for name, _, end in (line.rpartition("\t") for line in lines)}


def main() -> int:
    """Try the changes that the log does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("log", type=Path)
    parser.add_argument("--room", choices=ROOMS, required=True)
    parser.add_argument("--number", type=int, default=100, help="of changes, drawn from all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=TESTED, help="of tests, for a change")
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
    told = ends_in(asked.log)
    left = [
        (path, change, tests_of(path, change, known, asked.seconds))
        for path, change in drawn
        if named(path, change) not in told
    ]
    with asked.log.open("a", encoding="utf-8") as log:

        def note(path: Path, change: Change, end: str) -> None:
            log.write(f"{named(path, change)}\t{end}\n")
            log.flush()

        try_all(left, note)
    told = ends_in(asked.log)
    equivalents = Equivalents.read()
    alive = []
    ends: Counter[str] = Counter()
    for path, change in drawn:
        end = told[named(path, change)].partition(":")[0]
        if end == "alive" and equivalents.has(path.relative_to(HOME), sources[path], change):
            end = "equivalent"
        elif end == "alive":
            alive.append(named(path, change))
        ends[end] += 1
    killed = sum(number for end, number in ends.items() if end.startswith("killed"))
    visible = len(drawn) - ends["equivalent"]
    print(f"{asked.room}: {len(every)} changes, {len(drawn)} drawn, {killed} of {visible}", end=" ")
    print(f"that can be seen killed ({killed / max(1, visible):.1%}): {dict(ends)}")
    print(*alive, sep="\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
