"""Each example of the stories runs as it stands, and prints what is shown."""

import re
import shlex
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

HOME = Path(__file__).parents[2]
BLOCK = re.compile(r"```(python|console)\n(.*?)```", re.DOTALL)
STORIES = (HOME / "docs" / "stories.md").read_text(encoding="utf-8")
# The first block makes the sources that all the others read.
(_, SOURCES), *EXAMPLES = BLOCK.findall(STORIES)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("stories")
    shutil.copytree(HOME / "catalogues", place / "catalogues")
    with pytest.MonkeyPatch.context() as patched:
        patched.chdir(place)
        exec(SOURCES, {})
    return place


def commands(text):
    """Give each command of a block with the lines that are shown below it."""
    for part in re.split(r"^\$ ", text, flags=re.MULTILINE)[1:]:
        command, *shown = part.splitlines()
        yield command, [line for line in shown if line != "…"]


@pytest.mark.parametrize("text", [text for _, text in EXAMPLES], ids=lambda text: text[2:40])
def test_an_example_runs_and_prints_what_is_shown(folder, monkeypatch, text):
    monkeypatch.chdir(folder)
    for command, shown in commands(text):
        line, _, target = command.partition(" > ")
        name, *arguments = shlex.split(line)
        assert name == "kitsolver"
        done = CliRunner().invoke(app, arguments)
        assert done.exit_code == 0, done.output
        printed = [row.rstrip() for row in done.stdout.splitlines()]
        for row in shown:
            assert row.rstrip() in printed, f"{command} does not print: {row}"
        if target:
            Path(target).write_text(done.stdout, encoding="utf-8")


def test_what_the_examples_write_is_whole(folder):
    for name in ("range.json", "window/starter.html", "window/gift.csv", "class.html", "blue.html"):
        assert (folder / name).stat().st_size > 500
    assert "as charted" in (folder / "blue.html").read_text(encoding="utf-8")
    assert (folder / "ladder.svg").read_text(encoding="utf-8").startswith("<?xml")
