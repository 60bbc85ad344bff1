"""Sizes on fabric, needles and the worked example of the trade, alone and in a whole pick."""

from decimal import Decimal
from fractions import Fraction

import pytest

from kitsolver import brief_of, pick, read_catalogue, record_of
from kitsolver.craft.fit import Size, cut_size, effective_count, finished_size, fits, repeats
from kitsolver.craft.lengths import CM, INCH, rounded, to_units
from kitsolver.craft.needles import suiting


def inches(*sides):
    return Size(*(to_units(Decimal(side), INCH) for side in sides))


def test_an_inch_is_25_4_mm_exactly():
    # International yard and pound agreement, 1 July 1959 (NBS Circular 572 addendum, 1960).
    assert 10 * to_units(Decimal(1), INCH) == to_units(Decimal("25.4"), CM)


@pytest.mark.parametrize(
    ("weave", "count", "over", "finished"),
    [  # By division; that 28 over two equals 14 is a fact of the trade.
        ("aida", 14, 1, "10"),
        ("aida", 16, 2, "8.75"),
        ("evenweave", 25, 1, "5.6"),
        ("evenweave", 25, 2, "11.2"),
        ("linen", 28, 2, "10"),
    ],
)
def test_140_stitches_finish_at(weave, count, over, finished):
    size = finished_size(140, 140, effective_count(weave, Fraction(count), over))
    assert size == inches(finished, finished)


def test_worked_example_touches_exactly():
    # A fact of the trade: 4 x 5 1/2 in at 14 count goes twice on 14 x 17 in, with margins of 3 in
    # of which neighbours share one: 2 x 4 + 3 x 3 = 17, and 5 1/2 + 2 x 3 is within 14.
    design, margin = finished_size(56, 77, Fraction(14)), 3 * INCH
    assert design == inches("4", "5.5")
    for piece in (inches("14", "17"), inches("17", "14")):
        assert repeats(design, margin, piece) == 2
    assert repeats(design, margin, inches("14", "16.99")) == 1
    two = Size(2 * design.width + margin, design.height)
    assert fits(cut_size(two, margin), inches("14", "17"))
    assert not fits(cut_size(two, margin), inches("14", "16.99"))


HEADER = "sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count"
SIDES = "width_cm,height_cm,width_in,height_in"


def pick_on(tmp_path, cells):
    rows = (
        "C,Two geese,chart,5.00,80,56,77,#203040:900,,,,,,,",
        f"F,White cloth,fabric,6.00,70,,,,aida,14,{cells},",
        "N,Needle,needle,1.00,60,,,,,,,,,,26",
        "T,Slate blue,thread,1.00,90,,,#203040,,,,,,,",
    )
    shop = tmp_path / "shop.csv"
    shop.write_text("\n".join([f"{HEADER},{SIDES},needle_sizes", *rows]), encoding="utf-8")
    asked = {"currency": "EUR", "cap": "20", "holds": ["chart", "fabric", "thread", "needle"]}
    return record_of(pick(read_catalogue(shop, currency="EUR"), brief_of(asked)))


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        (",,14,17", 2),
        (",,17,14", 2),
        ("35.56,43.18,,", 2),
        ("43.18,35.56,,", 2),
        (",,14,16.99", 1),
        ("35.56,43.17,,", 1),
    ],
)
def test_worked_example_through_a_whole_pick(tmp_path, cells, expected):
    # The default margin, 7.62 cm, is the 3 in of the example.
    record = pick_on(tmp_path, cells)
    assert record["status"] == "best"
    assert record["fit"]["repeats"] == expected
    assert record["fit"]["finished_cm"] == [10.16, 13.97]
    assert record["fit"]["cut_cm"] == [25.4, 29.21]
    assert all(check["holds"] for check in record["checks"])


@pytest.mark.parametrize("cells", [",,10,11.5", ",,11.5,10", "25.4,29.21,,", "29.21,25.4,,"])
def test_one_design_that_touches_exactly_is_picked_and_a_hair_less_is_not(tmp_path, cells):
    assert pick_on(tmp_path, cells)["status"] == "best"
    for whole, less in (("11.5", "11.49"), ("29.21", "29.20")):
        if whole in cells:
            assert pick_on(tmp_path, cells.replace(whole, less))["status"] == "no kit"


def test_lengths_are_shown_rounded_half_up():
    # 77 stitches on 16 count: 4.8125 in = 12.22375 cm; 70 on 14: 12.7 cm.
    assert rounded(finished_size(77, 70, Fraction(16)).width) == Decimal("12.22")
    assert rounded(Fraction(12_225 * CM, 1000)) == Decimal("12.23")


@pytest.mark.parametrize(
    ("count", "sizes"),
    [  # Common practice, no source; sources differ. At 14 practitioners themselves state size 26.
        ("1", {18, 20, 22}),
        ("8", {18, 20, 22}),
        ("8.01", {22, 24}),
        ("11", {22, 24}),
        ("11.01", {24, 26}),
        ("14", {24, 26}),
        ("16", {24, 26}),
        ("16.01", {26, 28}),
        ("18", {26, 28}),
        ("22", {26, 28}),
        ("22.01", {28}),
        ("40", {28}),
    ],
)
def test_needle_table(count, sizes):
    assert suiting(Fraction(count)) == sizes
    assert suiting(Fraction(count), {Fraction("12.5"): frozenset({20})}) == sizes
    assert suiting(Fraction(count), {Fraction(count): frozenset({20})}) == {20}
