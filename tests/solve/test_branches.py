"""A search that is parted by rules of one's own gives what the one model gives."""

from dataclasses import replace

import pytest
from instances.read import read_instance
from seeds import over_seeds

from kitsolver import Engine, Solver, brief_of, read_catalogue
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.decomposition.branches import branches
from kitsolver.solve.decomposition.cap_by_cap import CapByCap
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.model.questions import cheapest
from kitsolver.solve.pick import search
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


@over_seeds(range(5000, 5040), quick=6)
def test_the_least_that_is_paid_is_that_of_the_one_model(seed, tmp_path):
    shop = read_instance(tmp_path, seed, rules=True)
    thin = find_candidates(shop.catalogue, shop.brief, thin=True)
    every = find_candidates(shop.catalogue, shop.brief)
    model = None if every.infeasible else cheapest(every, NO_CAP, Solver.SCIP, TimeLimit())
    expected = None if model is None else model.bound.payable
    assert least_payable(thin, Solver.SCIP, TimeLimit()) == expected


SHOP = """\
sku,name,category,price,quality,series
L1,Lamp,lamp,3,60,Dune
L2,Lamp,lamp,3,50,Reef
M1,Mat,mat,2,90,Reef
M2,Mat,mat,2,40,Dune
M3,Mat,mat,2,30,
C1,Card,card,1,70,Reef
C2,Card,card,1,80,Dune
"""
BASE = {"currency": "EUR", "cap": 20, "holds": ["lamp", "mat"]}


@pytest.fixture
def candidates(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP)

    def found(**rules):
        return find_candidates(read_catalogue(path, currency="EUR"), brief_of(BASE | rules))

    return found


@pytest.mark.parametrize(
    ("rules", "number", "kit"),
    [
        ({}, None, "C2 L1 M1"),
        ({"alike": [{"column": "series"}]}, 2, "C1 L2 M1"),
        ({"alike": [{"column": "series", "of": ["lamp", "mat"]}]}, 2, "C2 L2 M1"),
        ({"alike": [{"column": "series", "of": ["mat"], "blank": "refuse"}]}, 2, "C2 L1 M1"),
        ({"pairs": [{"if": {"only": {"sku": "L1"}}, "never": {"category": "card"}}]}, 2, "L1 M1"),
        (
            {
                "pairs": [
                    {"if": {"only": {"sku": "L1"}}, "then": {"category": "mat", "min_quality": 95}}
                ]
            },
            1,
            "C2 L2 M1",
        ),
        ({"pairs": [{"with": {"only": {"sku": ["C1"]}}}]}, 1, "C1 L1 M1"),
        ({"pairs": [{"with": {"only": {"sku": ["M2", "C1"]}}}]}, 2, "C1 L1 M1"),
        (
            {"pairs": [{"if": {"only": {"sku": "M1"}}, "with": {"only": {"sku": "L2"}}}]},
            2,
            "C2 L2 M1",
        ),
        ({"pairs": [{"with": {}}]}, 1, "C2 L1 M1"),
        ({"limits": [{"where": {"category": ["card"]}, "most": 0}]}, 1, "L1 M1"),
        (
            {"limits": [{"where": {"category": ["card"]}, "least": 1}]},
            None,
            "C2 L1 M1",
        ),
        ({"limits": [{"where": {"only": {"sku": "C2"}}, "most": 0}]}, None, "C1 L1 M1"),
        ({"limits": [{"most": 2}]}, None, "L1 M1"),
    ],
)
def test_the_branches_and_the_best_kit_of_them(candidates, rules, number, kit):
    shop = candidates(**rules)
    parts = branches(shop)
    assert (None if parts is None else len(parts)) == number
    for engine in Engine:
        best = search(engine, shop, Solver.SCIP, TimeLimit())
        taken = {row.sku for row in (*best.selection.needs.values(), *best.selection.extras)}
        assert " ".join(sorted(taken - {""})) == kit


@over_seeds([3000, 3001, 3003, 3005, 3008], quick=2)
def test_each_rung_is_what_the_one_model_gives_at_its_cap(seed, tmp_path):
    shop = read_instance(tmp_path, seed, rules=True)
    thin = find_candidates(shop.catalogue, shop.brief, thin=True)
    every, cap = find_candidates(shop.catalogue, shop.brief), shop.brief.total_cap
    assert thin.tied or not (shop.brief.limits or shop.brief.pairs or shop.brief.alike)
    caps = (cap * 4 // 5, cap)
    found = rungs(thin, *caps, Solver.SCIP, TimeLimit())
    for rung in found.rungs:
        at_cap = replace(every, brief=shop.brief.with_cap(rung.cap))
        best = search(Engine.ONE_SHOT, at_cap, Solver.SCIP, TimeLimit())
        assert best.selection == rung.selection
    assert CapByCap(thin, Solver.SCIP, TimeLimit()).run(*caps, lambda *_: None) == found
