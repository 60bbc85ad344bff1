"""The documents build as pages with search, strictly, and load nothing from elsewhere."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

HOME = Path(__file__).parents[2]
TEXT = HOME / "docs" / "text"
# What a page loads when it is opened, in contrast to where its links lead.
LOADED = re.compile(r"<(?:script|img|iframe)[^>]*\bsrc=\"([^\"]*)|<link[^>]*\bhref=\"([^\"]*)")


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """Build the pages."""
    place = tmp_path_factory.mktemp("site")
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "-f", "docs/mkdocs.yml"]
    built = subprocess.run(
        [*command, "-d", str(place)], cwd=HOME, capture_output=True, text=True, check=False
    )
    assert built.returncode == 0, built.stderr
    return place


@pytest.mark.slow
def test_every_document_is_a_page_and_is_found_by_search(site):
    index = json.loads((site / "search" / "search_index.json").read_text(encoding="utf-8"))
    found = {entry["location"].partition("#")[0] for entry in index["docs"]}
    assert found == {f"{path.stem}.html" for path in TEXT.glob("*.md")}


@pytest.mark.slow
def test_pages_load_nothing_from_elsewhere(site):
    pages = list(site.rglob("*.html"))
    assert len(pages) > len(list(TEXT.glob("*.md")))
    for page in pages:
        loaded = ["".join(found) for found in LOADED.findall(page.read_text(encoding="utf-8"))]
        assert loaded
        outside = [address for address in loaded if "//" in address]
        assert not outside, f"{page.name} loads {outside}"
    for style in site.rglob("*.css"):
        addresses = re.findall(r"url\((.*?)\)", style.read_text(encoding="utf-8"))
        assert not [each for each in addresses if each.strip("\"'").startswith(("http", "//"))]
