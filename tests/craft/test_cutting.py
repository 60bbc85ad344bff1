"""The plan of cuts takes as many pieces as are counted, and none overlap."""

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitsolver.craft.cutting import Roll, offcuts, pieces, plan, steps_off
from kitsolver.craft.fit import Size

sides = st.builds(Fraction, st.integers(2, 24), st.sampled_from([1, 2, 3]))
large = st.builds(Fraction, st.integers(4, 30))


def end(cut):
    return cut.left + cut.width, cut.top + cut.height


@settings(deadline=None)
@given(st.builds(Size, sides, sides), st.builds(Size, large, large))
def test_the_plan_takes_every_piece_that_is_counted(cut, fabric):
    found = plan(cut, fabric, 10_000)
    assert len(found) == pieces(cut, fabric)
    for piece in found:
        across, down = end(piece)
        assert piece.left >= 0
        assert piece.top >= 0
        assert across <= fabric.width
        assert down <= fabric.height
        assert sorted((piece.width, piece.height)) == sorted(cut)
    for one, other in combinations(found[:40], 2):
        beside = end(one)[0] <= other.left or end(other)[0] <= one.left
        above = end(one)[1] <= other.top or end(other)[1] <= one.top
        assert beside or above


@settings(deadline=None)
@given(st.builds(Size, sides, sides), st.builds(Size, large, large), st.integers(0, 5))
def test_no_more_pieces_are_planned_than_asked_for(cut, fabric, number):
    assert len(plan(cut, fabric, number)) == min(number, pieces(cut, fabric))


@settings(deadline=None)
@given(st.builds(Size, sides, sides), st.builds(Size, large, large))
def test_straight_cuts_from_edge_to_edge_part_the_pieces(cut, fabric):
    """Any two pieces or more are parted by a line that runs through none of them."""

    def parted(some):
        if len(some) < 2:
            return True
        for side in (0, 1):
            for at in {end(piece)[side] for piece in some}:
                left = [piece for piece in some if end(piece)[side] <= at]
                right = [piece for piece in some if piece[side] >= at]
                if right and len(left) + len(right) == len(some):
                    return parted(left) and parted(right)
        return False

    assert parted(plan(cut, fabric, 60))


@settings(deadline=None, max_examples=30)
@given(st.builds(Size, sides, sides), st.builds(Size, large, large))
def test_offcuts_are_what_the_pieces_leave(cut, fabric):
    left = offcuts(cut, fabric)
    areas = [rest.width * rest.height for rest in left]
    assert areas == sorted(areas, reverse=True)
    assert all(min(rest) > 0 for rest in left)
    taken = pieces(cut, fabric) * cut.width * cut.height
    assert sum(areas) + taken == fabric.width * fabric.height


@pytest.mark.parametrize(
    ("cut", "fabric", "left"),
    [
        ((3, 5), (3, 5), []),
        ((3, 5), (2, 9), [(2, 9)]),
        ((3, 5), (7, 5), [(1, 5)]),
        ((3, 5), (7, 6), [(6, 1), (1, 6)]),
        ((3, 5), (8, 3), [(3, 3)]),
        # 3 x 5 beside two of 5 x 3 over each other.
        ((3, 5), (8, 6), [(3, 1)]),
    ],
)
def test_offcuts_worked_by_hand(cut, fabric, left):
    found = offcuts(Size(*map(Fraction, cut)), Size(*map(Fraction, fabric)))
    assert sorted(map(sorted, found)) == sorted(map(sorted, left))


@settings(deadline=None, max_examples=40)
@given(
    st.builds(Size, sides, sides), large, st.sampled_from([Fraction(1), Fraction(5, 2)]),
    st.integers(1, 9), st.integers(1, 5),
)  # fmt: skip
def test_steps_off_a_roll_are_the_fewest_that_do(cut, width, step, number, least):
    roll = Roll(width, step, least)
    found = steps_off(roll, cut, number)
    if min(cut) > width:
        assert found is None
        return
    steps = least
    while pieces(cut, Size(width, steps * step)) < number:
        steps += 1
    assert found == steps
