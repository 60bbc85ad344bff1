"""Minimal conflicts and minimal correction sets, against enumeration and published examples."""

from functools import partial
from itertools import combinations, permutations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kitsolver import brief_of, read_catalogue
from kitsolver.explain.demands.cap import Cap
from kitsolver.explain.demands.keep import Keep
from kitsolver.explain.demands.registry import demands
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.conflict import minimal_conflict, minimal_correction_sets
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.no_kit.why_no_kit import works_with
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


def correction_sets_of(asked, works):
    """Return every minimal correction set by enumeration."""
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
    # Of more than eight, halves are given up.
    number = draw(st.integers(1, 7) | st.just(9))
    clash = st.frozensets(st.integers(0, number - 1), min_size=1)
    return list(range(number)), draw(st.lists(clash, max_size=6))


@given(worlds())
def test_a_conflict_is_one_and_nothing_of_it_can_be_spared(world):
    asked, clashes = world

    def works(kept):
        return not any(clash <= set(kept) for clash in clashes)

    found = minimal_conflict(asked, works)
    assert minimal_conflict(asked, works, dearest_first=False) == found
    every = conflicts_of(asked, works)
    assert (found is None) == (not every)
    if found is not None:
        assert frozenset(found) in every
        assert found == sorted(found)
        # Of all conflicts it is the one whose least dear demand is dearest, and so on downwards.
        assert sorted(found, reverse=True) == min(sorted(one, reverse=True) for one in every)


@given(worlds(), st.integers(0, 3))
def test_correction_sets_are_all_that_enumeration_finds_the_smallest_first(world, most):
    asked, clashes = world

    def works(kept):
        return not any(clash <= set(kept) for clash in clashes)

    found = list(minimal_correction_sets(asked, works))
    assert {frozenset(one) for one in found} == correction_sets_of(asked, works)
    assert len(found) == len({frozenset(one) for one in found})
    assert [len(one) for one in found] == sorted(len(one) for one in found)
    few = list(minimal_correction_sets(asked, works, most))
    assert few == [one for one in found if len(one) <= most]


def test_what_never_works_has_an_empty_conflict_and_no_correction_set():
    assert minimal_conflict([1, 2], lambda _: False) == []
    assert list(minimal_correction_sets([1, 2], lambda _: False)) == []


def asked_of(tmp_path, rows, cap):
    """Return the cap and kept rows of a brief, and whether some of them can be met together."""
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
    oracle = CheapestKitOracle(catalogue, Solver.SCIP, TimeLimit())
    works = partial(works_with, RelaxedBrief.of(brief, oracle), asked)
    return [one for one in asked if isinstance(one, Cap | Keep)], works


def names(some):
    return frozenset(getattr(one, "sku", one.key) for one in some)


def every_conflict(asked, works):
    """Return what is found whichever demands are the dearest."""
    return {names(minimal_conflict(order, works)) for order in permutations(asked)}


def test_junkers_car(tmp_path):
    """Junker (2004), AAAI-04: with the budget, luxury is in conflict with any one of the rest."""
    dear = [("racks", 500), ("player", 500), ("seat", 800), ("colour", 500), ("luxury", 2600)]
    (cap, *kept), works_whole = asked_of(tmp_path, [(n, f"a {n}", p) for n, p in dear], 3000)

    def works(some):
        return works_whole([*some, cap])

    conflicts = conflicts_of(kept, works)
    assert {names(one) for one in conflicts} == {
        frozenset({name, "luxury"}) for name in ("racks", "player", "seat", "colour")
    }
    assert names(minimal_conflict(kept, works)) == {"racks", "luxury"}
    # Luxury is least dear to the buyer, and dropping it alone is enough.
    found = list(minimal_correction_sets(kept, works))
    assert names(found[0]) == {"luxury"}
    assert {names(one) for one in found} == {
        frozenset({"luxury"}),
        frozenset({"racks", "player", "seat", "colour"}),
    }


def test_the_budget_example_of_aaai_07(tmp_path):
    """O'Sullivan, Papadopoulos, Faltings & Pu (2007), AAAI-07; what corrects it was computed."""
    # A roof rack and a convertible exclude each other: they are of one category.
    rows = [("c2", "roof", 500), ("c3", "roof", 500), ("c4", "player", 500), ("c5", "seats", 2600)]
    asked, works = asked_of(tmp_path, rows, 3000)
    conflicts = {("c2", "c3"), ("cap", "c2", "c5"), ("cap", "c3", "c5"), ("cap", "c4", "c5")}
    assert every_conflict(asked, works) == set(map(frozenset, conflicts))
    sets = {("cap", "c2"), ("cap", "c3"), ("c2", "c5"), ("c3", "c5"), ("c2", "c3", "c4")}
    assert {names(one) for one in minimal_correction_sets(asked, works)} == set(
        map(frozenset, sets)
    )


@settings(max_examples=20, deadline=None)
@given(st.data())
def test_whichever_demand_is_dearest_is_named_if_it_can_be(data):
    asked, clashes = data.draw(worlds())

    def works(kept):
        return not any(clash <= set(kept) for clash in clashes)

    conflicts = conflicts_of(asked, works)
    assume(conflicts)
    for one in conflicts:
        order = sorted(asked, key=lambda demand: demand not in one)
        assert set(minimal_conflict(order, works)) == set(one)
