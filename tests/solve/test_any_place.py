"""The cheapest thread where every place serves every colour is that of every way to assign it."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.decomposition.thread import any_place
from kitsolver.solve.decomposition.thread.any_place import cheapest_alike
from kitsolver.solve.decomposition.thread.assignment import assigned, cost_of

BLACK = "#000000"


def row(sku, price, places=1):
    return Thread(sku, "thread", price, colours=(BLACK,) * places, skein_length=1)


@st.composite
def shops(draw):
    """Draw rows of thread, and how much of it each of a few colours takes."""
    rows = [
        Thread(
            f"T{number}",
            "thread",
            draw(st.integers(0, 9)),
            stock=draw(st.sampled_from([1, 2, 99])),
            home=draw(st.sampled_from([0, 0, 1])),
            colours=(BLACK,) * draw(st.integers(1, 3)),
            skein_length=draw(st.sampled_from([2, 3])),
        )
        for number in range(draw(st.integers(1, 5)))
    ]
    if draw(st.booleans()):
        rows.append(Thread("", "thread", 0, stock=99, colours=(BLACK, BLACK), skein_length=2))
    return rows, draw(st.lists(st.integers(1, 8), min_size=1, max_size=4))


def assignments(rows, lengths):
    """Give for each colour every place of which there is enough; shades at home take no units."""
    found = []
    for number, length in enumerate(lengths):
        units = [-(-length // row.skein_length) if row.sku else 0 for row in rows]
        found.append(
            [
                assigned(number, Place(row, index, 0, 0), taken)
                for row, taken in zip(rows, units, strict=True)
                if row.bought(taken) <= row.stock
                for index in range(len(row.colours))
            ]
        )
    return found


def every_way(colours, kept):
    """Give what each way costs to let every colour have a place of its own, with the kept rows."""
    for way in product(*colours):
        if len({one.key for one in way}) == len(way) and kept <= {one.sku for one in way}:
            yield cost_of(way)


@given(shops(), st.sets(st.sampled_from(["T0", "T1", "T2"]), max_size=2))
def test_nothing_is_cheaper_of_every_way(shop, kept):
    colours = assignments(*shop)
    expected = min(every_way(colours, kept), default=None)
    found = cheapest_alike(colours, kept)
    if expected is None:
        assert found is None
        return
    assert found is not None
    assert cost_of(found) == expected
    assert sorted(one.colour for one in found) == list(range(len(colours)))
    assert len({one.key for one in found}) == len(found)
    assert kept <= {one.sku for one in found}
    assert all(one in colours[one.colour] for one in found)


def test_colours_that_want_different_places_are_left_to_others():
    places = [Place(row(sku, 1), 0, 0, 0) for sku in "AB"]
    assert cheapest_alike([[assigned(n, place, 1)] for n, place in enumerate(places)]) is None


def test_a_pack_of_which_a_colour_may_have_one_place_only_is_left_to_others():
    both = [Place(row("A", 1, places=2), index, 0, 0) for index in range(2)]
    colours = [[assigned(0, place, 1) for place in both], [assigned(1, both[0], 1)]]
    assert cheapest_alike(colours) is None


def test_too_many_numbers_of_rows_are_given_up(monkeypatch):
    monkeypatch.setattr(any_place, "_MOST_STATES", 0)
    assert cheapest_alike(assignments([row("A", 1)], [1])) is None


@pytest.mark.parametrize(("prices", "cost"), [((5, 1, 2), 3), ((1, 1, 1), 2)])
def test_the_cheapest_of_rows_that_are_alike_are_bought(prices, cost):
    rows = [row(f"T{number}", price) for number, price in enumerate(prices)]
    assert cost_of(cheapest_alike(assignments(rows, [1, 1]))) == cost


def test_a_colour_that_takes_much_may_have_a_row_of_its_own():
    """A pack at the units of the colour that takes most would cost 9 for all three."""
    rows = [row("A", 3, places=3), row("B", 4)]
    assert cost_of(cheapest_alike(assignments(rows, [3, 1, 1]))) == 9
    rows = [row("A", 3, places=3), row("B", 1)]
    assert cost_of(cheapest_alike(assignments(rows, [3, 1, 1]))) == 6


def test_a_kept_row_is_left_for_the_colour_that_takes_least():
    rows = [row("A", 1, places=3), row("B", 5)]
    found = cheapest_alike(assignments(rows, [3, 2, 1]), {"B"})
    assert sorted((one.colour, one.sku) for one in found) == [(0, "A"), (1, "A"), (2, "B")]
    assert cost_of(found) == 8


def test_a_kept_row_of_which_no_colour_may_have_a_place_is_told():
    assert cheapest_alike(assignments([row("A", 1)], [1]), {"B"}) is None
