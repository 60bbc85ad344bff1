"""Minimal conflicts and mends, against enumeration and published examples."""

from itertools import combinations, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from kitsolver import brief_of, read_catalogue
from kitsolver.explain.no_kit.cheapest_kit import Least
from kitsolver.explain.no_kit.conflict import minimal_conflict, minimal_mends
from kitsolver.explain.no_kit.demands import demands
from kitsolver.explain.no_kit.relaxed_brief import Asking
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import TimeLimit


def conflicts_of(asked, works):
    """Return every minimal conflict by enumeration."""
    found = []
    for size in range(len(asked) + 1):
        for some in combinations(asked, size):
            if not works(some) and not any(set(one) <= set(some) for one in found):
                found.append(some)
    return {frozenset(one) for one in found}


def mends_of(asked, works):
    """Return every minimal mend by enumeration."""
    found = []
    for size in range(len(asked) + 1):
        for some in combinations(asked, size):
            rest = [demand for demand in asked if demand not in some]
            if works(rest) and not any(set(one) <= set(some) for one in found):
                found.append(some)
    return {frozenset(one) for one in found}


@st.composite
def worlds(draw):
    """Draw demands, and what cannot be met together."""
    number = draw(st.integers(1, 7))
    clash = st.frozensets(st.integers(0, number - 1), min_size=1)
    return list(range(number)), draw(st.lists(clash, max_size=6))


@given(worlds())
def test_a_conflict_is_one_and_nothing_of_it_can_be_spared(world):
    asked, clashes = world

    def works(kept):
        return not any(clash <= set(kept) for clash in clashes)

    found = minimal_conflict(asked, works)
    every = conflicts_of(asked, works)
    assert (found is None) == (not every)
    if found is not None:
        assert frozenset(found) in every
        assert found == sorted(found)
        # Of all conflicts it is the one whose least dear demand is dearest, and so on downwards.
        assert sorted(found, reverse=True) == min(sorted(one, reverse=True) for one in every)


@given(worlds(), st.integers(0, 3))
def test_mends_are_all_that_enumeration_finds_the_smallest_first(world, most):
    asked, clashes = world

    def works(kept):
        return not any(clash <= set(kept) for clash in clashes)

    found = list(minimal_mends(asked, works))
    assert {frozenset(mend) for mend in found} == mends_of(asked, works)
    assert len(found) == len({frozenset(mend) for mend in found})
    assert [len(mend) for mend in found] == sorted(len(mend) for mend in found)
    few = list(minimal_mends(asked, works, most))
    assert few == [mend for mend in found if len(mend) <= most]


def test_what_never_works_has_an_empty_conflict_and_no_mend():
    assert minimal_conflict([1, 2], lambda _: False) == []
    assert list(minimal_mends([1, 2], lambda _: False)) == []


def asked_of(tmp_path, rows, cap):
    """Return what is asked of a shop whose options are all to be kept, and their names."""
    shop = tmp_path / "shop.csv"
    lines = [f"{sku},{sku},{category},{price}.00,50" for sku, category, price in rows]
    shop.write_text("\n".join(["sku,name,category,price,quality", *lines]) + "\n")
    brief = brief_of(
        {
            "currency": "EUR",
            "cap": f"{cap}.00",
            "holds": [],
            "choose": {"keep": [sku for sku, _, _ in rows]},
        }
    )
    catalogue = read_catalogue(shop, currency="EUR")
    asked = demands(brief, catalogue)
    asking = Asking(Least(catalogue, Solver.SCIP, TimeLimit()), brief, asked)
    return [one for one in asked if one.kind in ("cap", "keep")], asking


def names(some):
    return frozenset(one.item or one.kind for one in some)


def every_conflict(asked, works):
    """Return what is found whichever demands are the dearest."""
    return {names(minimal_conflict(order, works)) for order in permutations(asked)}


def test_junkers_car(tmp_path):
    """Junker (2004), AAAI-04: with the budget, luxury is in conflict with any one of the rest."""
    dear = [("racks", 500), ("player", 500), ("seat", 800), ("colour", 500), ("luxury", 2600)]
    (cap, *kept), asking = asked_of(tmp_path, [(n, f"a {n}", p) for n, p in dear], 3000)

    def works(some):
        return asking.works([*some, cap])

    conflicts = conflicts_of(kept, works)
    assert {names(one) for one in conflicts} == {
        frozenset({name, "luxury"}) for name in ("racks", "player", "seat", "colour")
    }
    assert names(minimal_conflict(kept, works)) == {"racks", "luxury"}
    # Luxury is least dear to the buyer, and dropping it alone mends.
    mends = list(minimal_mends(kept, works))
    assert names(mends[0]) == {"luxury"}
    assert {names(mend) for mend in mends} == {
        frozenset({"luxury"}),
        frozenset({"racks", "player", "seat", "colour"}),
    }


def test_the_budget_example_of_aaai_07(tmp_path):
    """O'Sullivan, Papadopoulos, Faltings & Pu (2007), AAAI-07; the mends were computed."""
    # A roof rack and a convertible exclude each other: they are of one category.
    rows = [("c2", "roof", 500), ("c3", "roof", 500), ("c4", "player", 500), ("c5", "seats", 2600)]
    asked, asking = asked_of(tmp_path, rows, 3000)
    conflicts = {("c2", "c3"), ("cap", "c2", "c5"), ("cap", "c3", "c5"), ("cap", "c4", "c5")}
    assert every_conflict(asked, asking.works) == set(map(frozenset, conflicts))
    mends = {("cap", "c2"), ("cap", "c3"), ("c2", "c5"), ("c3", "c5"), ("c2", "c3", "c4")}
    assert {names(mend) for mend in minimal_mends(asked, asking.works)} == set(
        map(frozenset, mends)
    )


@settings(max_examples=20, deadline=None)
@given(st.data())
def test_whichever_demand_is_dearest_is_named_if_it_can_be(data):
    asked, clashes = data.draw(worlds())

    def works(kept):
        return not any(clash <= set(kept) for clash in clashes)

    for one in conflicts_of(asked, works):
        order = sorted(asked, key=lambda demand: demand not in one)
        assert set(minimal_conflict(order, works)) == set(one)
