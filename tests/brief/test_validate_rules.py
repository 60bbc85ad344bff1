"""Ranges and rules of one's own held against a catalogue."""

import pytest

from kitsolver import BadInput, read_catalogue
from kitsolver.brief.validate_against import validate_against

SHOP = """\
sku,name,category,price,quality,tags,weight_g,reach
lamp-1,Oil lamp,lamp,3.50,60,,250,2;5
lamp-2,Wax lamp,lamp,4.00,70,,heavy,far
tin-1,Tin box,case,1.25,50,,,
tin-2,Felt roll,case,2.00,70,soft,0.1234567,1
"""
LAMP = 'holds = ["lamp"]\n'
BLANK = "\n[[limits]]\ncolumn = 'weight_g'\nmost = 1\nwhere = {category = ['case']%s}\n%s"


@pytest.fixture
def held(read, tmp_path):
    """Return codes, places, columns and values of what is found when a brief meets the shop."""

    def held(more):
        path = tmp_path / "shop.csv"
        path.write_text(SHOP)
        brief, catalogue = read(LAMP + more), read_catalogue(path, currency="EUR")
        try:
            findings = validate_against(brief, catalogue, "brief.toml")
        except BadInput as bad:
            findings = bad.findings
        return [(one.code, one.row, one.column, one.value) for one in findings]

    return held


@pytest.mark.parametrize(
    ("more", "places"),
    [
        ("[needs.lamp.at_least]\nweight = 1", [(None, "needs.lamp.at_least", "weight")]),
        (
            '[[limits]]\nname="a b"\ncolumn = "weight"\nmost=1',
            [(None, 'limits "a b".column', "weight")],
        ),
        ("[[alike]]\ncolumn = 'colour'", [(None, 'alike "colour".column', "colour")]),
        (
            "[[pairs]]\nwith = {only={finish=1}}",
            [(None, 'pairs "pairs 1".with.only', "finish")],
        ),
    ],
)
def test_an_unknown_column_is_refused(held, more, places):
    assert held(more) == [("unknown-condition-column", *place) for place in places]


def test_charts_have_two_columns_more(held):
    assert held("[[limits]]\ncolumn='stitches'\nwhere={category='chart'}\nmost=1") == []
    assert held("[[alike]]\ncolumn='shades'\nof=['chart']") == []


@pytest.mark.parametrize("column", ["name", "tags", "gtin", "opening_cm", "download"])
def test_a_column_of_text_has_no_range_and_no_sum(held, column):
    assert held(f"[needs.lamp.at_most]\n{column} = 1") == [
        ("not-numeric", None, "needs.lamp.at_most", column)
    ]
    limit = f"[[limits]]\nname='x'\ncolumn='{column}'\nmost=1\nblank=0"
    assert held(limit) == [("not-numeric", None, 'limits "x".column', column)]


def test_text_in_a_column_of_the_shop_s_own_is_found_in_its_row(held):
    assert held("[needs.lamp.at_most]\nweight_g = 1\n[needs.lamp.at_least]\nreach=1") == [
        ("text-among-numbers", 3, "reach", "far"),
        ("text-among-numbers", 3, "weight_g", "heavy"),
    ]
    # Rows of other categories are not looked at, and a list is no number to add up.
    limit = "[[limits]]\nname='x'\ncolumn='reach'\nmost=1\nblank=0\nwhere={category='lamp'}"
    assert held(limit) == [
        ("text-among-numbers", 2, "reach", "2;5"),
        ("text-among-numbers", 3, "reach", "far"),
    ]


def test_a_list_of_ours_is_added_up_no_more_than_text(held):
    limit = "[[limits]]\nname='x'\ncolumn='needle_sizes'\nmost=1"
    assert held(limit) == [("not-numeric", None, 'limits "x".column', "needle_sizes")]


def test_a_number_has_at_most_six_decimals(held):
    assert held(BLANK % (", tags_any=['soft']", "")) == [
        ("text-among-numbers", 5, "weight_g", "0.1234567")
    ]


BLANK_CELL = ("blank-in-limit", 4, "weight_g", "tin-1")


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ("", [BLANK_CELL]),
        ("blank = 0", []),
        ("blank = 'leave out'", []),
        # The row could not be offered.
        ("[choose]\nleave_out=['tin-1']", []),
        ("[extras]\nspend='none'", []),
        ("[extras]\ncategories=['bead']", []),
        ("[extras.conditions.case]\ntags_any=['soft']", []),
        ("[all]\ntags_all=['soft']", []),
        # It is left out by another limit.
        (
            "[[limits]]\nname='y'\ncolumn='weight_g'\nmost=9\nblank='leave out'\n"
            "where={only={sku='tin-1'}}",
            [],
        ),
    ],
)
def test_a_blank_cell_in_a_limit_is_refused_where_the_row_could_be_offered(held, more, found):
    text = [
        one
        for one in held(BLANK % (", only={sku='tin-1'}", more))
        if one[0] != "unknown-extra-category"
    ]
    assert text == found


def test_a_blank_cell_that_stands_for_a_number_is_none(held):
    assert held("[[limits]]\ncolumn='serves'\nmost=9") == []


def test_an_unknown_category_in_a_rule_is_a_warning(held):
    assert held("[[limits]]\nmost = 1\nwhere = {category = ['lamps']}") == [
        ("unknown-rule-category", None, 'limits "limits 1".where.category', "lamps")
    ]
    assert held("[[alike]]\ncolumn='reach'\nof=['hoops','hoop']") == [
        ("unknown-rule-category", None, 'alike "reach".of', "hoops")
    ]
