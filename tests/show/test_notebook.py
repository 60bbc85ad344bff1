"""A kit, an outcome and a ladder show themselves: with the record's figures, and escaped."""

import html
from pathlib import Path

import html5lib
import pytest

from kitsolver import brief_of, ladder, pick, read_brief, read_catalogue, record_of
from kitsolver.show.ladder import ladder_record

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


@pytest.fixture(scope="module")
def shop():
    return read_catalogue(SHOP, currency="EUR")


@pytest.fixture(scope="module")
def brief():
    return read_brief(DEMO / "bundle.toml")


def shown(one):
    text = one._repr_html_()
    html5lib.HTMLParser(strict=True).parseFragment(text)
    return html.unescape(text)


def test_a_kit_shows_every_line_and_what_is_payable(shop, brief):
    outcome = pick(shop, brief)
    record, text = record_of(outcome), shown(outcome.kit)
    for line in record["lines"]:
        for cell in (str(line["units"]), line["name"], line["sku"], line["line_total"]):
            assert f"<td>{cell}</td>" in text
    assert f"payable {record['payable']} EUR" in text


def test_an_outcome_shows_its_title_and_its_kit_or_none(shop, brief):
    text = shown(pick(shop, brief))
    assert "Starter bundle for the counter" in text
    assert "best" in text
    assert "<table>" in text
    none = shown(pick(shop, brief_of({"currency": "EUR", "cap": "1"})))
    assert "no kit" in none
    assert "<table>" not in none


def test_a_ladder_shows_every_rung(shop, brief):
    found = ladder(shop, brief, low=2000, high=3000)
    text = shown(found)
    record = ladder_record(found)
    assert len(record["rungs"]) > 3
    for rung in record["rungs"]:
        assert f"<td>{rung['cap']}</td><td>{rung['quality']}</td>" in text


def test_what_a_catalogue_or_brief_says_is_no_markup(tmp_path):
    rows = SHOP.read_text(encoding="utf-8").replace("Hermit Crab", "<b>Hermit</b> & Crab")
    (tmp_path / "shop.csv").write_text(rows, encoding="utf-8")
    goods = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    asked = {"currency": "EUR", "cap": "30", "title": "<i>x</i>"}
    asked["choose"] = {"keep": ["CH-HERMIT"]}
    text = pick(goods, brief_of(asked))._repr_html_()
    assert "&lt;b&gt;Hermit&lt;/b&gt; &amp; Crab" in text
    assert "&lt;i&gt;x&lt;/i&gt;" in text
    assert "<b>" not in text
    assert "<i>" not in text
