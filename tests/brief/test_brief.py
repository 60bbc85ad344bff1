"""A brief made in Python: checked as a file is, and unchangeable in every table."""

import copy
import pickle

import pytest

from brief.conftest import places
from kitsolver import BadInput, Brief, brief_of, pick, read_catalogue


@pytest.mark.parametrize(
    ("more", "code", "column"),
    [
        ({}, "no-cap", None),
        ({"cap": "30", "cap_per_head": "3"}, "two-caps", None),
        ({"cap": "many"}, "bad-value", "cap"),
        ({"cap": "30", "heads": "two"}, "bad-value", "heads"),
        ({"cap": "30", "holds": "chart"}, "bad-value", "holds"),
        ({"cap": "30", "caps": "30"}, "unknown-key", "caps"),
        ({"cap": "30.001"}, "finer-than-currency", "cap"),
        ({"cap": "30", "choose": {"keep": ["A"], "leave_out": ["A"]}}, "kept-and-left-out", None),
    ],
)
def test_what_a_file_may_not_say_is_refused_in_python_too(more, code, column):
    with pytest.raises(BadInput) as made:
        Brief(currency="EUR", **more)
    assert made.value.findings[0].code == code
    assert column in (None, made.value.findings[0].column)
    with pytest.raises(BadInput) as read:
        brief_of({"currency": "EUR", **more})
    assert places(made.value.findings) == places(read.value.findings)


def test_the_currency_must_be_there():
    with pytest.raises(BadInput) as bad:
        Brief(cap="30")
    assert [found.code for found in bad.value.findings] == ["missing-key"]


def test_a_brief_made_in_python_is_the_brief_of_the_same_data():
    fabric = {"only": {"count": [14]}, "score": {"quality": 1}}
    data = {"currency": "EUR", "cap": "30.00", "needs": {"fabric": fabric}}
    assert Brief(**data) == brief_of(data)


TABLES = {
    "needs.fabric.only": lambda brief: brief.need("fabric").only,
    "needs.fabric.score": lambda brief: brief.need("fabric").score,
    "needs.fabric.range": lambda brief: brief.need("fabric").range,
    "needs.chart.only, by default": lambda brief: brief.need("chart").only,
    "extras.conditions": lambda brief: brief.extras.conditions,
    "fit.needles": lambda brief: brief.fit.needles,
    "shades.kinds": lambda brief: brief.shades.kinds,
}


@pytest.fixture(scope="module")
def brief():
    return Brief(
        currency="EUR",
        cap="30.00",
        needs={"fabric": {"only": {"count": [14]}, "score": {"a": 1}, "range": {"a": [0, 9]}}},
        extras={"conditions": {"hoop": {"min_quality": 50}}},
        fit={"needles": {"14": [24]}},
        shades={"kinds": {"metallic": ["cotton"]}},
    )


@pytest.mark.parametrize("table", TABLES)
def test_a_table_with_free_keys_does_not_change(brief, table):
    held = TABLES[table](brief)
    before = dict(held)
    for change in (
        lambda: held.update(x=1),
        lambda: held.__setitem__("x", 1),
        lambda: held.setdefault("x", 1),
        held.clear,
        lambda: held.pop("x", None),
    ):
        with pytest.raises(TypeError, match="does not change"):
            change()
    assert held == before


def test_a_brief_is_a_value(brief):
    for same in (pickle.loads(pickle.dumps(brief)), copy.deepcopy(brief)):
        assert same == brief
        assert hash(same) == hash(brief)
    assert brief_of(brief.model_dump(mode="json")) == brief


def test_a_catalogue_in_another_currency_is_refused(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text("sku,name,category,price,quality\nS1,Stork,scissors,5,60\n", encoding="utf-8")
    brief = Brief(currency="EUR", cap="30", holds=["scissors"])
    with pytest.raises(BadInput, match=r"prices are in GBP"):
        pick(read_catalogue(shop, currency="GBP"), brief)
    assert pick(read_catalogue(shop), brief).kit
