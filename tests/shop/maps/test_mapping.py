"""A shop's own headers and values become ours, and findings name what the shop has."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from kitsolver import BadInput, pick, read_brief, read_catalogue, record_of
from kitsolver.cli import app
from kitsolver.shop.maps.mapping import ColumnMap, read_map

DEMO = Path(__file__).parents[3] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


def test_the_kit_is_the_same(theirs):
    brief = read_brief(DEMO / "bundle.toml")
    goods = read_catalogue(
        theirs / "laden.csv", currency="EUR", mapping=read_map(theirs / "map.toml")
    )
    ours = read_catalogue(SHOP, currency="EUR")
    assert record_of(pick(goods, brief)) == record_of(pick(ours, brief))


def test_every_command_takes_the_map(theirs):
    shop, brief, where = (
        str(theirs / "laden.csv"),
        str(DEMO / "bundle.toml"),
        str(theirs / "map.toml"),
    )
    for command in (
        ("check", shop, brief),
        ("pick", shop, brief, "--json", str(theirs / "kit.json")),
        ("ladder", shop, brief, "--from", "29", "--to", "30"),
        ("others", shop, brief, "--count", "1"),
        ("why", shop, brief, "SC-HERON"),
        ("recheck", str(theirs / "kit.json"), shop),
        ("batch", shop, brief, "--out", str(theirs / "out"), "--workers", "1"),
    ):
        assert CliRunner().invoke(app, command).exit_code != 0, command
        done = CliRunner().invoke(app, [*command, "--columns", where])
        assert done.exit_code == 0, (command, done.output)


def findings_of(theirs, old, new):
    text = (theirs / "laden.csv").read_text(encoding="utf-8")
    assert old in text
    (theirs / "laden.csv").write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_catalogue(theirs / "laden.csv", currency="EUR", mapping=read_map(theirs / "map.toml"))
    return caught.value.findings


def test_findings_name_the_shop_s_own_header(theirs):
    row = "CH-TWOPEBBLES,Two Pebbles and a Feather,Vorlage"
    (found,) = findings_of(theirs, f'{row},"0,80"', f"{row},gratis")
    assert (found.code, found.row, found.value) == ("not-a-number", 4, "gratis")
    assert found.column == "VK-Preis"


def test_a_mapped_column_that_is_not_there_is_a_finding_with_the_nearest(theirs):
    found = findings_of(theirs, "VK-Preis", "VK-Preise")
    assert [one.code for one in found] == ["mapped-column-missing"]
    assert found[0].hint == "did you mean VK-Preise?"


@pytest.mark.parametrize(
    ("text", "code", "hint"),
    [
        ("columns = 3", "bad-map", ""),
        ("colums = {}", "unknown-map-key", "did you mean columns?"),
        ('columns = { prise = "x" }', "unknown-own-column", "did you mean price?"),
        ('lengths = { price = "cm" }', "unknown-own-column", ""),
        ('lengths = { width_cm = "ell" }', "bad-map", ""),
        ("quality_most = 0", "bad-map", ""),
        ("quality_most = 1e-5000", "bad-map", ""),
        ("quality_most = 1000001", "bad-map", ""),
        ("= 3", "unreadable-map", ""),
    ],
)
def test_a_map_that_cannot_be_used_is_told(tmp_path, text, code, hint):
    (tmp_path / "map.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_map(tmp_path / "map.toml")
    assert caught.value.findings[0].code == code
    assert caught.value.findings[0].hint.startswith(hint)


def price_of(tmp_path, text, **keys):
    shop = tmp_path / "shop.csv"
    with shop.open("w", newline="") as file:
        csv.writer(file).writerows(
            [["sku", "name", "category", "price", "quality"], ["A", "a", "bag", text, "50"]]
        )
    return read_catalogue(shop, currency="EUR", mapping=ColumnMap(**keys)).row("A")["price"]


@given(st.integers(0, 10**8))
def test_every_sum_with_a_comma_is_read_as_it_is_meant(tmp_path_factory, minor):
    folder = tmp_path_factory.mktemp("sums")
    plain = f"{minor // 100}.{minor % 100:02d}"
    assert price_of(folder, plain.replace(".", ","), decimal_comma=True) == plain
    parted = f"{minor // 100:,}".replace(",", ".") + f",{minor % 100:02d}"
    assert price_of(folder, parted, decimal_comma=True) == plain


def test_two_of_their_categories_may_be_one_of_ours(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text(
        "sku,name,category,price,quality\nA,a,Beutel,1,1\nB,b,Tasche,1,1\nC,c,bag,1,1\n"
    )
    mapping = ColumnMap(categories={"Beutel": "bag", "Tasche": "bag"})
    assert len(read_catalogue(shop, currency="EUR", mapping=mapping).shelves["bag"]) == 3


def test_a_header_of_ours_that_means_something_else_stays_the_shop_s_own(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text("sku,name,category,price,quality,net\nA,a,bag,9.00,50,7.00\n")
    goods = read_catalogue(shop, currency="EUR", mapping=ColumnMap(columns={"price": "net"}))
    assert goods.row("A")["price"] == "7.00"
    assert goods.row("A")["price (as it was)"] == "9.00"
