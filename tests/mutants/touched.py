"""Which lines of some files each test runs, and how long it takes.

A plugin for pytest. Only what runs in these files is traced, so that tests take little longer.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Collection, Iterator
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple

import pytest


class Touched(NamedTuple):
    """A test: its seconds of processor time, and by file the lines that it runs."""

    test: str
    seconds: float
    lines: dict[str, set[int]]


class Tracer:
    """Notes the lines that run between its start and its stop."""

    def __init__(self, files: Collection[str]) -> None:
        self.files = frozenset(files)
        self.lines: dict[str, set[int]] = {}

    def start(self) -> None:
        self.lines = {}
        sys.settrace(self._called)

    def stop(self) -> dict[str, set[int]]:
        sys.settrace(None)
        return self.lines

    def _called(self, frame: FrameType, _event: str, _arg: Any) -> Any:
        return self._ran if frame.f_code.co_filename in self.files else None

    def _ran(self, frame: FrameType, event: str, _arg: Any) -> Any:
        if event == "line":
            self.lines.setdefault(frame.f_code.co_filename, set()).add(frame.f_lineno)
        return self._ran


class Plugin:
    """Writes a line for each test that passes."""

    def __init__(self, files: Collection[Path], out: Path) -> None:
        self.tracer, self.out = Tracer(map(str, files)), out

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        before = time.process_time()
        self.tracer.start()
        yield
        lines = {file: sorted(found) for file, found in self.tracer.stop().items()}
        told = {"test": item.nodeid, "seconds": time.process_time() - before, "lines": lines}
        with self.out.open("a", encoding="utf-8") as out:
            out.write(json.dumps(told) + "\n")


def read(path: Path) -> list[Touched]:
    """Read what the plugin wrote, the quickest test first."""
    told = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    found = [
        Touched(one["test"], one["seconds"], {file: {*at} for file, at in one["lines"].items()})
        for one in told
    ]
    return sorted(found, key=lambda one: one.seconds)
