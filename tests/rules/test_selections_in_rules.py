"""What each rule says of a selection that was added up, of a design on a fabric, and of ties."""

from fractions import Fraction
from itertools import combinations
from types import SimpleNamespace

import numpy as np
import pytest

from kitsolver import brief_of
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH
from kitsolver.craft.thread import Charted
from kitsolver.shop.till import Receipt
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Hoop, Needle, Thread
from kitsolver.solve.rules import (
    BY_COUNT,
    COMPATIBILITY,
    RULES,
    compatible,
    concerning,
    units_with,
)
from kitsolver.solve.rules.contrast import cliques
from kitsolver.solve.rules.limits import _scale, bounds_of, sum_of
from kitsolver.solve.rules.margin import trade_cost

BY_NAME = {rule.name: rule for rule in RULES}
BRIEF = {"currency": "EUR", "cap": "10.00", "holds": ["chart", "fabric"]}
AIDA = Fabric("F", "fabric", count=Fraction(14), size=Size(Fraction(20 * INCH), Fraction(9 * INCH)))
CHART = Chart("C", "chart", size=(28, 42), shades=(Charted("#000000", 60), Charted("#ffffff", 61)))


def brief(**asked):
    return brief_of(BRIEF | asked)


def added(*lines, payable=0):
    """Return a selection that was added up, of candidates and their units."""
    return SimpleNamespace(
        units={row.sku: units for row, units in lines},
        rows={row.sku: row for row, _ in lines},
        taken=[row for row, _ in lines],
        receipt=Receipt(payable, 0, 0, 0),
    )


def holds(name, selection, **asked):
    return BY_NAME[name].holds(selection, SimpleNamespace(brief=brief(**asked)))


def saying(sku, **said):
    """Return a candidate that says something in columns, with spaces for underscores."""
    names = {"limit": "limits: m", "asks": "pairs: p if", "asked": "pairs: p asked"}
    measures = tuple((names.get(name, name), value) for name, value in said.items())
    return Candidate(sku, "case", 100, measures=measures)


@pytest.mark.parametrize(("payable", "good"), [(999, True), (1000, True), (1001, False)])
def test_what_is_payable_is_held_against_the_cap(payable, good):
    assert holds("cap", added(payable=payable)) is good


@pytest.mark.parametrize(
    ("limit", "good"),
    [
        # 3 x 1/3 and 2 x 2 come to 5.
        ({"most": 5}, True),
        ({"most": "4.999999"}, False),
        ({"least": 5}, True),
        ({"least": "5.000001"}, False),
        ({"least": 5, "most": 5}, True),
        ({"least": 1, "most": 4}, False),
        ({"least": 6, "most": 9}, False),
        # For two heads and a spare kit.
        ({"most": "1.666667", "a_head": True}, True),
        ({"most": "1.666666", "a_head": True}, False),
        ({"least": "1.666666", "a_head": True}, True),
        ({"least": "1.666667", "a_head": True}, False),
    ],
)
def test_sums_are_held_against_their_limits(limit, good):
    selection = added((saying("A", limit=Fraction(1, 3)), 3), (saying("B", limit=2), 2))
    rule = {"name": "m", "column": "weight_g", "blank": 0} | limit
    asked = {"limits": [rule], "heads": 2, "spare": 1}
    assert holds("limits", selection, **asked) is good
    (read,) = brief(**asked).limits
    assert sum_of(read, selection) == 5
    times = 3 if "a_head" in limit else 1
    expected = (
        Fraction(limit[side]) * times if side in limit else None for side in ("least", "most")
    )
    assert bounds_of(read, brief(**asked)) == tuple(expected)


@pytest.mark.parametrize(("most", "good"), [(2, True), (1, False)])
def test_lines_are_counted_whatever_their_units(most, good):
    selection = added(
        (saying("A", limit=1), 3), (saying("B", limit=1), 2), (saying("C", limit=0), 1)
    )
    assert holds("limits", selection, limits=[{"name": "m", "most": most}]) is good


def test_the_second_limit_counts_too():
    limits = [{"name": "k", "most": 9}, {"name": "m", "most": 1}]
    two = [(saying(sku, **{"limits: k": 1, "limit": 1}), 1) for sku in "AB"]
    assert holds("limits", added(*two[:1]), limits=limits)
    assert not holds("limits", added(*two), limits=limits)


@pytest.mark.parametrize(
    ("numbers", "scale"),
    [
        ([], 1),
        ([Fraction(1, 2), Fraction(3, 4)], 4),
        ([Fraction(4), Fraction(6)], Fraction(1, 2)),
        ([Fraction(2, 3), Fraction(4, 3)], Fraction(3, 2)),
        ([Fraction(0)], 1),
    ],
)
def test_sums_are_whole_and_as_small_as_they_can_be(numbers, scale):
    assert _scale(numbers) == scale


def test_a_margin_is_held_against_what_is_bought():
    rows = [
        (Candidate("A", "case", home=1, measures=(("trade_cost", 200),)), 3),
        (Candidate("B", "card", measures=(("trade_cost", 50),)), 2),
    ]
    selection = added(*rows)
    assert trade_cost(selection) == 500
    for sell_at, good in (("10.00", True), ("9.98", False)):
        assert holds("margin", selection, shop={"sell_at": sell_at, "margin_rate": "0.5"}) is good
    assert holds("margin", selection)


@pytest.mark.parametrize(
    ("side", "rows", "good"),
    [
        ("with", [(1, 0), (0, 1)], True),
        ("with", [(1, 0), (0, 0)], False),
        ("with", [(0, 0), (0, 0)], True),
        ("with", [(1, 1)], True),
        ("never", [(1, 0), (0, 1)], False),
        ("never", [(1, 0), (0, 0)], True),
        ("never", [(0, 1), (0, 1)], True),
        ("then", [(1, 0), (0, 1)], False),
        ("then", [(1, 0), (0, 0)], True),
    ],
)
def test_pairs_ask_where_a_row_makes_them(side, rows, good):
    lines = [(saying(str(n), asks=one, asked=other), 1) for n, (one, other) in enumerate(rows)]
    pair = {"name": "p", "if": {"category": "hoop"}, side: {"category": "case"}}
    assert holds("pairs", added(*lines), pairs=[pair]) is good
    # Without a condition it always asks.
    always = {"name": "p", side: {"category": "case"}}
    assert holds("pairs", added(*lines), pairs=[always]) is (
        any(x for _, x in rows) == (side == "with")
    )


@pytest.mark.parametrize(
    ("values", "good"),
    [
        (["xy", "yz"], True),
        (["xy", "z"], False),
        (["xy", "yz", "zx"], False),
        (["x", None], True),
        ([None, None], True),
        ([""], False),
        ([], True),
    ],
)
def test_rows_have_a_value_in_common(values, good):
    lines = [
        (saying(str(n), **{"alike: one": None if said is None else frozenset(said)}), 1)
        for n, said in enumerate(values)
    ]
    assert holds("alike", added(*lines), alike=[{"name": "one", "column": "series"}]) is good


@pytest.mark.parametrize(("units", "good"), [(5, True), (6, False)])
def test_units_are_held_against_stock_and_what_is_at_home(units, good):
    row = Candidate("A", "case", stock=3, home=2)
    assert holds("stock", added((row, units), (Candidate("B", "card"), 9))) is good


@pytest.mark.parametrize(
    ("asked", "good"),
    [
        # Of 121 stitches, at 60 an hour if nothing else is said.
        ({"hours_at_most": 3}, True),
        ({"hours_at_most": 2}, False),
        ({"hours_at_most": "2.016667"}, True),
        ({"hours_at_most": "2.016666"}, False),
        ({"hours_at_most": 1, "stitches_an_hour": 121}, True),
        ({"hours_at_most": 1, "stitches_an_hour": 120}, False),
        ({}, True),
    ],
)
def test_a_design_is_done_in_the_hours(asked, good):
    assert BY_NAME["hours"].allows(CHART, AIDA, brief(lesson=asked)) is good
    blank = Chart("C", "chart", size=(28, 42))
    assert BY_NAME["hours"].allows(blank, AIDA, brief(lesson=asked))


@pytest.mark.parametrize(
    ("size", "good"),
    [
        # 28 and 42 stitches at 14 an inch.
        ({"at_most_in": [2, 3]}, True),
        ({"at_most_in": [3, 2]}, True),
        ({"at_most_in": ["2.999999", 3]}, True),
        ({"at_most_in": ["2.999999", "2.999999"]}, False),
        ({"at_most_in": ["1.999999", 9]}, False),
        ({"at_least_in": [3, 2]}, True),
        ({"at_least_in": ["2.000001", 3]}, False),
    ],
)
def test_a_design_is_within_and_contains_the_sizes(size, good):
    assert BY_NAME["size"].allows(CHART, AIDA, brief(size=size)) is good
    unknown = Chart("C", "chart", shades=CHART.shades)
    assert BY_NAME["size"].allows(unknown, AIDA, brief(size=size))


# 2 by 3 inches with 3 inches around each are cuts of 8 by 9: two of them from 20 by 9.
@pytest.mark.parametrize(
    ("heads", "stock", "units"),
    [(1, 9, 1), (2, 9, 1), (3, 9, 2), (3, 1, None), (4, 2, 2), (5, 2, None)],
)
def test_units_of_a_fabric_with_a_chart(heads, stock, units):
    fabric = Fabric("F", "fabric", stock=stock, count=AIDA.count, size=AIDA.size)
    assert units_with(CHART, fabric, brief(heads=heads, fit={"margin_in": 3})) == units


def test_no_units_of_a_fabric_that_a_rule_bars_or_that_is_too_small():
    asked = {"fit": {"margin_in": 3}}
    assert units_with(CHART, AIDA, brief(**asked, lesson={"hours_at_most": 2})) is None
    assert units_with(CHART, AIDA, brief(fit={"margin_in": "3.6"})) is None


def hoop(diameter):
    return Hoop("H", "hoop", diameter=diameter)


@pytest.mark.parametrize(
    ("name", "candidate", "key", "good"),
    [
        ("hoop", hoop(5 * CM), 5 * CM, True),
        ("hoop", hoop(5 * CM + 1), 5 * CM, False),
        ("hoop", hoop(5 * CM), None, True),
        ("needle", Needle("N", "needle", sizes=frozenset({24, 26})), frozenset({26, 28}), True),
        ("needle", Needle("N", "needle", sizes=frozenset({24})), frozenset({26, 28}), False),
        ("needle", Needle("N", "needle", sizes=frozenset({24})), None, True),
        ("finishing", Candidate("O", "card", opening=Size(3, 2)), Size(2, 3), True),
        ("finishing", Candidate("O", "card", opening=Size(3, 2)), Size(3, 3), False),
        ("finishing", Candidate("O", "card", opening=Size(3, 2)), None, True),
        ("finishing", Candidate("O", "card"), Size(2, 3), True),
    ],
)
def test_what_stands_beside_a_chart_on_a_fabric(name, candidate, key, good):
    assert BY_NAME[name].accepts(candidate, key) is good


def test_which_rows_hang_on_chart_and_fabric():
    hang = [
        hoop(5 * CM),
        Needle("N", "needle", sizes=frozenset({24})),
        Candidate("O", "card", opening=Size(3, 2)),
    ]
    free = [
        hoop(None),
        Needle("N", "needle"),
        Candidate("O", "card"),
        Chart("C", "chart", opening=Size(3, 2)),
        Fabric("F", "fabric", opening=Size(3, 2)),
        Thread("T", "thread", opening=Size(3, 2)),
    ]
    assert [bool(concerning(one)) for one in hang] == [True] * 3
    assert [bool(concerning(one)) for one in free] == [False] * 6


def test_only_needles_look_at_the_effective_count_alone():
    assert [rule.name for rule in BY_COUNT] == ["needle"]
    assert [rule.name for rule in COMPATIBILITY] == ["needle", "hoop", "finishing"]


def test_what_compatibility_looks_at():
    """Of 20 by 9 inches a hoop has 2.5 cm around it; at 14 an inch 24 and 26 suit."""
    asked = brief(fit={"margin_in": 3})
    keys = {name: BY_NAME[name].key(CHART, AIDA, asked) for name in ("needle", "hoop", "finishing")}
    assert keys == {
        "needle": {24, 26},
        "hoop": 9 * INCH - 5 * CM,
        "finishing": Size(Fraction(2 * INCH), Fraction(3 * INCH)),
    }
    two = brief(fit={"margin_in": 3}, heads=2)
    assert BY_NAME["hoop"].key(CHART, AIDA, two) == 8 * INCH - 5 * CM
    cloth = Fabric("F", "fabric")
    assert [BY_NAME[name].key(CHART, cloth, asked) for name in keys] == [None] * 3
    needle = Needle("N", "needle", sizes=frozenset({22}))
    assert not compatible(needle, (frozenset({24}), 0, None))
    assert compatible(needle, (frozenset({22}), 0, None))
    assert compatible(Candidate("K", "case"), (frozenset(), 0, Size(1, 1)))


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("limits", {"limits": [{"name": "m", "most": 1}]}),
        ("pairs", {"pairs": [{"name": "p", "never": {"category": "case"}}]}),
        ("alike", {"alike": [{"column": "series"}]}),
        ("margin", {"shop": {"sell_at": "10.00", "margin_rate": "0.5"}}),
    ],
)
def test_rules_that_tie_rows_to_each_other_say_so(name, asked):
    for said, tied in (({}, False), (asked, True)):
        candidates = SimpleNamespace(brief=brief(**said), free=False, paid_by_row=False)
        expected = {rule.name: tied and rule.name == name for rule in RULES}
        assert {rule.name: rule.ties(candidates) for rule in RULES} == expected


@pytest.mark.parametrize("by_row", [False, True])
def test_rates_by_row_tie_rows_to_each_other(by_row):
    candidates = SimpleNamespace(brief=brief(), free=False, paid_by_row=by_row)
    assert BY_NAME["cap"].ties(candidates) is by_row


@pytest.mark.parametrize(
    ("free", "keep_values", "least", "tied"),
    [
        (True, False, 10, True),
        (False, False, 10, False),
        (True, True, 10, False),
        (True, False, 0, False),
        (True, False, "0.0001", True),
    ],
)
def test_free_colours_are_tied_where_they_keep_apart_in_no_order(free, keep_values, least, tied):
    shades = {"mode": "free", "keep_values": keep_values, "contrast": least}
    candidates = SimpleNamespace(brief=brief(shades=shades), free=free)
    assert BY_NAME["contrast"].ties(candidates) is tied


PAIRS = list(combinations(range(4), 2))


@pytest.mark.parametrize("number", range(7))
def test_every_two_that_are_alike_share_a_set_and_only_such_stand_in_one(number):
    """All ways in which so many pairs of four can be alike."""
    for some in combinations(PAIRS, number):
        alike = np.zeros((4, 4), dtype=bool)
        for one, other in some:
            alike[one, other] = alike[other, one] = True
        found = list(cliques(alike))
        assert {pair for clique in found for pair in combinations(clique, 2)} == set(some)


def test_a_set_is_as_large_as_it_can_be():
    """Of five that are all alike there is one set, and not one for each two."""
    assert list(cliques(np.ones((5, 5), dtype=bool))) == [[0, 1, 2, 3, 4]]
    line = np.eye(3, k=1, dtype=bool) | np.eye(3, k=-1, dtype=bool)
    assert list(cliques(line)) == [[0, 1], [1, 2]]
