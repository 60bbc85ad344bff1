"""Every result shows itself: with the record's figures, and escaped."""

import html
import json
from pathlib import Path

import html5lib
import pytest

from kitsolver import (
    Batch,
    Range,
    answer,
    brief_of,
    copies_of,
    ladder,
    make_range,
    notebook_html,
    others,
    pick,
    read_brief,
    read_catalogue,
    recheck,
    record_of,
    why_not,
)
from kitsolver.brief.range import RangeKit
from kitsolver.explain.recheck.saved import saved_of
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


def results(shop, brief):
    """Yield one of each kind of result, with its name."""
    kit = pick(shop, brief)
    record = json.loads(json.dumps(record_of(kit)))
    saved = saved_of(record)
    asked = Range("", "Window", "EUR", False, (), (RangeKit("one", 2, brief),))
    none = brief_of({"currency": "EUR", "cap": "1", "title": "Little"})
    yield "an answer", answer(shop, none), "Little"
    yield "the reasons why there is no kit", answer(shop, none).why, "cap"
    yield "others", others(shop, brief, 1), "Heron&#x27;s bill scissors"
    yield "why not", why_not(shop, brief, "SC-GULLWING"), "barred"
    yield "a recheck", recheck(saved, shop), "still stands"
    yield "a range", make_range(shop, asked), "Window"
    yield "a range's outcome", make_range(shop, asked).outcome, "Hermit Crab"
    yield "copies", copies_of(saved, shop), "<td>CH-HERMIT</td>"
    yield "a catalogue", shop, "<td>fabric</td>"


def test_every_result_shows_itself(shop, brief):
    for name, result, told in results(shop, brief):
        text = result._repr_html_()
        html5lib.HTMLParser(strict=True).parseFragment(text)
        assert told in text, name


def test_what_is_no_result_is_refused():
    with pytest.raises(TypeError, match="a str cannot be shown"):
        notebook_html("kit")


def test_a_batch_shows_its_briefs():
    row = {"brief": "b<1>", "status": "best", "payable": "3.00", "quality": 70.0, "detail": ""}
    text = Batch("shop.csv", (row | {"skus": ["A", "B"]},))._repr_html_()
    assert "<td>b&lt;1&gt;</td><td>best</td><td>3.00</td><td>70.0</td><td>A, B</td>" in text


def test_rows_that_are_not_offered_are_told(brief, tmp_path):
    rows = SHOP.read_text(encoding="utf-8")
    more = rows.partition("\n")[0].count(",") - 4
    (tmp_path / "shop.csv").write_text(f"{rows}ZZ,bad,bag,x,5{',' * more}\n", encoding="utf-8")
    goods = read_catalogue(tmp_path / "shop.csv", currency="EUR", skip_bad_rows=True)
    told = "Not offered, for their errors: 1 row of bag."
    assert told in shown(goods)
    assert told in shown(pick(goods, brief))
