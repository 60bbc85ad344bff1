"""Conditions of a need, held against rows by column."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver import brief_of, read_catalogue
from kitsolver.brief.meeting import Shelf, meeting, words
from kitsolver.shop.columns.registry import columns
from kitsolver.shop.row_values import blank_means

LAMPS = """\
sku,name,category,price,quality,stock,serves,tags,finish,glow
A,Oil lamp,lamp,3.50,60,,,bright; soft,matt,2.5
B,Wax lamp,lamp,3.51,60.01,4,2,bright,glossy ; matt,2.50;9
C,Gas lamp,lamp,0,0,0,1,,Matt,02.5
D,Arc lamp,lamp,12,100,,,brighter,,
"""
CRAFT = """\
sku,name,category,price,quality,colours,weave,count,width_cm,height_cm,skein_m,strands,\
needle_sizes,stitches_wide,stitches_high
F,Cream,fabric,1,1,,aida,14,30,30,,,,,
G,Flax,fabric,1,1,#E8E0C8,linen,27.50,30,30,,,,,
M,Sea,thread,1,1,#7FC4C8,,,,,,,,,
N,Rose,thread,1,1,#7fc4c8;#d08090,,,,,5,4,,,
P,Fine,needle,1,1,,,,,,,,24;26,,
Q,Stout,needle,1,1,,,,,,,,18,,
X,Harbour,chart,1,1,#E8E0C8:620;#7fc4c8:415,,,,,,,,56,77
"""


@pytest.fixture
def meet(tmp_path):
    """Return the skus of a shelf that meet the conditions of a need."""

    def meet(text, category, **need):
        path = tmp_path / "shop.csv"
        path.write_text(text, encoding="utf-8")
        catalogue = read_catalogue(path, currency="EUR")
        asked = {"currency": "EUR", "cap": 1, "holds": [category], "needs": {category: need}}
        rows = catalogue.rows[category]
        good = meeting(Shelf(category, rows, catalogue.cells), brief_of(asked).need(category))
        return "".join(rows["sku"][good])

    return meet


def test_without_conditions_every_row_will_do(meet):
    assert meet(LAMPS, "lamp") == "ABCD"


@pytest.mark.parametrize(
    ("need", "skus"),
    [
        ({"max_price": "3.50"}, "AC"),
        ({"max_price": "3.51"}, "ABC"),
        ({"max_price": 0}, "C"),
        ({"min_quality": "60.01"}, "BD"),
        ({"min_quality": "60.005"}, "BD"),
        ({"min_quality": 60}, "ABD"),
        ({"min_quality": 100}, "D"),
        ({"tags_any": ["bright"]}, "AB"),
        ({"tags_any": ["soft", "brighter"]}, "AD"),
        ({"tags_any": ["Bright"]}, ""),
        ({"tags_none": ["bright"]}, "CD"),
        ({"tags_none": ["bright", "brighter"]}, "C"),
        ({"tags_any": ["bright"], "tags_none": ["soft"]}, "B"),
        ({"max_price": "3.50", "min_quality": 1}, "A"),
    ],
)
def test_price_quality_and_tags(meet, need, skus):
    assert meet(LAMPS, "lamp", **need) == skus


@pytest.mark.parametrize(
    ("only", "skus"),
    [
        # Text exactly; a cell as a whole or one of its parts.
        ({"finish": "matt"}, "AB"),
        ({"finish": "Matt"}, "C"),
        ({"finish": ["matt", "Matt"]}, "ABC"),
        ({"finish": "glossy ; matt"}, "B"),
        ({"finish": "mat"}, ""),
        ({"finish": ""}, "D"),
        ({"finish": []}, ""),
        # In a column of the shop's own a number is compared by value, a text as a text.
        ({"glow": Decimal("2.5")}, "ABC"),
        ({"glow": 9}, "B"),
        ({"glow": "2.5"}, "A"),
        ({"glow": "2.50"}, "B"),
        # In one of the catalogue's own, a text that is a number is one.
        ({"quality": "60.0"}, "A"),
        ({"quality": [60, "60.01"]}, "AB"),
        ({"price": "12.00"}, "D"),
        ({"quality": "sixty"}, ""),
        # Blank cells count as their default, where there is one.
        ({"serves": 1}, "ACD"),
        ({"serves": "1"}, "ACD"),
        ({"serves": [2, 3]}, "B"),
        ({"stock": 0}, "C"),
        ({"stock": [0, 4]}, "BC"),
        ({"stock": ""}, "AD"),
        # Each column has to match.
        ({"finish": "matt", "serves": 2}, "B"),
        # Columns the file does not have are blank.
        ({"weave": "aida"}, ""),
        ({"skein_m": 8}, "ABCD"),
    ],
)
def test_allowed_values(meet, only, skus):
    assert meet(LAMPS, "lamp", only=only) == skus


@pytest.mark.parametrize(
    ("category", "only", "skus"),
    [
        ("fabric", {"weave": ["aida"], "count": [14]}, "F"),
        ("fabric", {"count": "14.0"}, "F"),
        ("fabric", {"count": [Decimal("27.5"), 16]}, "G"),
        ("fabric", {"colours": "#e8e0c8"}, "G"),
        ("fabric", {"colours": "#E8E0C8"}, "G"),
        ("thread", {"colours": "#7FC4C8"}, "MN"),
        ("thread", {"colours": ["#d08090"]}, "N"),
        ("thread", {"skein_m": 8}, "M"),
        ("thread", {"skein_m": [5]}, "N"),
        ("thread", {"strands": 6}, "M"),
        ("needle", {"needle_sizes": [26, 28]}, "P"),
        ("needle", {"needle_sizes": "18"}, "Q"),
        ("needle", {"needle_sizes": 2}, ""),
        ("chart", {"colours": "#e8e0c8"}, "X"),
        ("chart", {"colours": "#d08090"}, ""),
        ("chart", {"stitches_wide": [56]}, "X"),
    ],
)
def test_columns_of_the_craft(meet, category, only, skus):
    assert meet(CRAFT, category, only=only) == skus


def test_blank_values_are_those_of_the_specification():
    assert {each.name: meant for each in columns() if (meant := blank_means(each.name))} == {
        "serves": "1",
        "skein_m": "8",
        "strands": "6",
        "kind": "cotton",
        "download": "no",
        "sold_by": "unit",
        "smallest_cm": "10",
        "step_cm": "10",
    }


def test_a_blank_cell_means_nothing_in_rows_of_other_categories():
    assert blank_means("strands", "thread") == "6"
    assert blank_means("strands", "needle") == ""
    assert blank_means("serves", "needle") == "1"


@given(
    said=st.lists(st.sampled_from(["a", "b c", "d"]), max_size=4), gap=st.sampled_from(["", " "])
)
def test_tags_are_words_whatever_is_around_them(said, gap):
    assert words(f"{gap};{gap}".join(said)) == set(said)
    assert words(f"{gap};".join(["", *said, ""])) == set(said)
