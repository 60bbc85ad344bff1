"""The page of findings is complete, readable and current."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from kitsolver.shop.findings import code_of
from kitsolver.show.findings_page import all_kinds, findings_page

PAGE = Path(__file__).parents[2] / "docs" / "text" / "findings.md"
KINDS = all_kinds()


@pytest.mark.parametrize("kind", KINDS, ids=code_of)
def test_every_kind_has_its_entry(kind):
    page = findings_page()
    entry = page.partition(f"## {code_of(kind)}\n")[2].partition("\n## ")[0]
    level = "Note. " if kind.note else "Warning. " if kind.warning else "Error. "
    assert entry.strip().startswith(level)
    assert kind.__doc__.split()[0] in entry
    assert "> hint: " in entry or not kind.mend


@pytest.mark.parametrize("kind", KINDS, ids=code_of)
def test_every_kind_says_a_sentence_that_can_be_filled(kind):
    finding = kind(file="shop.csv", row=2, column="price", value="x", detail="y")
    assert finding.sentence.endswith(".")
    # Braces of TOML in a hint hold more than a name.
    assert not re.search(r"\{\w+\}", finding.sentence + finding.hint)


def test_the_kinds_of_every_room_are_tested():
    rooms = {kind.__module__.split(".")[1] for kind in KINDS}
    assert {"shop", "brief", "show", "explain"} <= rooms


def test_no_two_kinds_share_a_code():
    codes = [code_of(kind) for kind in KINDS]
    assert len(set(codes)) == len(codes)


def test_the_command_prints_the_page_and_the_docs_hold_it():
    command = [sys.executable, "-m", "kitsolver.show.findings_page"]
    run = subprocess.run(command, capture_output=True, text=True, check=True, encoding="utf-8")
    assert run.stdout == findings_page() == PAGE.read_text(encoding="utf-8")
