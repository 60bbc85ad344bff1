"""Sizes, and whether a piece of fabric takes them; touching exactly counts."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.fit import (
    Size,
    cut_size,
    effective_count,
    finished_size,
    fits,
    hoop_fits,
    must_turn,
    repeats,
    within,
)
from kitsolver.craft.lengths import CM, INCH

SIDES = st.fractions(Fraction(1, 10), 100, max_denominator=50)
SIZES = st.builds(Size, SIDES, SIDES)
HAIR = Fraction(1, 10**9)


@pytest.mark.parametrize(
    ("weave", "over", "count"),
    [("aida", 1, 28), ("aida", 2, 28), ("evenweave", 2, 14), ("linen", 2, 14), ("linen", 1, 28)],
)
def test_only_aida_is_stitched_over_one_whatever_is_asked(weave, over, count):
    assert effective_count(weave, Fraction(28), over) == count


def test_odd_counts_over_two_are_kept_exactly():
    assert effective_count("linen", Fraction(55, 2), 3) == Fraction(55, 6)


def test_sizes_are_exact_where_no_decimal_is():
    # 50 stitches at 7 an inch: 7 1/7 inches.
    finished = finished_size(50, 7, Fraction(7))
    assert finished == (Fraction(50, 7) * INCH, INCH)
    assert cut_size(finished, 3 * INCH) == (Fraction(50, 7) * INCH + 6 * INCH, 7 * INCH)


@given(cut=SIZES)
def test_touching_exactly_fits_either_way_round_and_a_hair_less_does_not(cut):
    for piece in (cut, cut.turned):
        assert fits(cut, piece)
        # A hair off the shorter side: neither way helps.
        shorter = min(piece)
        less = Size(*(side - HAIR if side == shorter else side for side in piece))
        assert not fits(cut, less)
    assert within(cut, cut)
    assert not must_turn(cut, cut)


@given(cut=SIZES, fabric=SIZES)
def test_it_fits_as_it_lies_or_turned_and_must_turn_only_then(cut, fabric):
    lying, turned = within(cut, fabric), within(cut, fabric.turned)
    assert fits(cut, fabric) == (lying or turned)
    assert must_turn(cut, fabric) == (turned and not lying)
    assert fits(cut, fabric) == fits(cut.turned, fabric) == fits(cut, fabric.turned)
    assert within(cut, fabric) == all(c <= f for c, f in zip(cut, fabric, strict=True))


@pytest.mark.parametrize(
    ("cut", "fabric", "turned"),
    [((3, 5), (5, 3), True), ((3, 5), (5, 5), False), ((3, 5), (3, 5), False), ((6, 5), (5, 3), 0)],
)
def test_what_fits_both_ways_or_neither_is_not_turned(cut, fabric, turned):
    assert must_turn(Size(*cut), Size(*fabric)) == turned


@pytest.mark.parametrize(
    ("design", "margin", "fabric", "times"),
    [
        # k designs and k + 1 margins a side: 2 x 4 + 3 x 3 = 17.
        ((4, 5), 3, (17, 11), 2),
        ((4, 5), 3, (11, 17), 2),
        ((5, 4), 3, (17, 11), 2),
        ((4, 5), 3, (Fraction(1699, 100), 11), 1),
        ((4, 5), 3, (17, 19), 4),
        # As it lies 2 x 1, turned 3 x 1.
        ((4, 2), 0, (8, 4), 4),
        ((5, 2), 1, (10, 7), 3),
        ((4, 5), 3, (10, 10), 0),
        ((4, 5), 3, (2, 30), 0),
        ((4, 5), 3, (2, 2), 0),
    ],
)
def test_repeats_worked_by_hand(design, margin, fabric, times):
    assert repeats(Size(*design), Fraction(margin), Size(*fabric)) == times


@given(design=SIZES, margin=st.fractions(0, 10, max_denominator=20), fabric=SIZES)
def test_a_design_goes_once_at_least_exactly_where_its_cut_fits(design, margin, fabric):
    times = repeats(design, margin, fabric)
    assert (times >= 1) == fits(cut_size(design, margin), fabric)
    assert times == repeats(design.turned, margin, fabric) == repeats(design, margin, fabric.turned)


@given(
    design=SIZES,
    margin=st.fractions(0, 10, max_denominator=20),
    wide=st.integers(1, 6),
    high=st.integers(1, 6),
)
def test_designs_laid_out_with_shared_margins_touch_exactly(design, margin, wide, high):
    fabric = Size(
        wide * design.width + (wide + 1) * margin, high * design.height + (high + 1) * margin
    )
    assert repeats(design, margin, fabric) >= wide * high


@given(diameter=SIDES, more=SIDES)
def test_a_hoop_has_2_5_cm_around_it_both_ways(diameter, more):
    # What the ring grips: common practice, no source.
    least = diameter * CM + 5 * CM
    assert hoop_fits(diameter * CM, Size(least, least))
    assert hoop_fits(diameter * CM, Size(least, least + more))
    for piece in (Size(least - HAIR, least + more), Size(least + more, least - HAIR)):
        assert not hoop_fits(diameter * CM, piece)
