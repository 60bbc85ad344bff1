"""A disk that is full, and targets that cannot be written: old files stay as they were."""

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP, BRIEF = str(DEMO / "tormellick-whelk.csv"), str(DEMO / "bundle.toml")
ROOM = 1000  # bytes that a file may have: less than any result
OLD = "what stood there before"
RANGE = """\
title = "Two"
currency = "EUR"
[[kits]]
name = "one"
cap = "40.00"
holds = ["scissors", "needle"]
"""
TARGETS = [
    (("pick", SHOP, BRIEF, "--json"), "kit.json"),
    (("pick", SHOP, BRIEF, "--csv"), "kit.csv"),
    (("pick", SHOP, BRIEF, "--html"), "kit.html"),
    (("ladder", SHOP, BRIEF, "--main", "--json"), "ladder.json"),
    (("others", SHOP, BRIEF, "--count", "1", "--json"), "others.json"),
    (("why", SHOP, BRIEF, "--json"), "why.json"),
    (("check", SHOP, BRIEF, "--json"), "check.json"),
]
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name != "posix", reason="file limits are POSIX's"),
]


def small_disk():
    resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, ROOM))


def run(*command, full=False, cwd=None):
    """Run a command in a process of its own, on a disk that is full after `ROOM` bytes."""
    # Python's own cache of compiled modules is no result.
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(
        [sys.executable, "-m", "kitsolver", *map(str, command)],
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd,
        env=environment,
        preexec_fn=small_disk if full else None,
    )


def told(ended):
    assert "Traceback" not in ended.stderr, ended.stderr
    assert "error (unwritable)" in ended.stderr
    assert ended.returncode == 2


@pytest.mark.parametrize(("command", "name"), TARGETS[:4], ids=[name for _, name in TARGETS[:4]])
def test_a_full_disk_is_told_and_the_old_file_stays(command, name, tmp_path):
    target = tmp_path / name
    target.write_text(OLD)
    told(run(*command, target, full=True))
    assert target.read_text() == OLD
    assert [path.name for path in tmp_path.iterdir()] == [name]  # and no draft


@pytest.mark.parametrize(("command", "name"), TARGETS, ids=[name for _, name in TARGETS])
def test_a_folder_in_the_place_of_the_target_is_told(command, name, tmp_path):
    target = tmp_path / name
    target.mkdir()
    told(run(*command, target))
    assert list(tmp_path.iterdir()) == [target]
    assert list(target.iterdir()) == []


def test_a_batch_on_a_full_disk_goes_on_once_there_is_room(tmp_path):
    out = tmp_path / "out"
    batch = ("batch", SHOP, BRIEF, DEMO / "gift-card.toml", "--out", out, "--workers", "1")
    told(run(*batch, full=True))
    ended = run(*batch)
    assert ended.returncode == 0, ended.stderr
    assert {"bundle.json", "gift-card.json"} < {path.name for path in out.iterdir()}


def test_a_range_on_a_full_disk_leaves_no_half_written_sheet(tmp_path):
    asked, out = tmp_path / "range.toml", tmp_path / "out"
    asked.write_text(RANGE)
    told(run("range", SHOP, asked, "--out", out, full=True))
    assert not out.exists() or list(out.glob("*.html")) == []


def test_a_home_list_is_never_lost_on_a_full_disk(tmp_path):
    home, after = tmp_path / "home.csv", tmp_path / "after.csv"
    rows = "".join(f"mine-{n},1,Tin {n},case,40\n" for n in range(100))
    home.write_text("sku,stock,name,category,quality\n" + rows)
    after.write_text(OLD)
    before = home.read_text()
    told(run("pick", SHOP, BRIEF, "--home", home, "--home-after", after, full=True))
    assert (home.read_text(), after.read_text()) == (before, OLD)
