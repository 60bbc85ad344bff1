"""How numbers are written is seen from all of them together."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitsolver.shop.guess.number_style import number_style


@pytest.mark.parametrize(
    ("cells", "comma", "thousands"),
    [
        (["3,90", "12,5"], True, ""),
        (["3.90", "12.5"], False, ""),
        (["3,90 €", "1.250,00 €"], True, "."),
        (["£3.90", "£1,250.00"], False, ","),
        (["3,90", "1 250,00"], True, " "),
        (["3.90", "1'250.00"], False, "'"),
        (["1.250.000", "3"], True, "."),
        # A mark before three digits parts thousands where decimals have another mark.
        (["3,90", "1.250"], True, "."),
        (["3.90", "1,250"], False, ","),
        # Alone it is left open: nothing is said of thousands or of decimals.
        (["1.250", "3"], False, ""),
        (["12", "7"], False, ""),
    ],
)
def test_marks_are_told_by_what_stands_behind_them(cells, comma, thousands):
    style = number_style([cells])
    assert (style.comma, style.thousands) == (comma, thousands)


def test_columns_of_text_do_not_count():
    style = number_style([["3.90"], ["1,5 m of ribbon", "Wren, small"]])
    assert style.votes == (0, 1)


@settings(max_examples=50)
@given(
    st.lists(st.decimals(0, 10**6, places=2, allow_nan=False), min_size=1, max_size=30),
    st.sampled_from([(",", "."), (".", ","), (",", " "), (".", "'")]),
    st.sampled_from(["{}", "{} €", "£{}", "CHF {}"]),
)
def test_sums_are_read_as_they_were_written(sums, marks, around):
    decimal, thousands = marks
    table = {ord(","): thousands, ord("."): decimal}
    cells = [around.format(f"{each:,.2f}".translate(table)) for each in sums]
    style = number_style([cells])
    for cell, each in zip(cells, sums, strict=True):
        assert style.read(cell).value == Decimal(each)
