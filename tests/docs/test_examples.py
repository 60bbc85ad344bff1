"""Every command, brief and piece of Python in the documents runs and prints what is shown."""

import re
import shlex
import shutil
import tomllib
from pathlib import Path
from typing import NamedTuple

import pytest
import typer
from exports.opened import HELD, goods_of, opened
from exports.writing import FILES
from typer.testing import CliRunner

from kitsolver import brief_of
from kitsolver.brief.range import read_range
from kitsolver.cli import app
from kitsolver.shop.maps.mapping import read_map

HOME = Path(__file__).parents[2]
DOCUMENTS = [
    *(HOME / name for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md")),
    *sorted((HOME / "docs" / "text").glob("*.md")),
    HOME / "catalogues" / "README.md",
]
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.DOTALL | re.MULTILINE)
# The line before a block may name the file that it is to be saved as.
SAVED = re.compile(r"`([\w.-]+)`:\s*\Z")
SPAN = re.compile(r"`([^`]+)`")
# The page serves until it is stopped: its command is only read.
SERVES = "page"
# Likewise one that needs a cluster: tests/batch has one of its own.
NEEDS_A_CLUSTER = "--cluster"
# Documents whose Python makes what their commands read.
MAKE_THEIR_SOURCES = ("docs/text/shop.md", "docs/text/class.md", "docs/text/files.md")
TAKE_LONG = (
    "README.md",
    *MAKE_THEIR_SOURCES,
    "docs/text/gift-card.md",
    "docs/text/rules.md",
)
# What following a document writes.
WRITTEN = {
    "docs/text/first-kit.md": ("first.html",),
    "docs/text/files.md": ("sheet.html", "lesson.html", "database.html"),
    "docs/text/shop.md": ("range.json", "window/starter.html", "window/gift.csv"),
    "docs/text/class.md": ("class.html", "class.json"),
    "docs/text/gift-card.md": ("blue.html", "ladder.svg"),
}


class Block(NamedTuple):
    """A block of code in a document, and the file that it is to be saved as, if any."""

    document: str
    number: int
    language: str
    text: str
    file: str = ""

    @property
    def name(self):
        return f"{self.document} {self.number}"


def spans(path):
    """Return every piece of code that stands inside a sentence, lines joined."""
    prose = FENCE.sub("", path.read_text(encoding="utf-8"))
    return [" ".join(span.split()) for span in SPAN.findall(prose)]


def blocks(*languages):
    """Return the blocks of some languages, each with the name of its document and its number."""
    return [block for path in DOCUMENTS for block in blocks_of(path) if block.language in languages]


def blocks_of(path):
    """Yield all blocks of a document."""
    text = path.read_text(encoding="utf-8")
    for number, found in enumerate(FENCE.finditer(text)):
        saved = SAVED.search(text[: found.start()])
        file = saved[1] if saved else ""
        yield Block(str(path.relative_to(HOME)), number, *found.groups(), file)


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


def run_document(document):
    """Follow a document from its top: save its files, run its Python and its commands."""
    for block in blocks_of(HOME / document):
        if block.file:
            Path(block.file).write_text(block.text, encoding="utf-8")
        elif block.language == "python" and document in MAKE_THEIR_SOURCES:
            exec(block.text, {})
        elif block in SHOWN:
            run_commands(block)


def run_commands(block):
    """Run the commands of a block in order: later ones read what earlier ones write."""
    for command, shown in commands(block.text):
        line, _, target = command.partition(" > ")
        _, *arguments = shlex.split(line)
        if arguments[0] == SERVES or NEEDS_A_CLUSTER in arguments:
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
        pytest.param(name, marks=pytest.mark.slow if name in TAKE_LONG else [])
        for name in sorted({block.document for block in SHOWN})
    ],
)
def test_each_command_runs_and_prints_what_is_shown(tmp_path, monkeypatch, document):
    shutil.copytree(HOME / "catalogues", tmp_path / "catalogues")
    shutil.copytree(FILES, tmp_path / FILES.relative_to(HOME))
    monkeypatch.chdir(tmp_path)
    run_document(document)
    for name in WRITTEN.get(document, ()):
        assert (tmp_path / name).stat().st_size > 500


@pytest.mark.slow
@pytest.mark.parametrize("name", HELD)
def test_every_export_gets_from_the_file_to_the_sheet_as_the_document_says(
    name, tmp_path, monkeypatch
):
    document = {block.file: block.text for block in blocks_of(HOME / "docs/text/files.md")}
    brief = "kit.toml" if any(goods.kind == "chart" for goods in goods_of(name)) else "lesson.toml"
    (tmp_path / brief).write_text(document[brief], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    source = opened(name, tmp_path)
    draft = CliRunner().invoke(app, ["check", source, "--guess"])
    assert draft.exit_code == 0
    Path("map.toml").write_text(draft.stdout, encoding="utf-8")
    with_map = ["--columns", "map.toml"]
    for arguments in (["check"], ["pick", "--html", "sheet.html"]):
        done = CliRunner().invoke(app, [arguments[0], source, brief, *with_map, *arguments[1:]])
        assert done.exit_code == 0, done.output
    sheet = Path("sheet.html").read_text(encoding="utf-8")
    assert tomllib.loads(document[brief])["title"] in sheet


@pytest.mark.parametrize("block", blocks("python"), ids=lambda block: block.name)
def test_each_piece_of_python_runs(block, tmp_path, monkeypatch):
    shutil.copytree(HOME / "catalogues", tmp_path / "catalogues")
    shutil.copytree(FILES, tmp_path / FILES.relative_to(HOME))
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
            {"currency": "EUR"}
            | ({} if data.keys() & {"cap", "cap_per_head"} else {"cap": "30.00"})
            | data
        )


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(HOME)))
def test_each_option_that_a_document_names_is_an_option_of_a_command(path):
    group = typer.main.get_command(app)
    known = {
        option
        for command in map(group.commands.get, group.commands)
        for parameter in command.params
        if parameter.param_type_name == "option"
        for option in (*parameter.opts, *parameter.secondary_opts)
    } | {"--help", "--version"}
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
    for target, anchor in re.findall(r"\]\(([^)#\s]*)(?:#([^)\s]+))?\)", prose):
        assert (path.parent / target).exists(), target
        if anchor:
            assert anchor in anchors(path.parent / target if target else path), anchor


def anchors(path):
    """Return the names of a document's headings, as pages and repositories make them."""
    text = FENCE.sub("", path.read_text(encoding="utf-8"))
    headings = re.findall(r"^#+ (.*)$", text, flags=re.MULTILINE)
    # Signs are left out, and what is between words becomes one hyphen.
    return {
        re.sub(r"[\s-]+", "-", re.sub(r"[^\w\s-]", "", each.lower()).strip()) for each in headings
    }


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
