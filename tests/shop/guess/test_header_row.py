"""A header is found by its shape."""

import pytest

from kitsolver.shop.guess.header_row import find_header

HEADER = ["Zork", "Blip", "Grum"]
GOODS = [["A-1", "12,50", "3"], ["A-2", "1,20", "17"], ["A-3", "0,80", ""]]


@pytest.mark.parametrize(
    "above",
    [
        [],
        [["Stock list"]],
        [["Stock list", "", ""], ["printed 3.3.2026", "", ""], ["", "", ""]],
        [["Shop", "Branch 2"], []],
        [[], ["a remark that is long"]],
    ],
)
def test_titles_above_it_are_passed_over(above):
    assert find_header([*above, HEADER, *GOODS]) == len(above)


def test_known_words_outweigh_a_wide_title():
    titles = ["List of the", "goods in the", "back room of", "the shop"]
    header = ["Artikel", "Preis", "Bestand", ""]
    rows = [titles, header, *([*row, "x"] for row in GOODS)]
    assert find_header(rows) == 1


def test_a_row_of_values_is_no_header():
    assert find_header([["Code", "Price", "Left"], *GOODS]) == 0
    assert find_header([["a", "b", "c"], ["1", "2", "3"], ["a", "b", "c"]]) == 0


def test_without_rows_there_is_none():
    assert find_header([]) == 0
