"""Needle sizes at the bounds of the table, and where a brief replaces it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.needles import BOUNDS, suiting

# Common practice, no source: the sizes up to a bound, and from just beyond it.
TABLE = {
    8: ({18, 20, 22}, {22, 24}),
    11: ({22, 24}, {24, 26}),
    14: ({24, 26}, {24, 26}),
    16: ({24, 26}, {26, 28}),
    18: ({26, 28}, {26, 28}),
    22: ({26, 28}, {28}),
}


@pytest.mark.parametrize("bound", TABLE)
def test_a_bound_belongs_to_the_lower_range(bound):
    up_to, beyond = TABLE[bound]
    assert suiting(Fraction(bound)) == up_to
    assert suiting(Fraction(bound) - Fraction(1, 10**4)) == up_to
    assert suiting(Fraction(bound) + Fraction(1, 10**4)) == beyond
    assert suiting(Fraction(bound) + Fraction(1, 10**30)) == beyond


@given(count=st.fractions(Fraction(1, 100), 100))
def test_every_count_has_sizes_and_finer_fabric_takes_no_coarser_needle(count):
    assert suiting(count)
    assert min(suiting(count)) <= min(suiting(count + 1))


def test_a_brief_replaces_the_table_at_its_counts_only():
    instead = {Fraction(25, 2): frozenset({22}), Fraction(14): frozenset({20, 28})}
    assert suiting(Fraction("12.5"), instead) == {22}
    assert suiting(Fraction(28, 2), instead) == {20, 28}
    for count in (Fraction("12.4999"), Fraction("14.0001"), *map(Fraction, set(BOUNDS) - {14})):
        assert suiting(count, instead) == suiting(count)


def test_a_count_may_be_left_without_any_needle():
    assert suiting(Fraction(14), {Fraction(14): frozenset()}) == frozenset()
