"""Small CSV files are parsed by Python's own parser, large ones by pandas: both read the same."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from kitsolver.shop import distinct
from kitsolver.shop.source import read_source
from kitsolver.shop.sources import csv_source

SHOP = Path(__file__).parents[3] / "catalogues" / "tormellick-whelk.csv"
BRIEF = SHOP.with_name("bundle.toml")
HEADER = "sku,name,category,price,quality\n"
TEXTS = {
    "plain": "A,Lamp,lamp,1.00,50\nB,Lamp,lamp,1.00,50\n",
    "quoted": 'A,"Lamp, ""small""",lamp,1.00,50\n"B",Lamp,lamp,1.00,"50"\n',
    "a line in a cell": 'A,"Lamp\nsmall",lamp,1.00,50\nB,Lamp,lamp,1.00,50\n',
    "other ends": "A,Lamp,lamp,1.00,50\r\nB,Lamp,lamp,1.00,50",
    "spaces": " A , Lamp,lamp ,1.00,50\nB,Lamp, lamp,1.00, 50 \n",
    "blank": ",,,,\nA,,,,\n\nB,Lamp,lamp,1.00,50\n",
    "of other widths": "A,Lamp\nB,Lamp,lamp,1.00,50\nC,Lamp,lamp,1.00,50,60\n",
    "none": "",
}


def columns(path):
    """Return the cells of every column of a file, and the numbers of its rows."""
    records = read_source(path).records
    cells = {name: coded.cells().tolist() for name, coded in records.columns.items()}
    return cells, records.rows.tolist(), records.findings


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_both_parsers_read_the_same(text, tmp_path, monkeypatch):
    path = tmp_path / "shop.csv"
    path.write_bytes((HEADER + text).encode())
    small = columns(path)
    monkeypatch.setattr(csv_source, "_MANY_BYTES", 0)
    monkeypatch.setattr(distinct, "MANY", 0)
    assert columns(path) == small


@pytest.mark.parametrize("many", [0, 100], ids=["by pandas", "by a dictionary"])
def test_distinct_values_come_in_their_first_order(many, monkeypatch):
    monkeypatch.setattr(distinct, "MANY", many)
    values = np.array(["b", "a", None, "b", None], dtype=object)
    codes, found = distinct.distinct(values)
    assert found.tolist()[:2] == ["b", "a"]
    assert codes.tolist() == [0, 1, 2, 0, 2]


def test_a_pick_on_a_small_shop_imports_no_pandas():
    code = (
        "import sys\nfrom kitsolver import pick, read_brief, read_catalogue\n"
        f"pick(read_catalogue({str(SHOP)!r}, currency='EUR'), read_brief({str(BRIEF)!r}))\n"
        "print({'pandas', 'ortools'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "set()\n"
