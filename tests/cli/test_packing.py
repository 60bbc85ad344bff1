"""Rows for the shop's own file once bundles are packed: the bundle, and the stock that is left."""

import codecs
import csv

import pandas as pd
import pytest
from typer.testing import CliRunner

from kitsolver import bundle_row, pick, read_brief, read_catalogue, read_map, stock_after
from kitsolver.cli.program import app

GOODS = """\
Artikel;Bezeichnung;Gruppe;VK;EK;Note;Bestand;Geändert
S1;Kranichschere;Scheren;5,00;2,10;4;6;03.11.26
B1;Netzbeutel;BAG;2,50;1,00;2,5;;3.11. – früh
C1;"Dose; rund";CASE;1,00;0,40;3;2;gestern
X1;Lampe;LAMP;90,00;40,00;5;9;gestern
"""
MAP = """\
decimal_comma = true
quality_most = 5
[columns]
sku = "Artikel"
name = "Bezeichnung"
category = "Gruppe"
price = "VK"
trade_cost = "EK"
quality = "Note"
stock = "Bestand"
[categories]
Scheren = "scissors"
Sets = "bundle"
"""
BRIEF = """\
title = "Für Anfänger"
currency = "EUR"
cap = "10.00"
holds = ["scissors", "bag"]
[till]
discount_rate = "0.10"
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "till.csv").write_bytes(GOODS.replace("\n", "\r\n").encode("cp1252"))
    (tmp_path / "map.toml").write_text(MAP, encoding="utf-8")
    (tmp_path / "brief.toml").write_text(BRIEF, encoding="utf-8")
    return tmp_path


def run(*words, code=0):
    asked = ["pick", "till.csv", "brief.toml", "--columns", "map.toml", *words]
    done = CliRunner().invoke(app, list(map(str, asked)))
    assert done.exit_code == code, done.output
    return done


def lines(file, encoding="cp1252"):
    return file.read_bytes().decode(encoding).split("\r\n")


def test_the_bundle_s_row_is_written_as_the_shop_writes_its_own(folder):
    run("--bundle-row", "row.csv", "--bundle-sku", "SET-1", "--copies", 2)
    assert lines(folder / "row.csv") == [
        GOODS.splitlines()[0],
        # Goods of 8.50, less a tenth; qualities 80 and 50 on a scale to 5.
        "SET-1;Für Anfänger;Sets;7,65;;3,25;2;",
        "",
    ]


@pytest.mark.usefixtures("folder")
def test_the_row_reads_back_by_the_shop_s_own_map():
    run("--bundle-row", "row.csv", "--copies", 2)
    row = read_catalogue("row.csv", currency="EUR", mapping=read_map("map.toml")).row("BUNDLE")
    read = {name: row[name] for name in ("name", "category", "price", "quality", "stock")}
    assert read == {
        "name": "Für Anfänger",
        "category": "bundle",
        "price": "7.65",
        "quality": "65",
        "stock": "2",
    }


def test_the_price_is_what_the_brief_sells_it_at_and_the_cost_that_of_its_margin(folder):
    margin = ("--set", "shop.sell_at=9.90", "--set", "shop.margin_rate=0.3")
    run("--bundle-row", "row.csv", *margin)
    # Scissors 2.10, bag 1.00, tin 0.40.
    assert lines(folder / "row.csv")[1] == "BUNDLE;Für Anfänger;Sets;9,90;3,50;3,25;1;"


def test_stars_are_counted_out_in_whole_ones(folder):
    starred = MAP.replace("quality_most = 5", 'quality_most = 5\nstars = "*"')
    (folder / "map.toml").write_text(starred, encoding="utf-8")
    run("--bundle-row", "row.csv")
    assert lines(folder / "row.csv")[1].split(";")[5] == "***"


def test_only_rows_whose_stock_changes_are_written_and_all_else_as_it_stands(folder):
    run("--stock-after", "stock.csv", "--copies", 2)
    # The bag is unlimited, and the lamp is not packed.
    assert lines(folder / "stock.csv") == [
        GOODS.splitlines()[0],
        "S1;Kranichschere;Scheren;5,00;2,10;4;4;03.11.26",
        'C1;"Dose; rund";CASE;1,00;0,40;3;0;gestern',
        "",
    ]


def test_what_is_owned_or_at_home_is_taken_from_no_shelf(folder):
    (folder / "drawer.csv").write_text("sku\nC1\n")
    run("--stock-after", "home.csv", "--home", "drawer.csv")
    run("--stock-after", "own.csv", "--set", 'choose.own=["C1"]')
    for name in ("home.csv", "own.csv"):
        assert [line[:3] for line in lines(folder / name)[1:]] == ["S1;", ""]


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "iso8859-15"])
def test_the_encoding_is_the_file_s_own_with_its_mark(folder, codec):
    # With a euro sign ISO 8859-15 is known from the bytes.
    (folder / "till.csv").write_bytes(
        GOODS.replace("Netz", "€-Netz").replace("–", "-").encode(codec)
    )
    run("--bundle-row", "row.csv", "--stock-after", "stock.csv")
    for name in ("row.csv", "stock.csv"):
        written = (folder / name).read_bytes()
        assert written.startswith(codecs.BOM_UTF8) == (codec == "utf-8-sig")
        assert written.decode(codec).startswith("Artikel;Bezeichnung;Gruppe;VK;EK;Note;Bestand;Ge")
        assert "ä" in written.decode(codec)


@pytest.mark.usefixtures("folder")
def test_both_go_to_standard_output_byte_by_byte_but_only_one_at_once():
    assert "Für Anfänger" in run("--bundle-row", "-").stdout_bytes.decode("cp1252")
    run("--bundle-row", "-", "--stock-after", "-", code=2)


def test_more_bundles_than_the_stock_makes_are_refused_with_what_lacks(folder):
    done = run("--bundle-row", "row.csv", "--stock-after", "stock.csv", "--copies", 3, code=1)
    assert "C1 (Dose; rund): 3 are needed and 2 are in stock: order 1." in done.stderr
    assert not list(folder.glob("[rs]*.csv"))


@pytest.mark.usefixtures("folder")
def test_so_many_copies_are_held_against_the_stock_without_any_file_too():
    assert "order 1." in run("--copies", 3, code=1).stderr
    run("--copies", 2)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--bundle-row", "./till.csv"), "never written over itself"),
        (("--stock-after", "till.csv"), "never written over itself"),
        (("--bundle-row", "row.csv", "--bundle-sku", "S1"), "name another sku"),
        (("--bundle-row", "row.csv", "--bundle-sku", " "), "it is blank"),
        (("--bundle-row", "row.csv", "--set", 'title="Πρώτο"'), "cannot be written in Windows"),
        (("--stock-after", "no/such/folder.csv"), "unwritable"),
    ],
)
def test_what_cannot_be_written_is_bad_input_and_leaves_all_as_it_was(folder, words, said):
    before = (folder / "till.csv").read_bytes()
    done = run(*words, code=2)
    assert said in " ".join(done.output.split())
    assert (folder / "till.csv").read_bytes() == before
    assert sorted(each.name for each in folder.iterdir()) == ["brief.toml", "map.toml", "till.csv"]


def test_without_a_kit_nothing_is_packed(folder):
    done = run("--bundle-row", "row.csv", "--cap", 1, code=1)
    assert "nothing is packed" in done.stderr
    assert not (folder / "row.csv").exists()


def test_a_formula_in_the_shop_s_file_is_written_as_text(folder):
    (folder / "till.csv").write_bytes(GOODS.replace("gestern", "=A1").encode("cp1252"))
    run("--stock-after", "stock.csv")
    assert lines(folder / "stock.csv")[2].endswith(";'=A1")


@pytest.mark.usefixtures("folder")
def test_from_python_a_table_s_rows_are_written_in_utf_8_with_commas():
    goods = pd.DataFrame(
        {
            "SKU": ["S1", "B1"],
            "name": ["Stork", "Bag"],
            "category": ["Scissors", "bag"],
            "price": [5.0, 2.5],
            "quality": [80, 60],
            "stock": [3, 3],
        }
    )
    catalogue = read_catalogue(goods, currency="EUR", keep_written=True)
    outcome = pick(catalogue, read_brief("brief.toml"))
    row = bundle_row(outcome, catalogue, copies=3).decode()
    assert row.splitlines() == [
        "SKU,name,category,price,quality,stock",
        "BUNDLE,Für Anfänger,bundle,6.75,70,3",
    ]
    left = list(csv.reader(stock_after(outcome, catalogue, copies=3).decode().splitlines()))
    assert left[1:] == [
        ["S1", "Stork", "Scissors", "5", "80", "0"],
        ["B1", "Bag", "bag", "2.5", "60", "0"],
    ]
    with pytest.raises(ValueError, match="4 are needed and 3 are in stock: order 1"):
        stock_after(outcome, catalogue, copies=4)
    with pytest.raises(ValueError, match="keep_written"):
        bundle_row(outcome, read_catalogue(goods, currency="EUR"))
