"""How the audit reads rows, things at home and the home list by itself."""

from dataclasses import FrozenInstanceError, fields
from decimal import Decimal
from fractions import Fraction

import pytest

from kitsolver.brief.conditions import Conditions
from kitsolver.craft.lengths import CM, INCH
from kitsolver.solve.audit.audit import Check
from kitsolver.solve.audit.conditions import Thing, meets
from kitsolver.solve.audit.evidence import (
    Claim,
    Piece,
    Shade,
    length_of,
    number,
    step_of,
    with_figures,
)
from kitsolver.solve.audit.home import _served, skein_of, to_hundredths

RATE = Fraction(1, 5)
TRUE, FALSE = True, False


@pytest.mark.parametrize(
    ("length", "home", "pools", "bought", "used"),
    [
        # From the specification: 12 pools of 8.8 m off skeins of 8 m, 9.6 m at home.
        ("8.8", "9.6", 12, 12, "9.6"),
        ("3.2", "3.2", 1, 0, "3.2"),
        ("3.2", "3.19", 1, 1, "0"),
        ("8", "8", 1, 0, "8"),
        ("8.8", "0.79", 1, 2, "0"),
        ("8.8", "8.79", 1, 1, "0.8"),
        ("8.8", "8.8", 1, 0, "8.8"),
        ("8.8", "20", 1, 0, "8.8"),
        ("8.8", "0", 3, 6, "0"),
        ("8.8", "1.7", 3, 4, "1.6"),
        ("8.8", "10.39", 3, 3, "2.4"),
        ("8.8", "10.4", 3, 2, "10.4"),
        ("16.8", "99", 2, 0, "33.6"),
    ],
)
def test_thread_at_home_saves_skeins(length, home, pools, bought, used):
    found = _served(Fraction(length), Fraction(8), pools, Fraction(home))
    assert found == (bought, Fraction(used))


def test_metres_are_rounded_half_up_and_a_skein_has_eight():
    assert [to_hundredths(Fraction(n, 1000)) for n in (4, 5, 14, 15)] == [
        *map(Decimal, ("0.00", "0.01", "0.01", "0.02"))
    ]
    assert (skein_of({}), skein_of({"skein_m": "4.5"})) == (8, Fraction("4.5"))


@pytest.mark.parametrize(
    ("category", "cells", "column", "everywhere", "said"),
    [
        ("fabric", {"count": "14"}, "count", FALSE, [14]),
        ("needle", {"needle_sizes": "24; 26"}, "needle_sizes", FALSE, [24, 26]),
        ("fabric", {"width_cm": "25.4"}, "width_in", FALSE, [10]),
        ("fabric", {"width_in": "10"}, "width_cm", FALSE, [Fraction("25.4")]),
        ("hoop", {"diameter_in": "1"}, "diameter_cm", FALSE, [Fraction("2.54")]),
        ("fabric", {"height_in": "10", "height_cm": "3"}, "height_cm", FALSE, [3]),
        ("case", {}, "tax_rate", FALSE, [RATE]),
        ("case", {"tax_rate": "0.07"}, "tax_rate", FALSE, [Fraction("0.07")]),
        ("case", {}, "serves", FALSE, [1]),
        ("thread", {}, "skein_m", FALSE, [8]),
        ("thread", {}, "strands", FALSE, [6]),
        ("fabric", {}, "smallest_cm", FALSE, [10]),
        ("fabric", {}, "step_cm", FALSE, [10]),
        ("case", {}, "skein_m", FALSE, []),
        ("case", {}, "skein_m", TRUE, [8]),
        ("thread", {}, "kind", FALSE, []),
        ("case", {"note": "1.2.3;4"}, "note", FALSE, [4]),
        ("case", {"note": "-1;.;²;x"}, "note", FALSE, []),
        ("case", {}, "note", TRUE, []),
        ("fabric", {}, "width_cm", FALSE, []),
        ("case", {"smallest_in": "1"}, "smallest_cm", FALSE, []),
    ],
)
def test_which_numbers_a_cell_says(category, cells, column, everywhere, said):
    thing = Thing("X", category, cells)
    assert thing.numbers(column, RATE, everywhere=everywhere) == said


@pytest.mark.parametrize(
    ("category", "cells", "column", "known"),
    [
        ("fabric", {"weave": "aida"}, "weave", True),
        ("fabric", {"weave": "aida"}, "count", False),
        ("fabric", {"width_cm": "9"}, "width_in", True),
        ("fabric", {"width_in": "9"}, "width_cm", True),
        ("fabric", {"width_cm": "9"}, "height_cm", False),
        ("chart", {"colours": "#000000:9"}, "stitches", True),
        ("chart", {"colours": "#000000:9"}, "shades", True),
        ("chart", {"stitches_wide": "9"}, "stitches", False),
        ("chart", {"colours": "#000000:9"}, "price", False),
        ("fabric", {"colours": "#000000"}, "stitches", False),
    ],
)
def test_what_is_known_of_a_thing_at_home(category, cells, column, known):
    assert Thing("X", category, cells, whole=False).knows(column) is known
    assert Thing("X", category, cells).knows(column) is True


ROW = {
    "price": "2.50", "quality": "40.5", "tags": "sharp; steel", "weave": "aida", "count": "14.0",
    "colours": "#E8E0C8:60; #7fc4c8:61", "stock": "",
}  # fmt: skip


@pytest.mark.parametrize(
    ("asked", "met"),
    [
        ({"max_price": "2.50"}, True),
        ({"max_price": "2.49"}, False),
        ({"min_quality": "40.5"}, True),
        ({"min_quality": "40.51"}, False),
        ({"tags_any": ["blunt", "steel"]}, True),
        ({"tags_any": ["blunt"]}, False),
        ({"tags_none": ["blunt"]}, True),
        ({"tags_none": ["blunt", "sharp"]}, False),
        ({"only": {"weave": ["aida", "linen"]}}, True),
        ({"only": {"weave": ["Aida"]}}, False),
        ({"only": {"count": [14]}}, True),
        ({"only": {"count": [16]}}, False),
        ({"only": {"colours": ["#7FC4C8"]}}, True),
        ({"only": {"colours": ["#000000"]}}, False),
        ({"only": {"serves": [1]}}, True),
        ({"only": {"weave": ["aida"], "count": [16]}}, False),
        ({"at_least": {"count": 14}, "at_most": {"count": 14}}, True),
        ({"at_least": {"count": "14.01"}}, False),
        ({"at_most": {"count": "13.99"}}, False),
        ({"at_least": {"count": 1}, "at_most": {"count": 13}}, False),
        ({"at_least": {"count": 15}, "at_most": {"count": 20}}, False),
        ({"at_least": {"stock": 99}}, True),
        ({"at_most": {"stock": 99}}, False),
        ({"at_least": {"weight_g": 0}}, False),
        ({"at_most": {"tax_rate": "0.2"}}, True),
        ({"at_most": {"tax_rate": "0.19"}}, False),
    ],
)
def test_which_conditions_a_row_meets(asked, met):
    conditions = Conditions.model_validate(asked)
    assert meets(Thing("X", "fabric", ROW), conditions, RATE) is met
    # Of a thing of which nothing is known that is unknown, too.
    assert meets(Thing("X", "fabric", {}, whole=False), conditions, RATE) is None


def test_what_is_known_and_not_met_is_not_met_whatever_else_is_unknown():
    asked = Conditions.model_validate({"only": {"weave": ["linen"], "count": [14]}})
    for weave, met in (("linen", None), ("aida", False)):
        assert meets(Thing("X", "fabric", {"weave": weave}, whole=False), asked, RATE) is met


def test_lengths_and_steps_are_read_in_either_unit():
    row = {"width_cm": "2.5", "height_in": "3"}
    assert (length_of(row, "width"), length_of(row, "height")) == (5 * CM // 2, 3 * INCH)
    assert (step_of({}), step_of({"step_cm": "2.5"})) == (10 * CM, 5 * CM // 2)


def test_a_chart_has_its_stitches_and_colours_summed_up():
    row = {"sku": "C", "colours": "#000000:2.5;#ffffff:40:12"}
    assert with_figures("chart", row) == row | {"stitches": "42.5", "shades": "2"}
    assert with_figures("fabric", row) is row
    assert with_figures("chart", {"colours": ""}) == {"colours": ""}


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0, "0"), (10, "10"), (Fraction(1, 3), "0.33"), (Fraction("2.50"), "2.5"), ("0.005", "0.01")],
)
def test_numbers_are_shown_to_two_decimals(value, shown):
    assert number(Fraction(value)) == shown


def test_what_the_audit_goes_by_does_not_change():
    frozen = [
        Thing("X", "case", {}),
        Piece("X", "case", "need", 1, 0),
        Shade("#000000", 1, "X", "#000000", 0, 1),
        Claim((), (), 0, 0, 0, 0, 0, Fraction(0), Fraction(0)),
        Check("fit", True, ""),
    ]
    for one in frozen:
        with pytest.raises(FrozenInstanceError):
            setattr(one, fields(one)[0].name, "Y")
    assert (Piece("X", "case", "need", 1, 0).from_home, frozen[2].backstitch) == (0, 0)
