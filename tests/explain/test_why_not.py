"""Why a row is not in the best kit is what trying every kit says, and rows changed show it."""

import csv
import io
import random
from decimal import Decimal
from functools import cache
from typing import NamedTuple

import pytest
from instances.read import read_instance
from instances.text import money, to_csv
from naive import best as naive_best
from naive.till import minor
from seeds import over_seeds

from kitsolver import BadInput, WhyNot, brief_of, pick, read_catalogue, why_not
from kitsolver.brief.choosing import keeping
from kitsolver.explain.demands.registry import barring
from kitsolver.explain.why_not import Verdict

# With a row that is told both a price and a quality at which it would be in the best kit.
TOLD = [73_007, 73_020, 73_025, 73_046, 73_047, 73_051, 73_061]


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


def cases(folder, seed, skus=some, wanted=lambda _: True):
    """Ask of some rows of an instance why they are not in the best kit."""
    catalogue, read, text, asked = read_instance(folder, seed)
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
    """Give the rows of an instance that a kit may hold, and the best kit does not."""
    folder = tmp_path_factory.mktemp("beaten")
    return cache(lambda seed: list(cases(folder, seed, wanted=may_be_in)))


def expected_verdict(case):
    if case.best is None:
        return Verdict.NO_KIT
    if case.holds(case.best):
        return Verdict.IN
    if case.with_it is None or case.row["sku"] in case.asked["choose"].get("leave_out", []):
        return Verdict.BARRED
    return Verdict.BEATEN


@over_seeds(range(70_000, 70_010), quick=3)
def test_the_verdict_is_that_of_every_kit(seed, tmp_path):
    found = list(cases(tmp_path, seed))
    assert found
    for case in found:
        assert case.found.verdict == expected_verdict(case), case
        if case.with_it is None or case.best is None:
            # Where only the goods beside it bar a row, no demand is in the way.
            assert case.found.why is not None or case.found.barred, case
        else:
            assert case.found.why is None, case
        assert (case.found.best is None) == (case.best is None), case


def test_thread_that_another_dominates_is_told_of_as_kept(tmp_path):
    (found,) = cases(tmp_path, 210, skus=lambda *_: ["a16"])
    assert found.found.verdict == expected_verdict(found) == Verdict.BEATEN


@pytest.mark.slow
def test_the_instances_give_every_verdict(tmp_path):
    found = {case.found.verdict for s in range(70_000, 70_010) for case in cases(tmp_path, s)}
    # Those of rows that were not read, and of too little time, have tests of their own.
    others = {Verdict.UNKNOWN, Verdict.PASSED_OVER, Verdict.REFUSED}
    assert found == set(Verdict) - others


@over_seeds([*range(70_100, 70_105), 70_107, 70_109, 70_110, 70_113], quick=3)
def test_of_a_row_in_the_best_kit_the_best_without_it_is_told(seed, tmp_path):
    def inside(case):
        return case.best is not None and case.holds(case.best)

    found = list(cases(tmp_path, seed, wanted=inside))
    assert found
    for case in found:
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


@over_seeds([70_223, 70_230, 70_232, 70_246, 70_251, 70_254], quick=2)
def test_a_row_that_is_left_out_is_barred_and_still_compared(seed, tmp_path):
    def good(case):
        return case.best is not None and case.with_it is not None

    compared = list(cases(tmp_path, seed, left_out, good))
    assert compared
    for case in compared:
        assert case.found.verdict is Verdict.BARRED, case
        assert case.found.barred[0] == "The brief leaves it out.", case
        assert case.found.with_it.figures.payable == case.with_it["payable"], case
        assert case.found.with_it.figures.quality == case.with_it["quality"], case


@over_seeds([*TOLD, 73_000, 73_004, *range(73_009, 73_016), 73_019, 73_038], quick=3)
def test_the_kit_with_it_is_the_best_that_holds_it(seed, beaten):
    assert beaten(seed)
    for case in beaten(seed):
        figures = case.found.with_it.figures
        expected = tuple(case.with_it[key] for key in ("quality", "extras", "payable"))
        assert (figures.quality, figures.extras, figures.payable) == expected, case
        lines = sorted((e.sku, e.units, e.role) for e in case.found.with_it.lines)
        assert lines == case.with_it["lines"], case


@over_seeds([*TOLD, 73_010, 73_032, 73_068], quick=3)
def test_at_the_price_told_the_row_is_in_the_best_kit(seed, beaten):
    told = [case for case in beaten(seed) if case.found.price is not None]
    assert told
    for case in told:
        price = money(case.found.price, case.asked["currency"])
        assert case.holds(case.best_with(price=price)), (str(case), price)


def alone_in_its_price(case):
    """Tell whether what else is in the kit does not change how many units of the row it takes."""
    till = case.asked["till"]
    gap = "delivery" in till and "delivery_free_from" in till
    owned = case.row["sku"] in case.asked["choose"].get("own", [])
    priced = minor(case.row["price"], case.asked["currency"])
    return priced and not owned and not gap and case.row["category"] not in ("fabric", "thread")


@over_seeds([*TOLD, 73_009, 73_013, 73_015, 73_023, 73_039, 73_050, 73_068], quick=3)
def test_at_a_higher_price_no_kit_with_the_row_is_better(seed, beaten):
    priced = [case for case in beaten(seed) if alone_in_its_price(case)]
    assert priced
    for case in priced:
        currency, price = case.asked["currency"], case.found.price
        above = 0 if price is None else price + 1
        assert above <= minor(case.row["price"], currency), case
        kit = case.best_with(price=money(above, currency))
        assert rank(kit)[:2] == rank(case.best)[:2], (str(case), above)


@over_seeds([*TOLD, 73_000, 73_009, 73_011, *range(73_013, 73_016), 73_019, 73_036], quick=3)
def test_with_the_quality_told_the_row_is_in_the_best_kit(seed, beaten):
    told = [case for case in beaten(seed) if case.found.quality is not None]
    assert told
    for case in told:
        quality = Decimal(case.found.quality) / 100
        assert case.holds(case.best_with(quality=str(quality))), (str(case), quality)
        assert quality >= Decimal(case.row["quality"]), case


@over_seeds([*TOLD, 73_000, 73_009, 73_011, *range(73_013, 73_016), 73_019, 73_023], quick=3)
def test_with_less_quality_no_kit_with_the_row_is_better(seed, beaten):
    """Where none is told, not even the highest will do; thread counts by how near it is, too."""
    lowered = 0
    for case in beaten(seed):
        quality = case.found.quality
        below = Decimal(100_00 if quality is None else quality - 1) / 100
        if case.row["category"] == "thread" or below < Decimal(case.row["quality"]):
            continue
        kit = case.best_with(quality=str(below))
        assert rank(kit) == rank(case.best), (str(case), below)
        lowered += 1
    assert lowered


@pytest.mark.slow
def test_the_instances_have_beaten_rows_of_every_sort(beaten):
    found = [case for seed in range(73_000, 73_070) for case in beaten(seed)]
    priced = {case.row["category"] for case in found if case.found.price is not None}
    assert {"fabric", "chart"} <= priced
    told = {(case.asked["extras"]["spend"], case.found.quality is None) for case in found}
    assert {("leftover", False), ("leftover", True), ("together", False)} <= told


@over_seeds([*range(70_400, 70_414), 70_415, 70_416, *range(70_418, 70_430)], quick=3)
def test_what_bars_a_row_by_itself_leaves_no_kit_with_it(seed, tmp_path):
    catalogue, read, text, asked = read_instance(tmp_path, seed)
    barred = 0
    for sku in catalogue.skus:
        left_out = sku in read.choose.leave_out
        if list(barring(sku, read, catalogue))[left_out:]:
            assert naive_best(text, let_in(asked, sku)) is None, sku
            barred += 1
    assert barred


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


OF_CHARTS = """\
sku,name,category,price,quality,stock,stitches_wide,stitches_high,colours,weave,count,width_cm,height_cm
C1,Gull,chart,5.00,80,,30,30,#e8e0c8:120,,,,
F1,Cream,fabric,6.00,70,,,,,aida,14,40,40
T1,Cream,thread,1.20,50,,,,#e8e0c8,,,,
T2,Cream silk,thread,1.40,90,2,,,#e8e0c8,,,,
"""


def test_thread_that_is_short_of_a_skein_for_each_pool_is_barred(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text(OF_CHARTS, encoding="utf-8")
    catalogue = read_catalogue(shop, currency="EUR")
    asked = {"currency": "EUR", "cap": "150.00", "holds": ["chart", "fabric", "thread"], "heads": 6}
    found = why_not(catalogue, brief_of(asked), "T2")
    assert found.barred == ("It has 2 in stock, and 6 would be needed.",)
    assert found.why.because == (
        "There is no kit, because goods are to be in stock for 6 heads: "
        "T2 (row 5) has 2 in stock, and 6 would be needed.",
    )
    for mend in found.why.mends:
        assert pick(catalogue, mend.applied(keeping(brief_of(asked), ["T2"]))).kit is not None
    assert found.why.mends[0].options == "--set needs.thread.shared_by=3"
    spare = why_not(catalogue, brief_of(asked | {"heads": 1, "spare": 2}), "T2").why
    assert "in stock for one head and 2 kits to spare: T2" in spare.because[0]
    in_pools = brief_of(asked | {"needs": {"thread": {"shared_by": 3}}})
    assert why_not(catalogue, in_pools, "T2").verdict is Verdict.IN


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


@pytest.mark.parametrize(
    ("seed", "further", "sku"),
    [(85, False, "b69"), pytest.param(78, True, "B37", marks=pytest.mark.slow)],
)
def test_what_would_let_a_barred_row_in_gives_a_kit_with_it(seed, further, sku, tmp_path):
    # With nothing demanded at all these shops have no kit, but without their cap they have.
    shop = read_instance(tmp_path, seed, further=further)
    found = why_not(shop.catalogue, shop.brief, sku)
    assert found.verdict is Verdict.BARRED
    assert found.why.conflict == ("cap",)
    assert found.why.mends
    for mend in found.why.mends:
        kit = pick(shop.catalogue, mend.applied(keeping(shop.brief, [sku]))).kit
        assert sku in {line.sku for line in kit.lines}
