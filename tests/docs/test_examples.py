"""Every command, brief and piece of Python in the documents runs and prints what is shown."""

import re
import shlex
import shutil
import tomllib
from pathlib import Path
from typing import NamedTuple

import pytest
import typer
from typer.testing import CliRunner

from kitsolver import brief_of
from kitsolver.brief.range import read_range
from kitsolver.cli import app
from kitsolver.shop.mapping import read_map

HOME = Path(__file__).parents[2]
DOCUMENTS = [
    *(HOME / name for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md")),
    *sorted((HOME / "docs" / "text").glob("*.md")),
    HOME / "catalogues" / "README.md",
]
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.DOTALL | re.MULTILINE)
SPAN = re.compile(r"`([^`]+)`")
# The page serves until it is stopped: its command is only read.
SERVES = "page"


class Block(NamedTuple):
    """A block of code in a document."""

    document: str
    number: int
    language: str
    text: str

    @property
    def name(self):
        return f"{self.document} {self.number}"


def spans(path):
    """Return every piece of code that stands inside a sentence, lines joined."""
    prose = FENCE.sub("", path.read_text(encoding="utf-8"))
    return [" ".join(span.split()) for span in SPAN.findall(prose)]


def blocks(*languages):
    """Return the blocks of some languages, each with the name of its document and its number."""
    return [
        Block(str(path.relative_to(HOME)), number, language, text)
        for path in DOCUMENTS
        for number, (language, text) in enumerate(FENCE.findall(path.read_text(encoding="utf-8")))
        if language in languages
    ]


def commands(text):
    """Yield each command of kitsolver in a block, with the lines that are shown below it."""
    for part in re.split(r"^(?:\$ )?(?=kitsolver )", text, flags=re.MULTILINE)[1:]:
        command, *shown = part.splitlines()
        yield command, [line.rstrip() for line in shown if line not in ("…", "")]


SHOWN = [block for block in blocks("", "console") if any(commands(block.text))]


def parsed(arguments):
    """Let the command line read some arguments, without running the command."""
    group = typer.main.get_command(app)
    with group.make_context("kitsolver", list(arguments), resilient_parsing=True) as context:
        name, command, rest = group.resolve_command(context, list(arguments))
        return command.make_context(name, rest, parent=context)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Return a folder with the catalogues and the sources that the stories make first."""
    place = tmp_path_factory.mktemp("documents")
    shutil.copytree(HOME / "catalogues", place / "catalogues")
    sources = next(block for block in blocks("python") if block.document == "docs/text/stories.md")
    with pytest.MonkeyPatch.context() as patched:
        patched.chdir(place)
        exec(sources.text, {})
    return place


def run_document(document):
    """Run the commands of a document in order: later ones read what earlier ones write."""
    for block in (block for block in SHOWN if block.document == document):
        for command, shown in commands(block.text):
            line, _, target = command.partition(" > ")
            _, *arguments = shlex.split(line)
            if arguments[0] == SERVES:
                parsed(arguments)
                continue
            done = CliRunner().invoke(app, arguments)
            assert done.exit_code == 0, f"{command}: {done.output}"
            printed = [row.rstrip() for row in done.stdout.splitlines()]
            for row in shown:
                assert row in printed, f"{command} does not print: {row}"
            if target:
                Path(target).write_text(done.stdout, encoding="utf-8")


@pytest.mark.parametrize(
    "document",
    [
        pytest.param(name, marks=pytest.mark.slow if name == "docs/text/stories.md" else [])
        for name in sorted({block.document for block in SHOWN})
    ],
)
def test_each_command_runs_and_prints_what_is_shown(folder, monkeypatch, document):
    monkeypatch.chdir(folder)
    run_document(document)
    if document == "docs/text/stories.md":
        for name in ("range.json", "window/starter.html", "window/gift.csv", "class.html"):
            assert (folder / name).stat().st_size > 500
        assert "as charted" in (folder / "blue.html").read_text(encoding="utf-8")
        assert (folder / "ladder.svg").read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.parametrize("block", blocks("python"), ids=lambda block: block.name)
def test_each_piece_of_python_runs(block, tmp_path, monkeypatch):
    shutil.copytree(HOME / "catalogues", tmp_path / "catalogues")
    monkeypatch.chdir(tmp_path)
    exec(block.text, {})


@pytest.mark.parametrize("block", blocks("toml"), ids=lambda block: block.name)
def test_each_toml_file_is_a_range_a_map_or_a_brief(block, tmp_path):
    data = tomllib.loads(block.text)
    if "kits" in data:
        for name in {kit["brief"] for kit in data["kits"] if "brief" in kit}:
            shutil.copy(HOME / "catalogues" / name, tmp_path)
        path = tmp_path / "range.toml"
        path.write_text(block.text, encoding="utf-8")
        assert read_range(path).kits
    elif data.keys() & {"columns", "file"}:
        path = tmp_path / "map.toml"
        path.write_text(block.text, encoding="utf-8")
        assert read_map(path)
    else:
        assert brief_of(
            {"currency": "EUR"} | ({"cap": "30.00"} if "cap" not in data else {}) | data
        )


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(HOME)))
def test_each_option_that_a_document_names_is_an_option_of_a_command(path):
    group = typer.main.get_command(app)
    known = {
        option
        for command in group.commands.values()
        for parameter in command.params
        if parameter.param_type_name == "option"
        for option in (*parameter.opts, *parameter.secondary_opts)
    } | {"--help"}
    for span in spans(path):
        name, *arguments = span.split()
        if name == "kitsolver" and arguments:
            assert arguments[0] in group.commands, span
            assert set(re.findall(r"--[a-z-]+", span)) <= known, span
        elif name.startswith("--"):
            assert name.partition("=")[0] in known, span


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(HOME)))
def test_lines_are_wrapped_and_links_lead_somewhere(path):
    text = path.read_text(encoding="utf-8")
    prose = FENCE.sub("", text)
    for line in prose.splitlines():
        assert len(line) <= 100 or line.startswith(("|", "![")), line
    for target in re.findall(r"\]\(([^)#]+)[^)]*\)", prose):
        assert (path.parent / target).exists(), target


ROOMS = {path.name for path in (HOME / "kitsolver").iterdir() if path.is_dir()}
PYTHON = {path for room in ("kitsolver", "tests") for path in (HOME / room).rglob("*.py")}


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(HOME)))
def test_each_file_that_a_document_names_is_there(path):
    for span in spans(path):
        for word in span.split():
            if re.fullmatch(r"(?:kitsolver|tests|docs|catalogues)/[\w./-]+", word):
                assert (HOME / word).exists(), word
            elif word.partition("/")[0] in ROOMS and "/" in word:
                assert (HOME / "kitsolver" / word).exists(), word
            elif re.fullmatch(r"\w+\.py", word):
                assert any(file.name == word for file in PYTHON), word
