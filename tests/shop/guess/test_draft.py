"""The drafted map of a strange file reads it as it is meant."""

import csv
import io
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver import pick, read_brief, read_catalogue, record_of
from kitsolver.cli import app
from kitsolver.shop.maps.mapping import read_map

DEMO = Path(__file__).parents[3] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


def remarks(text):
    """Return the comments of a draft as running text."""
    return " ".join(line.removeprefix("#").strip() for line in text.splitlines())


def drafted(tmp_path, *rows):
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    (tmp_path / "strange.csv").write_text(text.getvalue(), encoding="utf-8")
    done = CliRunner().invoke(app, ["check", str(tmp_path / "strange.csv"), "--guess"])
    assert done.exit_code == 0
    return done.stdout


def test_with_its_draft_the_shop_of_another_country_gives_the_same_kit(theirs):
    done = CliRunner().invoke(app, ["check", str(theirs / "laden.csv"), "--guess"])
    text = done.stdout
    data = tomllib.loads(text)
    assert data["decimal_comma"]
    assert data["quality_most"] == 5
    assert data["columns"]["price"] == "VK-Preis"
    assert data["categories"]["Garn"] == "thread"
    # No header says the unit of a bare number: the draft marks what it takes it for.
    assert data["lengths"] == {"width_cm": "mm", "height_cm": "m"}
    assert "UNSURE. Numbers of 'Breite' are millimetres." in text
    (theirs / "draft.toml").write_text(text, encoding="utf-8")
    mapping = read_map(theirs / "draft.toml")
    goods = read_catalogue(theirs / "laden.csv", currency="EUR", mapping=mapping)
    brief = read_brief(DEMO / "bundle.toml")
    assert record_of(pick(goods, brief)) == record_of(
        pick(read_catalogue(SHOP, currency="EUR"), brief)
    )


def test_of_a_file_that_is_ours_there_is_nothing_to_map():
    done = CliRunner().invoke(app, ["check", str(SHOP), "--guess"])
    assert tomllib.loads(done.stdout) == {}


def test_units_in_headers_are_seen(tmp_path):
    text = drafted(
        tmp_path,
        [
            "Item code",
            "Title",
            "Product group",
            "Retail price",
            "Rating",
            "Width (mm)",
            "Length (in)",
        ],
        ["A1", "a cloth", "Cloth", "3.40", "8.5", "300", "14"],
        ["B1", "a bag", "Bag", "2.00", "9", "", ""],
    )
    data = tomllib.loads(text)
    assert data["columns"] == {
        "sku": "Item code",
        "name": "Title",
        "category": "Product group",
        "price": "Retail price",
        "quality": "Rating",
        "width_cm": "Width (mm)",
        "height_cm": "Length (in)",
    }
    assert data["lengths"] == {"width_cm": "mm", "height_cm": "in"}
    assert data["categories"] == {"Cloth": "fabric"}
    assert data["quality_most"] == 10
    assert "decimal_comma" not in data


def test_what_is_missing_and_what_is_not_mapped_is_said(tmp_path):
    text = drafted(tmp_path, ["sku", "x", "Prix"], ["A", "b", "none"])
    for name in ("name", "category", "price"):
        assert f"MISSING: No column seems to be {name}, which every row needs." in remarks(text)
    assert tomllib.loads(text) == {"defaults": {"quality": "50"}}
    assert "cells such as 'none' are not sums of money" in remarks(text)


@pytest.mark.parametrize("column", ["Preis", "Breite", "x"])
def test_a_number_of_more_digits_than_decimals_have_is_looked_at(tmp_path, column):
    text = drafted(tmp_path, ["sku", column], ["A", "2" * 50 + ".50"], ["B", "2.00"])
    assert "MISSING: No column seems to be name" in remarks(text)
    tomllib.loads(text)


@pytest.mark.parametrize("header", ["Preis", "PREIS ", "VK Preis (EUR)", "prix", "Unit price"])
def test_a_price_goes_by_many_names(tmp_path, header):
    text = drafted(tmp_path, ["sku", header], ["A", "1,50"], ["B", "2,00"])
    data = tomllib.loads(text)
    assert data["decimal_comma"] is True
    assert data["columns"] == {"price": header.strip()}


GOODS = [
    ["A-1", "Grebe", "chart", "56", "77", "", ""],
    ["A-2", "Coot", "chart", "60", "41", "", ""],
    ["B-1", "Canvas", "fabric", "", "", "14", ""],
    ["C-1", "Dusk", "thread", "", "", "", "6"],
]


def of_goods(tmp_path, header, rows=GOODS):
    """Return the draft for goods of whose columns the last four are headed as given."""
    return drafted(tmp_path, ["sku", "name", "category", *header], *rows)


def test_counts_and_strands_are_known_by_the_goods_that_have_them(tmp_path):
    text = of_goods(tmp_path, ["wide", "high", "Fadenzahl", "Ply"])
    assert tomllib.loads(text)["columns"] == {
        "stitches_wide": "wide",
        "stitches_high": "high",
        "count": "Fadenzahl",
        "strands": "Ply",
    }


def test_a_count_lies_between_6_and_55(tmp_path):
    text = of_goods(
        tmp_path,
        ["wide", "high", "Fadenzahl", "x"],
        [row[:5] + (["70"] if row[5] else [""]) + row[6:] for row in GOODS],
    )
    assert "count" not in tomllib.loads(text)["columns"]
    assert "numbers from 6 to 55" in remarks(text)


def test_a_width_without_a_height_is_no_size(tmp_path):
    text = of_goods(tmp_path, ["wide", "x", "Fadenzahl", "y"])
    assert "stitches_wide" not in tomllib.loads(text)["columns"]
    assert "no column is stitches_high: one alone is no size" in remarks(text)


def test_half_a_stitch_is_none(tmp_path):
    halves = [[*row[:4], "77.5" if row[4] else "", *row[5:]] for row in GOODS]
    text = of_goods(tmp_path, ["wide", "high", "Fadenzahl", "Strands"], halves)
    assert {"stitches_wide", "stitches_high"}.isdisjoint(tomllib.loads(text)["columns"])


def test_what_a_cell_holds_cannot_leave_its_comment(tmp_path):
    evil = 'a\n[columns]\nprice = "x"\u2028\x7f'
    text = drafted(tmp_path, ["sku", evil, "price"], ["A", evil, "1.00"])
    assert tomllib.loads(text) == {"defaults": {"quality": "50"}}


def test_school_marks_of_which_1_is_best_are_marked(tmp_path):
    rows = [["Artikel", "Bezeichnung", "Preis", "Note"], ["A-1", "Garn", "1,20", "2"]]
    text = drafted(tmp_path, *rows, ["A-2", "Nadel", "2,20", "1"])
    assert tomllib.loads(text)["columns"]["quality"] == "Note"
    assert "In school marks 1 is best" in remarks(text)
    assert "UNSURE. How good the row is." in remarks(text)


def test_one_column_of_sizes_serves_all_goods_that_have_one(tmp_path):
    header = ["Nr", "Bezeichnung", "Gruppe", "Preis", "Größe", "Webart", "Fadenzahl"]
    rows = [
        ["A1", "Lap", "Stoff", "3,10", "30 x 45 cm", "Aida", "14"],
        ["A2", "Lap breit", "Stoff", "5,10", "50 x 70 cm", "Aida", "16"],
        ["N1", "Nadel spitz", "Nadeln", "1,20", "26", "", ""],
        ["H1", "Ring", "Stickrahmen", "4,20", "15 cm", "", ""],
        ["S1", "Schere", "Scheren", "5,10", "10 cm", "", ""],
    ]
    text = drafted(tmp_path, header, *rows)
    data = tomllib.loads(text)
    assert data["split"] == {"Größe": ["width_cm", "height_cm"]}
    assert data["columns"]["needle_sizes"] == data["columns"]["diameter_cm"] == "Größe"
    assert "units_in_cells" not in data
    (tmp_path / "map.toml").write_text(text, encoding="utf-8")
    goods = read_catalogue(
        tmp_path / "strange.csv", currency="EUR", mapping=read_map(tmp_path / "map.toml")
    )
    assert len(goods.text) == len(rows)


def test_a_number_under_an_unknown_header_is_no_size(tmp_path):
    rows = [["N1", "needle", "1.20", "26"], ["H1", "hoop", "4.20", "15"], ["H2", "hoop", "3", "9"]]
    text = drafted(tmp_path, ["sku", "category", "price", "zork"], *rows)
    assert "columns" not in tomllib.loads(text)
