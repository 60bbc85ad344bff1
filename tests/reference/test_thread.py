"""Skeins against a table from the geometry of a cross, and against sixty digits."""

from decimal import ROUND_CEILING, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitsolver.craft.thread import USUAL_SKEIN, Charted, skeins, strands


def needed(stitches, *takes):
    return skeins(Charted("#000000", stitches), *takes)


@pytest.mark.parametrize(
    ("count", "without_waste", "with_waste"),
    [(11, 2152, 1793), (14, 2739, 2283), (16, 3131, 2609), (18, 3522, 2935)],
)
def test_crosses_from_one_skein(count, without_waste, with_waste):
    # By geometry: a cross worked in rows takes (2 + 2 sqrt 2) pitches of 25.4 mm / count; a skein
    # is 8 m of six plies (common practice, no source), stitched here with two strands.
    for waste, crosses in ((Fraction(0), without_waste), (Fraction(1, 5), with_waste)):
        assert needed(crosses, Fraction(count), 2, waste, USUAL_SKEIN) == 1
        assert needed(crosses + 1, Fraction(count), 2, waste, USUAL_SKEIN) == 2


@pytest.mark.parametrize(
    ("count", "usual"),
    [  # common practice, no source
        ("1", 4), ("8", 4), ("8.01", 3), ("11", 3), ("11.01", 2), ("14", 2), ("14.01", 2),
        ("16", 2), ("16.01", 2), ("18", 2), ("18.01", 1), ("22", 1), ("22.01", 1), ("40", 1),
    ],
)  # fmt: skip
def test_strands_table(count, usual):
    assert strands(Fraction(count)) == usual


def by_sixty_digits(stitches, count, plies, waste, skein_length, sharing):
    """Count skeins from millimetres, with sqrt 2 to sixty digits."""
    with localcontext(prec=60):
        pitch = Decimal("25.4") * count.denominator / count.numerator
        front, back = 2 * Decimal(2).sqrt() * pitch, 2 * pitch
        taken = stitches * (front + back) * plies * sharing * (1 + waste)
        held = Decimal(skein_length) / 10  # ten-thousandths of a metre, in mm
        return int((taken / held).to_integral_value(ROUND_CEILING))


WASTES = st.decimals(0, 1, places=4)
COUNTS = st.fractions(5, 40, max_denominator=12)
SKEINS = st.integers(1, 100 * 10_000 * 12)


@pytest.mark.slow
@settings(max_examples=500, deadline=None)
@given(st.integers(1, 10**6), COUNTS, st.integers(1, 12), WASTES, SKEINS, st.integers(1, 40))
def test_skeins_to_sixty_digits(stitches, count, plies, waste, skein_length, sharing):
    given_out = needed(stitches, count, plies, Fraction(waste), skein_length, sharing)
    expected = by_sixty_digits(stitches, count, plies, waste, skein_length, sharing)
    assert given_out == expected


@pytest.mark.slow
@settings(max_examples=500, deadline=None)
@given(st.integers(1, 500), COUNTS, st.integers(1, 6), WASTES, SKEINS)
def test_the_last_cross_that_a_number_of_skeins_takes(number, count, plies, waste, skein_length):
    # Near the boundary, where an error in the last digit would show: the last stitch that
    # `number` skeins take, found by the sixty digits, and the one after it.
    def takes(stitches):
        return by_sixty_digits(stitches, count, plies, waste, skein_length, 1)

    low, high = 0, 1
    while takes(high) <= number:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if takes(middle) <= number else (low, middle)
    for stitches in {max(low, 1), high}:
        found = needed(stitches, count, plies, Fraction(waste), skein_length)
        assert found == takes(stitches)
