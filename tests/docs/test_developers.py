"""The developers' page names every dependency and every room."""

import re
import tomllib
from pathlib import Path

import pytest

HOME = Path(__file__).parents[2]
PAGE = (HOME / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))["project"]
REQUIREMENTS = [
    *PROJECT["dependencies"],
    *(each for extra in PROJECT["optional-dependencies"].values() for each in extra),
]
PACKAGES = sorted({re.match(r"[\w-]+", each).group() for each in REQUIREMENTS} - {"kitsolver"})
LAYERS = [
    *(HOME / "kitsolver").iterdir(),
    *(HOME / "kitsolver" / "solve").iterdir(),
]


def rows(page):
    """Return the first cells of all rows of tables."""
    return [line.split("|")[1] for line in page.splitlines() if line.startswith("|")]


@pytest.mark.parametrize("package", PACKAGES)
def test_each_dependency_has_its_reason(package):
    dependencies = PAGE.partition("## Dependencies")[2]
    named = [line for line in dependencies.splitlines() if line.startswith("|")]
    assert any(re.search(rf"\b{package}\b", line) for line in named)


@pytest.mark.parametrize(
    "room", sorted(path.name for path in LAYERS if (path / "__init__.py").exists())
)
def test_each_room_is_described(room):
    assert f" `{room}` " in rows(PAGE)
