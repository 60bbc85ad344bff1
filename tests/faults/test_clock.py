"""A clock that is set back while the program works: no limit and no result depends on it."""

import ast
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

import kitsolver
from kitsolver.cli import app

PACKAGE = Path(kitsolver.__file__).parent
DEMO = PACKAGE.parent / "catalogues"


def wall_clocks(path):
    """Name the calls that read the clock on the wall."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            if called in ("time.time", "time.time_ns", "datetime.now", "date.today", "time.ctime"):
                yield called


def test_only_a_day_to_print_is_read_from_the_wall():
    found = {str(p.relative_to(PACKAGE)): [*wall_clocks(p)] for p in PACKAGE.rglob("*.py")}
    assert {path for path, calls in found.items() if calls} == {
        "page/kept_folder.py",  # the day on which a kit was kept
        "page/views/several.py",  # the day on a sheet
        "page/views/files.py",
    }


@pytest.mark.slow
def test_a_clock_set_back_an_hour_at_each_look_changes_nothing(monkeypatch, tmp_path):
    def kit(name):
        options = ["--seconds", "60", "--json", str(tmp_path / name)]
        asked = [DEMO / "tormellick-whelk.csv", DEMO / "bundle.toml"]
        done = CliRunner().invoke(app, ["pick", *map(str, asked), *options])
        assert done.exit_code == 0, done.output
        return (tmp_path / name).read_bytes()

    before, now = kit("before.json"), time.time()
    looks = iter(range(10**9))
    monkeypatch.setattr(time, "time", lambda: now - 3600 * next(looks))
    assert kit("after.json") == before
