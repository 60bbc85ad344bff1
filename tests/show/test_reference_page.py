"""The reference page is complete and current, and its examples are read."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from kitsolver.shop.columns.cells import Refused
from kitsolver.shop.columns.registry import columns
from kitsolver.shop.maps.file_options import FileOptions
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.show.reference_page import reference_page
from kitsolver.show.schema.schemas import schema_of

PAGE = Path(__file__).parents[2] / "docs" / "text" / "reference.md"


def test_the_command_prints_the_page_and_the_docs_hold_it():
    command = [sys.executable, "-m", "kitsolver.show.reference_page"]
    run = subprocess.run(command, capture_output=True, text=True, check=True, encoding="utf-8")
    assert run.stdout == reference_page() == PAGE.read_text(encoding="utf-8")


def test_every_key_and_every_column_has_its_line():
    page = reference_page()
    brief = schema_of("brief")
    tables = [brief, *brief["$defs"].values()]
    keys = {name for table in tables for name in table.get("properties", {})}
    for name in keys | {column.name for column in columns()}:
        # How each need is chosen is one table for all of them.
        if name not in brief["$defs"]["Needs"]["properties"]:
            assert f"| `{name}` |" in page


@pytest.mark.parametrize("column", columns("EUR"), ids=lambda column: column.name)
def test_each_column_is_described_with_an_example_that_is_read(column):
    assert column.meaning.endswith(".")
    try:
        column.reads(column.example)
    except Refused as refused:
        pytest.fail(f"{column.name} refuses {column.example}: {refused}")


def test_a_skein_yields_as_many_crosses_as_geometry_says():
    # 8 m of six strands, two in the needle: 2739 crosses at 14 and 3522 at 18 (by hand from
    # (2 + 2√2) times the pitch of 25.4 mm ÷ count).
    page = reference_page()
    assert "| over 11 to 14 | 24, 26 | 2 | 2,739 |" in page
    assert "| over 16 to 18 | 26, 28 | 2 | 3,522 |" in page


def test_every_key_of_a_map_has_its_line_and_an_example_that_is_read():
    page = reference_page()
    keys = re.findall(
        r"^\| `(\w+)` \| `([^|]*)` \| [A-Z]", page.partition("## Keys of a map")[2], re.M
    )
    of_map, of_file = ColumnMap.model_fields, FileOptions.model_fields
    assert [key for key, _ in keys] == [*of_map, *of_file]
    data = {key: tomllib.loads(f"_ = {example}")["_"] for key, example in keys}
    file = {key: data[key] for key in of_file}
    assert ColumnMap.model_validate({key: data[key] for key in of_map} | {"file": file})
