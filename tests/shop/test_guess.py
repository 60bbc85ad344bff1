"""The drafted map of a strange file reads it as it is meant."""

import csv
import io
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver import pick, read_brief, read_catalogue, record_of
from kitsolver.cli import app
from kitsolver.shop.mapping import read_map

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


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
    # Which unit a bare number has no header says: that is left to whoever looks the draft over.
    text += '[lengths]\nwidth_cm = "mm"\nheight_cm = "m"\n'
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
    assert data["categories"] == {"Bag": "bag", "Cloth": "fabric"}
    assert data["quality_most"] == 10
    assert "decimal_comma" not in data


def test_what_no_header_looks_like_is_a_remark(tmp_path):
    text = drafted(tmp_path, ["sku", "x", "price"], ["A", "b", "none"])
    for name in ("name", "category", "quality"):
        assert f"# No header looks like {name}." in text
    # A column of words is no price, whatever it is called ... but for our own name.
    assert "# No header looks like price." not in text


@pytest.mark.parametrize("header", ["Preis", "PREIS ", "VK Preis (EUR)", "prix", "Unit price"])
def test_a_price_goes_by_many_names(tmp_path, header):
    text = drafted(tmp_path, ["sku", header], ["A", "1,50"], ["B", "2,00"])
    data = tomllib.loads(text)
    assert data == {"decimal_comma": True, "columns": {"price": header.strip()}}
