"""Pieces from a fabric against published instances and against every plan of cuts."""

from fractions import Fraction
from functools import cache

import pytest
import rectpack
from hypothesis import given, settings
from hypothesis import strategies as st

from kitsolver.craft.cutting import Roll, offcuts, pieces, plan, steps_off
from kitsolver.craft.fit import Size

# Instances recalled from Morabito & Morales 1998, JORS 49:819-828, and Birgin, Lobato & Morabito
# 2010, JORS 61:306-320; the edge-to-edge optima were computed by exact dynamic programming.
INSTANCES = [
    ((5, 5), (3, 2), 3),  # a pinwheel would give 4, but no cut of it runs from edge to edge
    ((14, 10), (3, 2), 23),
    ((22, 16), (5, 3), 22),
    ((30, 22), (7, 4), 22),
    ((57, 44), (12, 5), 39),
    ((42, 39), (9, 4), 43),
]


GUILLOTINES = [
    rectpack.GuillotineBssfSas,
    rectpack.GuillotineBlsfLas,
    rectpack.GuillotineBafSlas,
    rectpack.GuillotineBafMinas,
]


def size(sides, scale=1):
    return Size(*(Fraction(side) * scale for side in sides))


@pytest.mark.parametrize(("fabric", "cut", "most"), INSTANCES)
@pytest.mark.parametrize("scale", [1, Fraction(1, 7), 25_400_000])
def test_published_instances_any_way_round_and_in_any_unit(fabric, cut, most, scale):
    for sheet in (fabric, fabric[::-1]):
        for piece in (cut, cut[::-1]):
            assert pieces(size(piece, scale), size(sheet, scale)) == most


@pytest.mark.parametrize(("fabric", "cut", "most"), INSTANCES)
def test_counting_stops_at_enough(fabric, cut, most):
    for enough in range(1, most + 3):
        assert pieces(size(cut), size(fabric), enough) == min(most, enough)


def test_a_hair_too_small_is_too_small():
    hair = Fraction(1, 10**12)
    assert pieces(size((3, 2)), size((6, 2))) == 2
    assert pieces(size((3 + hair, 2)), size((6, 2))) == 1
    assert pieces(size((3, 2)), size((6, 2 - hair))) == 0


@cache
def by_every_plan(length, width, one, other):
    """Count by trying every cut at a whole position, and every plan of what it parts."""
    if length < width:
        length, width = width, length
    whole = int(max(one, other) <= length and min(one, other) <= width)
    along = [
        by_every_plan(at, width, one, other) + by_every_plan(length - at, width, one, other)
        for at in range(1, length)
    ]
    across = [
        by_every_plan(length, at, one, other) + by_every_plan(length, width - at, one, other)
        for at in range(1, width)
    ]
    return max(whole, *along, *across, 0)


@settings(max_examples=500, deadline=None)
@given(*(st.integers(1, 24) for _ in "lw"), *(st.integers(1, 9) for _ in "lw"), st.integers(1, 40))
def test_no_plan_of_cuts_gives_more_and_one_gives_as_many(length, width, one, other, enough):
    expected = by_every_plan(length, width, one, other)
    assert pieces(size((one, other)), size((length, width))) == expected
    assert pieces(size((one, other)), size((length, width)), enough) == min(expected, enough)


@settings(max_examples=150, deadline=None)
@given(*(st.integers(6, 60) for _ in "lw"), *(st.integers(2, 15) for _ in "lw"))
def test_guillotine_packers_of_rectpack_never_place_more(length, width, one, other):
    """The guillotine packers of the rectpack library, each with its own rule of where to cut."""
    most = pieces(size((one, other)), size((length, width)))
    for algorithm in GUILLOTINES:
        packer = rectpack.newPacker(pack_algo=algorithm, rotation=True)
        packer.add_bin(length, width)
        for _ in range(length * width // (one * other) + 1):
            packer.add_rect(one, other)
        packer.pack()
        assert len(packer.rect_list()) <= most


@settings(max_examples=200, deadline=None)
@given(*(st.integers(3, 40) for _ in "lw"), *(st.integers(1, 9) for _ in "lw"))
def test_pieces_and_offcuts_are_the_whole_fabric(length, width, one, other):
    fabric, cut = size((length, width)), size((one, other))
    placed = plan(cut, fabric, 10_000)
    assert len(placed) == pieces(cut, fabric)
    left = offcuts(cut, fabric)
    areas = [rest.width * rest.height for rest in left]
    assert sum(areas) + len(placed) * one * other == length * width
    assert areas == sorted(areas, reverse=True)
    assert all(rest.width <= length and rest.height <= width for rest in left)


@settings(max_examples=200, deadline=None)
@given(
    st.integers(3, 30), st.integers(1, 9), st.integers(1, 9), st.integers(1, 14),
    st.integers(1, 5), st.integers(1, 4),
)  # fmt: skip
def test_no_fewer_steps_off_the_roll_would_do(width, one, other, number, step, least):
    roll, cut = Roll(Fraction(width), Fraction(step), least), size((one, other))
    steps = steps_off(roll, cut, number)
    if min(one, other) > width:
        assert steps is None
        return
    assert steps >= least
    assert pieces(cut, roll.length(steps)) >= number
    assert steps == least or pieces(cut, roll.length(steps - 1)) < number
