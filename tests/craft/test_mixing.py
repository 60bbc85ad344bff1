"""Packs of several sizes, mixed at least cost: by hand, and against every mix."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from kitsolver.craft.mixing import Pack, cheapest_mix

PACKS = st.lists(
    st.tuples(st.integers(1, 6), st.integers(0, 40), st.integers(0, 4)), min_size=1, max_size=4
)


def test_twelve_needles_from_singles_and_a_packet_of_ten():
    """Worked by hand: a packet of ten and two singles are 7.60, twelve singles 9.60."""
    packs = [Pack("ONE", 1, 80, 100), Pack("TEN", 10, 600, 100)]
    assert cheapest_mix(packs, 12) == {"ONE": 2, "TEN": 1}
    assert cheapest_mix(packs, 18) == {"TEN": 2}
    assert cheapest_mix([Pack("ONE", 1, 80, 3)], 4) is None


def test_where_mixes_cost_the_same_fewer_packs_are_taken_then_the_first():
    assert cheapest_mix([Pack("A", 1, 5, 9), Pack("B", 2, 10, 9)], 4) == {"B": 2}
    assert cheapest_mix([Pack("B", 2, 10, 9), Pack("A", 2, 10, 9)], 4) == {"A": 1, "B": 1}


@given(PACKS, st.integers(1, 14))
def test_no_mix_costs_less(drawn, asked):
    packs = [Pack(f"P{n}", *pack) for n, pack in enumerate(drawn)]
    every = [
        (
            sum(units * pack.cost for units, pack in zip(mix, packs, strict=True)),
            sum(mix),
            [(pack.name, units) for units, pack in zip(mix, packs, strict=True) if units],
        )
        for mix in product(*(range(pack.stock + 1) for pack in packs))
        if sum(units * pack.serves for units, pack in zip(mix, packs, strict=True)) >= asked
    ]
    found = cheapest_mix(packs, asked)
    if not every:
        assert found is None
    else:
        assert found is not None
        _, _, first = min(every)
        assert list(found.items()) == first
