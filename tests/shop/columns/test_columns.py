"""The description of columns is sound, and a column's glance agrees with its reader."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from stdnum import ean

from kitsolver.shop.cell_faults import Refused
from kitsolver.shop.columns import bulk, cells
from kitsolver.shop.columns.goods_columns import JOINED, SIZES
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.columns.registry import KNOWN, NUMERIC, REQUIRED, columns

digits = st.text("0123456789", min_size=7, max_size=15)


def accepts(reader, text):
    try:
        return reader(text) == text
    except Refused:
        return False


def test_no_category_describes_a_column_twice():
    users = [(c.name, category) for c in columns() for category in c.categories or ("",)]
    assert len(set(users)) == len(users)
    everywhere = {name for name, category in users if not category}
    assert not everywhere & {name for name, category in users if category}


def test_the_columns_of_every_row_that_must_be_filled_are_these():
    assert REQUIRED == ("sku", "name", "category", "price", "quality")


def test_sizes_and_joined_columns_are_made_of_described_numbers():
    described = {(c.name, category) for c in columns() for category in c.categories}
    for size in SIZES:
        assert {(name, size.category) for way in size.ways for name in way} <= described
    for joined in JOINED:
        assert {(part, joined.category) for part in joined.parts} <= described
        assert set(joined.parts) <= NUMERIC <= KNOWN


@pytest.mark.parametrize(
    "column",
    [column for column in columns() if isinstance(column.reads, Number)],
    ids=lambda c: f"{c.name} {' '.join(c.categories)}",
)
def test_no_number_can_leave_sixty_four_bits(column):
    assert column.reads(str(column.reads.most)) == column.reads.most * column.reads.held
    assert column.reads.most * column.reads.held < 2**63
    assert column.reads.held % 10**column.reads.decimals == 0


def test_the_longest_skein_stays_within_sixty_four_bits():
    most = {c.name: c.reads.most * c.reads.held for c in columns() if isinstance(c.reads, Number)}
    assert most["skein_m"] * most["strands"] < 2**63


def test_prices_take_the_currencys_decimals():
    # Exponents 0, 2 and 3: ISO 4217.
    for currency, decimals in (("JPY", 0), ("EUR", 2), ("KWD", 3)):
        price = next(c for c in columns(currency) if c.name == "price")
        assert price.reads.decimals == decimals


@given(st.lists(st.one_of(st.text(max_size=130), st.characters(categories=["Cc"]), digits)))
@example([])
@example(["x" * 120, "x" * 121])
def test_lines_seen_to_be_sound_are_accepted_by_the_reader(texts):
    texts = [text.strip() for text in texts]
    for text, sound in zip(texts, bulk.lines(texts), strict=True):
        assert not sound or accepts(cells.line, text)


def test_an_ordinary_line_is_seen_to_be_sound():
    assert list(bulk.lines(["Heron's bill scissors", "x" * 121])) == [True, False]


@given(st.lists(st.one_of(digits, digits.map(lambda d: d + ean.calc_check_digit(d)), st.text())))
@example([])
@example(["6291041500213", "73000110000", "+12345670"])
def test_gtins_are_judged_alike_at_a_glance_by_the_reader_and_by_stdnum(texts):
    for text, sound in zip(texts, bulk.gtins(texts), strict=True):
        assert sound == accepts(cells.gtin, text)
        assert not sound or ean.is_valid(text)


@pytest.mark.parametrize(
    # Number and check digit: GS1 General Specifications 7.9.1.
    ("number", "digit"),
    [("629104150021", "3"), ("730001100001", "7")],
)
def test_published_check_digits(number, digit):
    candidates = [number + last for last in "0123456789"]
    assert [c[-1] for c in candidates if accepts(cells.gtin, c)] == [digit]
    assert [c[-1] for c, ok in zip(candidates, bulk.gtins(candidates), strict=True) if ok] == [
        digit
    ]
