"""The till as constraints of a model, at its ends: it comes to what exact enumeration pays."""

import pytest
from enumeration import best
from instances import to_toml
from instances.text import to_csv

from kitsolver import Engine, brief_of, pick, read_brief, read_catalogue


def row(sku, category, price, **cells):
    return {"sku": sku, "name": sku, "category": category, "price": price, "quality": "80"} | cells


# A rate of its own makes what is paid a part of the model.
TINY = [
    row("a", "scissors", "0.01"),
    row("b", "case", "0.02"),
    row("c", "charm", "0.05", tax_rate="0.07"),
]
DOWNLOADED = [
    row("a", "scissors", "3.00", download="yes"),
    row("b", "case", "1.00", tax_rate="0.07"),
]
CASES = {
    # What is rounded comes to nothing, or to one unit.
    "a discount of less than a unit": (TINY, {"discount_rate": "0.1"}),
    "a tax of less than a unit": (TINY, {"tax_rate": "0.19"}),
    "half a unit": (TINY, {"tax_rate": "0.5", "discount_rate": "0.5"}),
    "half a unit to the even one": (TINY, {"tax_rate": "0.5", "rounding": "half-even"}),
    # Where nothing is delivered, delivery is neither charged nor free.
    "downloads only": (DOWNLOADED[:1], {"delivery": "4.00"}),
    "a download and goods": (DOWNLOADED, {"delivery": "0.50", "delivery_free_from": "50.00"}),
    "free from a sum": (DOWNLOADED, {"delivery": "4.00", "delivery_free_from": "4.00"}),
    # A tax on delivery that is more than all goods.
    "a discount to the even one": (TINY, {"discount_rate": "0.5", "rounding": "half-even"}),
    "all of it taxed": (TINY, {"tax_rate": 1, "delivery": "5.00", "tax_on_delivery": True}),
    "no money left for the tax on delivery": (
        [*DOWNLOADED[1:], row("a", "scissors", "0.02")],
        {"tax_rate": 1, "delivery": "3.00", "tax_on_delivery": True},
    ),
    "a rate of its own": (
        [*TINY[1:], row("a", "scissors", "0.30", tax_rate="0.07")],
        {"tax_rate": "0.2", "discount_rate": "0.15"},
    ),
}


@pytest.mark.parametrize("rounding", ["half-up", "half-even"])
@pytest.mark.parametrize("cap", ["0.04", "4.10", "20.00"])
@pytest.mark.parametrize("case", CASES)
def test_a_model_pays_what_enumeration_pays(case, cap, rounding, tmp_path):
    rows, till = CASES[case]
    text = to_csv(rows)
    till = {"rounding": rounding} | till
    asked = {"currency": "EUR", "cap": cap, "holds": ["scissors"], "till": till}
    shop, toml = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    toml.write_text(to_toml(asked), encoding="utf-8")
    kit = pick(read_catalogue(shop, currency="EUR"), read_brief(toml), engine=Engine.ONE_SHOT).kit
    expected = best(text, asked)
    assert (kit is None) == (expected is None)
    if kit is not None:
        assert kit.receipt.payable == expected["payable"]
        assert kit.figures.extras == expected["extras"]


@pytest.mark.parametrize("engine", Engine)
@pytest.mark.parametrize(("column", "cell"), [("tax_rate", "0.50"), ("download", "yes")])
def test_a_row_that_costs_less_but_for_its_tax_or_delivery_dominates_no_other(
    column, cell, engine, tmp_path
):
    # The first row comes to 1.50 with its tax, or to 2.00 with its delivery.
    rows = [row("a", "scissors", "1.00"), row("b", "scissors", "1.20")]
    taxed = column == "tax_rate"
    rows[0 if taxed else 1][column] = cell
    till = {} if taxed else {"delivery": "1.00"}
    asked = {"currency": "EUR", "cap": "1.20", "holds": ["scissors"], "till": till}
    (tmp_path / "shop.csv").write_text(to_csv(rows), encoding="utf-8", newline="")
    (tmp_path / "brief.toml").write_text(to_toml(asked), encoding="utf-8")
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    kit = pick(catalogue, read_brief(tmp_path / "brief.toml"), engine=engine).kit
    assert [line.sku for line in kit.lines] == ["b"]


@pytest.mark.parametrize("rounding", ["half-up", "half-even"])
@pytest.mark.parametrize(("price", "cap"), [("0.07", "0.08"), ("0.12", "0.14"), ("0.08", "0.10")])
def test_a_model_rounds_what_is_just_below_and_above_a_half(price, cap, rounding, tmp_path):
    """A fifth of 7 is 1.4, of 12 it is 2.4, and of 8 it is 1.6."""
    rows = [row("a", "scissors", price), row("c", "charm", "5.00", tax_rate="0.07")]
    till = {"tax_rate": "0.2", "rounding": rounding}
    (tmp_path / "shop.csv").write_text(to_csv(rows), encoding="utf-8", newline="")
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    asked = {"currency": "EUR", "holds": ["scissors"], "till": till}
    just = pick(catalogue, brief_of(asked | {"cap": cap}), engine=Engine.ONE_SHOT).kit
    assert [line.sku for line in just.lines] == ["a"]
    below = f"0.{int(cap[2:]) - 1:02}"
    assert pick(catalogue, brief_of(asked | {"cap": below}), engine=Engine.ONE_SHOT).kit is None


def test_a_tax_may_be_as_much_as_all_goods(tmp_path):
    """All of 0.02, at a rate of the row's own, is 0.02: an even number."""
    (tmp_path / "shop.csv").write_text(to_csv([row("a", "scissors", "0.02", tax_rate="1")]))
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    till = {"tax_rate": "0.5", "rounding": "half-even"}
    asked = brief_of({"currency": "EUR", "cap": "0.04", "holds": ["scissors"], "till": till})
    assert pick(catalogue, asked, engine=Engine.ONE_SHOT).kit.receipt.payable == 4


@pytest.mark.parametrize(("sku", "skus"), [("Z", ["S"]), ("A", ["A", "S"])])
def test_what_is_owned_and_counts_for_nothing_is_there_only_if_it_comes_first(sku, skus, tmp_path):
    """Section 8 of the specification: of equal kits the smallest list of skus and units."""
    rows = [row("S", "scissors", "1.00"), row(sku, "case", "1.00", quality="0")]
    (tmp_path / "shop.csv").write_text(to_csv(rows), encoding="utf-8", newline="")
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    asked = {"currency": "EUR", "cap": 9, "holds": ["scissors"], "choose": {"own": [sku]}}
    for engine in Engine:
        kit = pick(catalogue, brief_of(asked), engine=engine).kit
        assert sorted(line.sku for line in kit.lines) == skus
