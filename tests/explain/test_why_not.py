"""Why a row is not in the best kit is what trying every kit says, and rows changed show it."""

import csv
import io
import random
from decimal import Decimal
from typing import NamedTuple

import pytest
from instances import instance, to_toml
from instances.text import money, to_csv
from naive import best as naive_best
from naive.till import minor

from kitsolver import BadInput, WhyNot, brief_of, read_brief, read_catalogue, why_not
from kitsolver.explain.demands.registry import barring
from kitsolver.explain.why_not import Verdict


class Case(NamedTuple):
    """A row of a random instance, the best kits without and with it, and what is said of it."""

    seed: int
    row: dict
    text: str
    asked: dict
    best: dict | None
    with_it: dict | None
    found: WhyNot | None

    def best_with(self, **cells):
        """Give the best kit of a catalogue in which cells of the row are changed."""
        rows = list(csv.DictReader(io.StringIO(self.text)))
        changed = [row | (cells if row["sku"] == self.row["sku"] else {}) for row in rows]
        return naive_best(to_csv(changed), self.asked)

    def holds(self, kit):
        return any(sku == self.row["sku"] for sku, _, _ in kit["lines"])

    def __str__(self):
        return f"instance({self.seed}), {self.row['sku']}"


def rank(kit):
    if kit["combined"] is not None:
        return kit["combined"], -kit["payable"], kit["quality"]
    return kit["quality"], kit["extras"], -kit["payable"]


def let_in(asked, sku):
    """Give a brief that keeps a row, and leaves it out no more."""
    choose = asked["choose"]
    left_out = [other for other in choose.get("leave_out", []) if other != sku]
    keep = list(dict.fromkeys([*choose.get("keep", []), sku]))
    return asked | {"choose": choose | {"keep": keep, "leave_out": left_out}}


def some(rows, _, seed):
    return random.Random(seed).sample(sorted(rows), 6)


def left_out(rows, asked, _):
    return sorted(rows.keys() & set(asked["choose"].get("leave_out", [])))


def cases(tmp_path, seeds, skus=some, wanted=lambda _: True):
    for seed in seeds:
        text, asked = instance(seed)
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(text, encoding="utf-8", newline="")
        brief.write_text(to_toml(asked), encoding="utf-8")
        read = read_brief(brief)
        catalogue = read_catalogue(shop, currency=read.currency)
        best = naive_best(text, asked)
        rows = {row["sku"]: row for row in csv.DictReader(io.StringIO(text))}
        for sku in skus(rows, asked, seed):
            with_it = naive_best(text, let_in(asked, sku))
            case = Case(seed, rows[sku], text, asked, best, with_it, None)
            if wanted(case):
                yield case._replace(found=why_not(catalogue, read, sku))


def may_be_in(case):
    barred = case.with_it is None or case.row["sku"] in case.asked["choose"].get("leave_out", [])
    return not barred and not case.holds(case.best)


@pytest.fixture(scope="module")
def beaten(tmp_path_factory):
    """Rows that a kit may hold, and the best kit does not."""
    folder = tmp_path_factory.mktemp("beaten")
    return list(cases(folder, range(73_000, 73_070), wanted=may_be_in))


def test_the_verdict_is_that_of_every_kit(tmp_path):
    seen = set()
    for case in cases(tmp_path, range(70_000, 70_010)):
        sku, found = case.row["sku"], case.found
        if case.best is None:
            expected = Verdict.NO_KIT
        elif case.holds(case.best):
            expected = Verdict.IN
        elif case.with_it is None or sku in case.asked["choose"].get("leave_out", []):
            expected = Verdict.BARRED
        else:
            expected = Verdict.BEATEN
        assert found.verdict == expected, case
        assert (found.why is not None) == (case.with_it is None or case.best is None), case
        assert (found.best is None) == (case.best is None), case
        seen.add(expected)
    assert seen == set(Verdict)


def test_of_a_row_in_the_best_kit_the_best_without_it_is_told(tmp_path):
    def inside(case):
        return case.best is not None and case.holds(case.best)

    seen = set()
    for case in cases(tmp_path, range(70_100, 70_115), wanted=inside):
        choose = {
            name: [sku for sku in skus if sku != case.row["sku"]]
            for name, skus in case.asked["choose"].items()
        }
        left_out = [*choose.get("leave_out", []), case.row["sku"]]
        expected = naive_best(case.text, case.asked | {"choose": choose | {"leave_out": left_out}})
        without = case.found.without
        assert (without is None) == (expected is None), case
        if without is not None:
            lines = sorted((line.sku, line.units, line.role) for line in without.lines)
            assert lines == expected["lines"], case
        seen.add(without is None)
    assert seen == {True, False}


def test_a_row_that_is_left_out_is_barred_and_still_compared(tmp_path):
    def good(case):
        return case.best is not None and case.with_it is not None

    compared = list(cases(tmp_path, range(70_200, 70_230), left_out, good))
    for case in compared:
        assert case.found.verdict is Verdict.BARRED, case
        assert case.found.barred[0] == "The brief leaves it out.", case
        assert case.found.with_it.figures.payable == case.with_it["payable"], case
        assert case.found.with_it.figures.quality == case.with_it["quality"], case
    assert compared


def test_the_kit_with_it_is_the_best_that_holds_it(beaten):
    for case in beaten:
        figures = case.found.with_it.figures
        expected = tuple(case.with_it[key] for key in ("quality", "extras", "payable"))
        assert (figures.quality, figures.extras, figures.payable) == expected, case
        lines = sorted((e.sku, e.units, e.role) for e in case.found.with_it.lines)
        assert lines == case.with_it["lines"], case
    assert len(beaten) > 25


def test_at_the_price_told_the_row_is_in_the_best_kit(beaten):
    told = [case for case in beaten if case.found.price is not None]
    for case in told:
        price = money(case.found.price, case.asked["currency"])
        assert case.holds(case.best_with(price=price)), (str(case), price)
    assert len(told) > 4
    assert {"fabric", "chart"} <= {case.row["category"] for case in told}


def test_at_a_higher_price_no_kit_with_the_row_is_better(beaten):
    """Only where what else is in the kit does not change how many units it takes."""
    higher = 0
    for case in beaten:
        till, currency = case.asked["till"], case.asked["currency"]
        gap = "delivery" in till and "delivery_free_from" in till
        now = minor(case.row["price"], currency)
        owned = case.row["sku"] in case.asked["choose"].get("own", [])
        if owned or not now or gap or case.row["category"] in ("fabric", "thread"):
            continue
        price = case.found.price
        above = 0 if price is None else price + 1
        assert above <= now, case
        kit = case.best_with(price=money(above, currency))
        assert rank(kit)[:2] == rank(case.best)[:2], (str(case), above)
        higher += not case.holds(kit)
    assert higher > 4


def test_with_the_quality_told_the_row_is_in_the_best_kit(beaten):
    told = [case for case in beaten if case.found.quality is not None]
    for case in told:
        quality = Decimal(case.found.quality) / 100
        assert case.holds(case.best_with(quality=str(quality))), (str(case), quality)
        assert quality >= Decimal(case.row["quality"]), case
    assert len(told) > 10


def test_with_less_quality_no_kit_with_the_row_is_better(beaten):
    """Where none is told, not even the highest will do; thread counts by how near it is, too."""
    less = set()
    for case in beaten:
        if case.row["category"] == "thread":
            continue
        quality = case.found.quality
        below = Decimal(100_00 if quality is None else quality - 1) / 100
        if below < Decimal(case.row["quality"]):
            continue
        kit = case.best_with(quality=str(below))
        assert rank(kit) == rank(case.best), (str(case), below)
        less.add((case.asked["extras"]["spend"], quality is None))
    assert {("leftover", False), ("leftover", True), ("together", False)} <= less, less


def test_what_bars_a_row_by_itself_leaves_no_kit_with_it(tmp_path):
    barred = 0
    for seed in range(70_400, 70_430):
        text, asked = instance(seed)
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(text, encoding="utf-8", newline="")
        brief.write_text(to_toml(asked), encoding="utf-8")
        read = read_brief(brief)
        catalogue = read_catalogue(shop, currency=read.currency)
        for sku in catalogue.skus:
            left_out = sku in read.choose.leave_out
            if list(barring(sku, read, catalogue))[left_out:]:
                assert naive_best(text, let_in(asked, sku)) is None, (seed, sku)
                barred += 1
    assert barred > 50


SHOP = """\
sku,name,category,price,quality,stock,serves,tags,finish,stitches_wide,stitches_high,colours
C1,Grey Gull,chart,3.00,70,,,,,20,20,#808080:400
S1,Snips,scissors,5.00,60,,,sharp;gilt,gilt,,,
S2,Shears,scissors,7.50,80.5,3,2,,,,,
S3,Storks,scissors,6.00,99,,,sharp;gilt,gilt,,,
K1,Tin,case,2.00,50,0,,,,,,
K2,Pouch,case,1.00,40,,,,,,,
"""
NO_MORE = {
    "max_price": ("7.49", "It costs 7.50 EUR, and the brief's limit for scissors is 7.49 EUR."),
    "min_quality": ("80.51", "Its quality is 80.5, and the brief asks for 80.51 or more."),
    "only": ({"finish": ["gilt", "plain"]},
             "Its finish is blank, and the brief asks for gilt or plain."),
    "tags_any": (["gilt", "blunt"],
                 "It carries no tags, and the brief asks for gilt or blunt."),
    "have": (True, "What is at home is to do as scissors, so that none is bought."),
}  # fmt: skip


@pytest.fixture
def bars(tmp_path):
    """Say what bars a row of the small shop from the kits of a brief."""
    shop = tmp_path / "shop.csv"
    shop.write_text(SHOP, encoding="utf-8")
    catalogue = read_catalogue(shop, currency="EUR")

    def bars(sku, **asked):
        brief = brief_of({"currency": "EUR", "cap": "50.00", "holds": ["scissors"]} | asked)
        assert catalogue.row(sku)["sku"] == sku
        found = list(barring(sku, brief, catalogue))
        told = why_not(catalogue, brief, sku)
        assert (told.verdict is Verdict.BARRED) == bool(found), told.verdict
        assert list(told.barred) == found
        return found

    return bars


@pytest.mark.parametrize("condition", NO_MORE)
def test_the_condition_that_a_row_breaks_is_told_with_its_figures(condition, bars):
    value, sentence = NO_MORE[condition]
    assert bars("S2", needs={"scissors": {condition: value}}) == [sentence]


def test_a_tag_that_is_barred_is_told(bars):
    assert bars("S1", needs={"scissors": {"tags_none": ["sharp", "rusty"]}}) == [
        "It carries the tags sharp;gilt, and the brief bars sharp and rusty."
    ]


def test_a_row_at_the_very_limits_is_not_barred(bars):
    at_limits = {"max_price": "7.50", "min_quality": "80.5", "tags_none": ["gilt"]}
    assert bars("S2", needs={"scissors": at_limits}, heads=6) == []


def test_what_is_left_out_or_crowded_out_is_told(bars):
    assert bars("S1", choose={"leave_out": ["S1"]}) == ["The brief leaves it out."]
    kept = ["S2 is to be kept, and a kit holds one scissors."]
    assert bars("S1", choose={"keep": ["S2"]}) == kept


def test_stock_that_is_short_is_told_for_the_heads(bars):
    assert bars("S2", heads=7) == ["It has 3 in stock, and 4 would be needed."]
    assert bars("S2", heads=7, needs={"scissors": {"shared_by": 2}}) == []
    assert bars("K1") == ["It has 0 in stock, and 1 would be needed."]
    assert bars("K1", choose={"own": ["K1"]}) == []


def test_extras_that_are_not_wanted_are_told(bars):
    assert bars("K2", extras={"spend": "none"}) == ["The brief wants no extras."]
    only_charts = {"categories": ["chart"]}
    assert bars("K2", extras=only_charts) == ["Extras are to come from chart only."]
    assert bars("K2", extras={"categories": []}) == ["Extras are to come from nothing only."]
    assert bars("C1") == ["A chart is an extra only where extras.categories names it."]
    assert bars("C1", extras=only_charts) == []


def test_a_sku_that_is_not_for_sale_is_bad_input(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text(SHOP, encoding="utf-8")
    brief = brief_of({"currency": "EUR", "cap": "50.00", "holds": ["scissors"]})
    with pytest.raises(BadInput) as bad:
        why_not(read_catalogue(shop, currency="EUR"), brief, "S9")
    assert [finding.value for finding in bad.value.findings] == ["S9"]
