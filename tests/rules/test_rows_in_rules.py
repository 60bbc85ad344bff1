"""What each rule says of rows by themselves: which it bars, and which may stand for which."""

from fractions import Fraction
from functools import cache
from itertools import permutations

import numpy as np
import pytest
from instances.text import to_csv

from kitsolver import brief_of, read_catalogue
from kitsolver.brief.brief import Brief
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.source import read_source
from kitsolver.solve.presolve.admitted_rows import admitted_rows
from kitsolver.solve.rules import RULES
from kitsolver.solve.rules.rule import Dominance, Rows, among

BY_NAME = {rule.name: rule for rule in RULES}
BRIEF = {"currency": "EUR", "cap": "100", "holds": ["chart", "fabric", "thread", "needle"]}


@pytest.fixture(scope="module")
def rows_of(tmp_path_factory):
    """Return the rows of one category, all of which the rules admit, as a brief sees them."""
    place = tmp_path_factory.mktemp("rows")

    @cache
    def catalogue(text, home):
        shop, cupboard = place / f"{hash(text)}.csv", place / f"{hash(home)}-home.csv"
        shop.write_text(text, encoding="utf-8", newline="")
        cupboard.write_text(home, encoding="utf-8")
        found = read_catalogue(shop, currency="EUR")
        return with_home(found, read_source(cupboard, mapping=None))[0] if home else found

    def rows_of(category, cells, *, need=True, home="", **asked):
        every = [
            {"sku": sku, "name": sku, "category": category, "price": "1.00", "quality": "50"} | said
            for sku, said in cells.items()
        ]
        shop, brief = catalogue(to_csv(every), home), brief_of(BRIEF | asked)
        least = 1 if need and category in ("fabric", "thread") else None
        return admitted_rows(shop, brief, category, need=need, least_units=least)._rows

    return rows_of


def standing_for(dominance: Dominance, rows: Rows) -> set[str]:
    """Return "A>B" for every two rows of which A does for a rule all that B does."""
    skus = rows.table["sku"].tolist()
    return {
        f"{skus[a]}>{skus[b]}"
        for a, b in permutations(range(len(skus)), 2)
        if all(column[a] == column[b] for column in dominance.equal)
        and all(column[a] >= column[b] for column in dominance.at_least)
    }


AIDA = {"weave": "aida", "count": "14", "width_cm": "40", "height_cm": "50"}
ROLL = {"weave": "aida", "count": "14", "width_cm": "140", "sold_by": "length"}
CHART = {"colours": "#000000:9", "stitches_wide": "9", "stitches_high": "9"}
RATES = {
    "A": {},
    "B": {},
    "C": {"tax_rate": "0"},
    "D": {"tax_rate": "0"},
    "E": {"tax_rate": "0.07"},
    "F": {"download": "yes"},
    "G": {"download": "yes"},
    "H": {"download": "yes", "tax_rate": "0"},
}
THREE = {"A": {}, "B": {"weight_g": "2"}, "C": {"weight_g": "3"}}
MARK = [{"name": "m", "column": "weight_g", "blank": 0}]


def limit(**more):
    return {"limits": [MARK[0] | more]}


def pair(**sides):
    return {"pairs": [{"name": "p", **sides}]}


# A rule, a category, its rows, what is asked, and which may stand for which.
CASES = {
    "a blank stands for none": (
        "alike", "case",
        {"A": {"series": "x"}, "B": {"series": "y"}, "C": {"series": "x"}, "D": {}},
        {"alike": [{"column": "series"}]}, "A>C C>A",
    ),
    "one rate, delivered or not": (
        "cap", "case", RATES, {"till": {"tax_rate": "0.2"}}, "A>B B>A C>D D>C F>G G>F",
    ),
    "nothing of its own": ("cap", "case", {"A": {}, "B": {}}, {}, "A>B B>A"),
    "cloth of one colour": (
        "contrast", "fabric", {"A": AIDA | {"colours": "#ffffff"}, "B": AIDA, "C": AIDA},
        {"shades": {"on_cloth": 5}}, "B>C C>B",
    ),
    "cloth, where nothing is held against it": (
        "contrast", "fabric", {"A": AIDA | {"colours": "#ffffff"}, "B": AIDA}, {}, "A>B B>A",
    ),
    "openings": (
        "finishing", "case",
        {"A": {"opening_cm": "10 x 20"}, "B": {"opening_cm": "20x9"}, "C": {},
         "D": {"opening_cm": "30"}, "E": {"opening_in": "4 x 8"}},
        {}, "A>B C>A C>B C>D C>E D>A D>B D>E E>A E>B",
    ),
    "no opening": ("finishing", "case", {"A": {}, "B": {}}, {}, "A>B B>A"),
    "sides, either way round": (
        "fit", "fabric",
        {"A": AIDA, "B": AIDA | {"width_cm": "50", "height_cm": "40"},
         "C": AIDA | {"width_cm": "41"}, "D": AIDA | {"height_cm": "39"},
         "E": AIDA | {"count": "16"}, "F": AIDA | {"weave": "linen"},
         "G": AIDA | {"weave": "evenweave"}},
        {}, "A>B B>A A>D B>D C>A C>B C>D F>G G>F",
    ),
    "an extra fabric is cut for nobody": (
        "fit", "fabric", {"A": AIDA, "B": AIDA | {"count": "16"}}, {"need": False}, "A>B B>A",
    ),
    "rolls by their cuts": (
        "fit", "fabric",
        {"A": ROLL, "B": ROLL | {"step_cm": "5"}, "C": ROLL | {"smallest_cm": "20"},
         "D": ROLL | {"width_cm": "150"}, "E": AIDA, "F": AIDA},
        {}, "D>A E>F F>E",
    ),
    "no fabric of the home list": (
        "heads", "fabric", {"A": AIDA, "B": AIDA, "C": AIDA, "D": AIDA},
        {"home": "sku,category\nA,fabric\nB,fabric\n"}, "C>D D>C",
    ),
    "an extra fabric of the home list": (
        "heads", "fabric", {"A": AIDA, "B": AIDA},
        {"home": "sku,category\nA,fabric\n", "need": False}, "A>B B>A",
    ),
    "a scissors of the home list": (
        "heads", "scissors", {"A": {}, "B": {}},
        {"home": "sku,category\nA,scissors\n", "holds": ["scissors"]}, "A>B B>A",
    ),
    "a smaller hoop": (
        "hoop", "hoop",
        {"A": {"diameter_cm": "15"}, "B": {"diameter_cm": "16"}, "C": {"diameter_in": "6"}},
        {}, "A>B A>C C>B",
    ),
    "needles of equal sizes": (
        "needle", "needle",
        {"A": {"needle_sizes": "24;26"}, "B": {"needle_sizes": "26"}, "C": {"needle_sizes": "26"}},
        {}, "B>C C>B",
    ),
    "less is better for a most": ("limits", "case", THREE, limit(most=9), "A>B A>C B>C"),
    "more is better for a least": ("limits", "case", THREE, limit(least=9), "B>A C>A C>B"),
    "as much for both": ("limits", "case", THREE, limit(least=1, most=9), ""),
    "a limit on nothing of theirs": (
        "limits", "case", THREE, limit(most=9, where={"category": "hoop"}),
        "A>B A>C B>A B>C C>A C>B",
    ),
    "units times what a unit counts": (
        "limits", "case",
        {"A": {"weight_g": "3"}, "B": {"weight_g": "2", "serves": "2"},
         "C": {"weight_g": "3", "serves": "2"}},
        limit(most=99) | {"heads": 4}, "B>A B>C C>A",
    ),
    "fractions of a unit": (
        "limits", "case", {"A": {"weight_g": "0.3"}, "B": {"weight_g": "0.31"}},
        limit(most=9), "A>B",
    ),
    "fabric whose units the chart decides, for a least": (
        "limits", "fabric", {"A": AIDA | {"weight_g": "2"}, "B": AIDA | {"weight_g": "2"}},
        limit(least=1) | {"heads": 2}, "",
    ),
    "fabric for one head, for a least": (
        "limits", "fabric", {"A": AIDA | {"weight_g": "2"}, "B": AIDA | {"weight_g": "3"}},
        limit(least=1), "B>A",
    ),
    "fabric off the roll, for a least": (
        "limits", "fabric", {"A": ROLL | {"weight_g": "2"}, "B": AIDA | {"weight_g": "3"}},
        limit(least=1), "",
    ),
    "fabric whose units the chart decides, for a most": (
        "limits", "fabric", {"A": AIDA | {"weight_g": "2"}, "B": AIDA | {"weight_g": "3"}},
        limit(most=9) | {"heads": 2}, "A>B",
    ),
    "lines of fabric, for a least": (
        "limits", "fabric", {"A": AIDA | {"weight_g": "2"}, "B": AIDA},
        {"limits": [{"name": "n", "least": 1, "where": {"at_least": {"weight_g": 1}}}], "heads": 2},
        "A>B",
    ),
    "an extra fabric, for a least": (
        "limits", "fabric", {"A": AIDA | {"weight_g": "2"}, "B": AIDA | {"weight_g": "3"}},
        limit(least=1) | {"heads": 2, "need": False}, "B>A",
    ),
    "what the shop pays": (
        "margin", "case",
        {"A": {"trade_cost": "1.00"}, "B": {"trade_cost": "1.01"},
         "C": {"trade_cost": "2.00", "serves": "2"}, "D": {"trade_cost": "1.00", "serves": "3"}},
        {"heads": 2, "shop": {"sell_at": "90", "margin_rate": "0.1"}},
        "A>B A>C C>A C>B D>A D>B D>C",
    ),
    "what the shop pays for the units that are bought": (
        "margin", "case", {"A": {"trade_cost": "3.00"}, "B": {"trade_cost": "1.00"}},
        {"home": "sku,category,stock\nA,case,2\n", "heads": 2,
         "shop": {"sell_at": "90", "margin_rate": "0.1"}},
        "A>B",
    ),
    "no margin asked for": (
        "margin", "case", {"A": {"trade_cost": "1.00"}, "B": {"trade_cost": "2.00"}}, {}, "A>B B>A",
    ),
    "either side of a pair": (
        "pairs", "case",
        {"A": {}, "B": {"series": "x"}, "C": {"series": "y"}, "D": {"series": "y"}},
        pair(**{"if": {"only": {"series": ["x"]}}, "with": {"only": {"series": ["y"]}}}),
        "C>D D>C",
    ),
    "stock of fabric": (
        "stock", "fabric",
        {"A": AIDA | {"stock": "5"}, "B": AIDA | {"stock": "6"}, "C": AIDA}, {"heads": 2},
        "B>A C>A C>B",
    ),
    "stock of fabric for one head": (
        "stock", "fabric", {"A": AIDA | {"stock": "5"}, "B": AIDA}, {}, "A>B B>A",
    ),
    "stock of fabric off the roll": (
        "stock", "fabric", {"A": ROLL | {"stock": "5"}, "B": AIDA}, {}, "B>A",
    ),
    "stock of an extra fabric": (
        "stock", "fabric", {"A": AIDA | {"stock": "5"}, "B": AIDA}, {"heads": 2, "need": False},
        "A>B B>A",
    ),
    "stock of what has its units": (
        "stock", "case", {"A": {"stock": "5"}, "B": {}}, {"heads": 2}, "A>B B>A",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_which_rows_do_for_a_rule_all_that_others_do(rows_of, case):
    name, category, cells, asked, expected = CASES[case]
    need = category in ("fabric", "needle", "scissors")
    rows = rows_of(category, cells, **{"need": need} | asked)
    assert standing_for(BY_NAME[name].dominance(rows), rows) == {*expected.split()}


# A category, its rows, what is asked, and which rows may enter.
ENTER = {
    "blank cells where rows are to be alike": (
        "case", {"A": {"series": "x"}, "B": {}}, {"alike": [{"column": "series"}]}, "AB",
    ),
    "blank cells that are refused": (
        "case", {"A": {"series": "x"}, "B": {}},
        {"alike": [{"column": "series", "blank": "refuse"}]}, "A",
    ),
    "blank cells refused of other rows": (
        "case", {"A": {"series": "x"}, "B": {}},
        {"alike": [{"column": "series", "blank": "refuse", "of": ["hoop"]}]}, "AB",
    ),
    "blank cells that a limit leaves out": (
        "case", THREE, limit(most=9, blank="leave out"), "BC",
    ),
    "blank cells that count as 0": ("case", THREE, limit(most=9), "ABC"),
    "blank cells left out by a limit on others": (
        "case", THREE, limit(most=9, blank="leave out", where={"category": "hoop"}), "ABC",
    ),
    "a number of lines": (
        "case", THREE, {"limits": [{"name": "n", "most": 1, "blank": "leave out"}]}, "ABC",
    ),
    "blank cells left out of those that meet conditions": (
        "case", {"A": {}, "B": {"price": "9.00"}},
        limit(most=9, blank="leave out", where={"max_price": "1.00"}), "B",
    ),
    "what they cost the shop is not known": (
        "case", {"A": {}, "B": {"trade_cost": "0"}, "C": {}, "D": {}},
        {"shop": {"sell_at": "90", "margin_rate": "0.1", "uncosted": "leave out"},
         "choose": {"own": ["C"]}, "home": "sku,category\nD,case\n"}, "BCD",
    ),
    "what is always barred": (
        "case", {"A": {"series": "x"}, "B": {}}, pair(never={"only": {"series": ["x"]}}), "B",
    ),
    "what always has to be": (
        "case", {"A": {"series": "x"}, "B": {}},
        pair(then={"category": "case", "only": {"series": ["x"]}}), "A",
    ),
    "what bars itself": (
        "case", {"A": {"series": "x"}, "B": {}},
        pair(**{"if": {"category": "case"}, "never": {"only": {"series": ["x"]}}}), "B",
    ),
    "what others may bar": (
        "case", {"A": {"series": "x"}, "B": {}},
        pair(**{"if": {"category": "hoop"}, "never": {"only": {"series": ["x"]}}}), "AB",
    ),
    "what is asked for": (
        "case", {"A": {"series": "x"}, "B": {}}, pair(**{"with": {"only": {"series": ["x"]}}}),
        "AB",
    ),
    "as many as there are": (
        "case", {"A": {"stock": "2"}, "B": {"stock": "3"}, "C": {"stock": "1", "serves": "3"}},
        {"heads": 3}, "BC",
    ),
    "as many as there are, at home too": (
        "case", {"A": {"stock": "2"}, "B": {"stock": "1"}},
        {"heads": 3, "home": "sku,category,stock\nA,case,1\nB,case,1\n"}, "A",
    ),
    "what is left out": ("case", {"A": {}, "B": {}}, {"choose": {"leave_out": ["A"]}}, "B"),
    "tags that all have": (
        "case", {"A": {"tags": "a;b"}, "B": {"tags": "a"}, "C": {"tags": "a;b;c"}},
        {"all": {"tags_all": ["a", "b"], "tags_none": ["c"]}}, "A",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", ENTER)
def test_which_rows_may_enter(rows_of, case):
    category, cells, asked, expected = ENTER[case]
    rows = rows_of(category, cells, need=False, **asked)
    assert "".join(rows.table["sku"]) == expected


def test_what_a_row_counts_for_a_limit(rows_of):
    cells = {"A": {"weight_g": "2.5"}, "B": {"weight_g": "3", "price": "9.00"}, "C": {}}
    asked = limit(most=9, where={"max_price": "1.00"})
    rows = rows_of("case", cells, need=False, **asked)
    assert rows.table["limits: m"].tolist() == [Fraction(5, 2), 0, 0]
    lines = {"limits": [{"name": "n", "most": 1, "where": {"max_price": "1.00"}}]}
    rows = rows_of("case", cells, need=False, **lines)
    assert rows.table["limits: n"].tolist() == [1, 0, 1]
    other = {"limits": [{"name": "n", "most": 1, "where": {"category": "hoop"}}]}
    assert rows_of("case", cells, need=False, **other).table["limits: n"].tolist() == [0, 0, 0]


@pytest.mark.parametrize(
    ("side", "asks", "asked"),
    [
        ("then", [1, 0, 0], [0, 1, 1]),
        ("with", [1, 0, 0], [1, 0, 0]),
        ("never", [1, 0, 0], [1, 0, 0]),
    ],
)
def test_which_rows_make_a_pair_ask_and_which_it_asks_about(rows_of, side, asks, asked):
    cells = {"A": {"series": "x"}, "B": {"series": "y"}, "C": {}}
    where = {"only": {"series": ["x"]}}
    rule, brief = BY_NAME["pairs"], pair(**{"if": where, side: where})
    rows = rows_of("case", cells, need=False)
    read = rule.reads(
        Rows("case", rows.table, rows.shelf, rows.text, brief_of(BRIEF | brief), False, rows.owned)
    )
    assert read["pairs: p if"].tolist() == asks
    assert read["pairs: p asked"].tolist() == asked


def known(rule: str, category: str, described: dict[str, str] | None, **asked: object) -> object:
    """Return what a rule reads of a thing at home."""
    return dict(BY_NAME[rule].reads_at_home(category, described, brief_of(BRIEF | asked)))


@pytest.mark.parametrize(
    ("category", "described", "of", "values"),
    [
        ("fabric", {"weave": "aida"}, None, {"aida"}),
        ("fabric", {"weave": "aida"}, ["fabric"], {"aida"}),
        ("fabric", {"weave": "aida"}, ["thread"], None),
        ("fabric", {"count": "14"}, None, None),
        ("fabric", None, None, None),
    ],
)
def test_what_a_thing_at_home_has_in_common_with_rows(category, described, of, values):
    rule = {"column": "weave"} | ({"of": of} if of else {})
    assert known("alike", category, described, alike=[rule]) == {"alike: weave": values}


@pytest.mark.parametrize(
    ("side", "category", "described", "found"),
    [
        ("then", "fabric", {"weave": "aida"}, (1, 0)),
        ("then", "fabric", {"weave": "linen"}, (0, 1)),
        ("then", "fabric", {"count": "14"}, (0, 0)),
        ("then", "fabric", None, (0, 0)),
        ("then", "needle", {"needle_sizes": "24"}, (0, 0)),
        ("with", "fabric", {"weave": "aida"}, (1, 1)),
        ("with", "fabric", {"weave": "linen"}, (0, 0)),
        ("with", "fabric", {"count": "14"}, (0, 1)),
        ("with", "fabric", None, (0, 0)),
        ("never", "fabric", {"weave": "aida"}, (1, 1)),
        ("never", "fabric", {"weave": "linen"}, (0, 0)),
        ("never", "fabric", {"count": "14"}, (0, 0)),
    ],
)
def test_what_is_unknown_of_a_thing_at_home_bars_nothing(side, category, described, found):
    where = {"category": "fabric", "only": {"weave": ["aida"]}}
    read = known("pairs", category, described, **pair(**{"if": where, side: where}))
    assert (read["pairs: p if"], read["pairs: p asked"]) == found


def test_rules_name_the_columns_that_they_read():
    asked: Brief = brief_of(
        BRIEF | limit(most=1) | pair(never={"category": "hoop"}) | {"alike": [{"column": "series"}]}
    )
    read = {rule.name: rule.columns(asked) for rule in RULES if rule.columns(asked)}
    assert read == {
        "limits": ("limits: m",),
        "pairs": ("pairs: p if", "pairs: p asked"),
        "alike": ("alike: series",),
    }
    shop = brief_of(BRIEF | {"shop": {"sell_at": "9", "margin_rate": "0.1"}})
    assert {name for rule in RULES for name in rule.columns(shop)} == {"trade_cost"}


def test_which_skus_are_among_some():
    skus = np.array(["A", "B", "C"], dtype=object)
    assert among(skus, ["C", "A", "X"]).tolist() == [True, False, True]
    assert among(skus, []).tolist() == [False, False, False]
