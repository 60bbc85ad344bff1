"""The plan of cuts takes as many pieces as are counted, and none overlap."""

from fractions import Fraction
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from kitsolver.craft.cutting import pieces, plan
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
