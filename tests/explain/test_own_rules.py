"""Rules of one's own that contradict each other, against enumeration and published examples."""

from functools import partial

import pytest
from explain.test_conflict import conflicts_of
from instances.read import read_instance
from seeds import over_seeds

from kitsolver import brief_of, read_catalogue, why_not
from kitsolver.brief.home_source import with_home_list
from kitsolver.explain.demands.registry import demands
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.no_kit.why_no_kit import why_no_kit, works_with
from kitsolver.explain.why_not import Verdict
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import TimeLimit

CARS = """\
sku,name,category,price,quality
base,Car,car,0,50
rack,Roof racks,rack,500,50
player,CD player,player,500,50
seat,Sports seat,seat,800,50
metal,Metal colour,colour,500,50
luxury,Luxury version,version,2600,50
"""
# Junker (2004), QuickXplain, AAAI-04: preferred options beside a budget of 3000.
OPTIONS = ["rack", "player", "seat", "metal", "luxury"]
# O'Sullivan, Papadopoulos, Faltings & Pu (2007), AAAI-07: c1 is the budget; c2 and c3 exclude each
# other.
SHOP = """\
sku,name,category,price,quality
base,Car,car,0,50
rack,Roof rack,rack,500,50
open,Convertible,top,500,50
player,CD player,player,500,50
leather,Leather seats,seat,2600,50
"""
WISHES = {"c2": "rack", "c3": "top", "c4": "player", "c5": "seat"}
EXCLUDED = {
    "name": "no rack on a convertible",
    "if": {"category": "rack"},
    "never": {"category": "top"},
}


def asked(catalogue, brief):
    """Return the demands of a brief and what tells whether some of them can be met."""
    oracle = CheapestKitOracle(catalogue, Solver.SCIP, TimeLimit())
    every = demands(brief, catalogue)
    return every, partial(works_with, RelaxedBrief.of(brief, oracle), every)


def conflicts(catalogue, brief):
    every, works = asked(catalogue, brief)
    return {frozenset(demand.key for demand in one) for one in conflicts_of(every, works)}


@pytest.fixture
def read(tmp_path):
    def read(text):
        path = tmp_path / "shop.csv"
        path.write_text(text)
        return read_catalogue(path, currency="EUR")

    return read


def test_the_conflicts_of_the_car_whose_budget_is_a_limit(read):
    brief = brief_of(
        {
            "currency": "EUR",
            "cap": 10_000,
            "holds": ["car"],
            "limits": [{"name": "budget", "column": "price", "most": 3000}],
            "choose": {"keep": OPTIONS},
        }
    )
    catalogue = read(CARS)
    options = [f"choose.keep: {one}" for one in OPTIONS[:-1]]
    # Without the limit any of the first four goes with luxury, and the four cost 2300.
    expected = {frozenset({one, "choose.keep: luxury", "limits: budget"}) for one in options}
    assert conflicts(catalogue, brief) == expected
    why = why_no_kit(catalogue, brief)
    assert frozenset(why.conflict) in expected
    assert {"limits: budget", "choose.keep: luxury"} <= set(why.conflict)
    mends = {mend.options for mend in why.mends}
    assert "--set limits.budget.most=4900" in mends
    # Luxury alone mends it.
    assert any("choose.keep" in mend and "luxury" not in mend for mend in mends)


def test_a_limit_that_shades_at_home_already_meet_is_left_as_it_is(read):
    """Thread at home is no line: then two lines hold a case, too."""
    catalogue = read(
        "sku,name,category,price,quality,stitches_wide,stitches_high,colours\n"
        "CH,Wave,chart,2.90,86,56,77,#3050a0:415\n"
        "TH,Cream,thread,1.60,20,,,#e8e0c8\n"
        "CA,Case,case,1.56,50,,,\n"
    )
    cased = {"name": "cased", "where": {"category": "case"}, "least": 1, "most": 6}
    limits = [{"name": "two", "least": 2, "most": 2}, cased]
    asked = {"currency": "EUR", "cap": 20, "holds": ["chart", "thread"], "limits": limits}
    why = why_no_kit(catalogue, brief_of(asked))
    assert why.hints == ("--set 'needs.thread.have=[\"#3050a0\"]'",)


@pytest.mark.parametrize("least", ["0.000000", "0.2"])
def test_a_least_below_one_line_is_not_raised_above_its_most(read, least):
    catalogue = read(CARS)
    limit = {"name": "none", "where": {"category": "car"}, "least": least, "most": "0.5"}
    asked = {"currency": "EUR", "cap": 10_000, "holds": ["car"], "limits": [limit]}
    why = why_no_kit(catalogue, brief_of(asked))
    assert why.conflict == ("limits: none",)
    assert why.hints == ("--set limits.none.most=1",)


def test_the_conflicts_of_the_car_with_pairs_and_limits(read):
    wishes = [{"name": name, "with": {"category": kind}} for name, kind in WISHES.items()]
    brief = brief_of(
        {
            "currency": "EUR",
            "cap": 10_000,
            "holds": ["car"],
            "limits": [{"name": "c1", "column": "price", "most": 3000}],
            "pairs": [*wishes, EXCLUDED],
        }
    )
    catalogue = read(SHOP)
    published = [{"c2", "c3"}, {"c1", "c2", "c5"}, {"c1", "c3", "c5"}, {"c1", "c4", "c5"}]
    named = {"c1": "limits: c1"} | {name: f"pairs: {name}" for name in WISHES}
    expected = {frozenset(named[one] for one in conflict) for conflict in published}
    found = conflicts(catalogue, brief)
    # That c2 and c3 exclude each other is a rule of the brief, too.
    rule = f"pairs: {EXCLUDED['name']}"
    assert {conflict - {rule} for conflict in found} == expected
    assert all((rule in one) == (one >= {"pairs: c2", "pairs: c3"}) for one in found)
    why = why_no_kit(catalogue, brief)
    assert frozenset(why.conflict) in found
    assert why.mends


GOODS = """\
sku,name,category,price,quality,weight_g,series
l1,Lamp,lamp,3,60,120.5,Dune
l2,Lamp,lamp,3,50,80,Reef
m1,Mat,mat,2,90,300,Reef
m2,Mat,mat,2,40,45.25,Dune
c1,Card,card,1,70,20,
"""
BASE = {"currency": "EUR", "cap": 20, "holds": ["lamp", "mat"]}


@pytest.mark.parametrize(
    ("rules", "conflict", "hint"),
    [
        (
            {"limits": [{"name": "a b", "column": "weight_g", "most": 100}]},
            ["limits: a b"],
            "--set 'limits.\"a b\".most=125.25'",
        ),
        (
            {"limits": [{"name": "x", "column": "weight_g", "least": "1000.5"}]},
            ["limits: x"],
            "--set limits.x.least=440.5",
        ),
        (
            {"heads": 3, "limits": [{"column": "weight_g", "most": 1, "a_head": True}]},
            ["limits: weight_g"],
            "--set limits.weight_g.most=125.25",
        ),
        ({"limits": [{"least": 4}]}, ["limits: limits 1"], "--set 'limits.\"limits 1\".least=3'"),
        (
            {"pairs": [{"if": {"category": "lamp"}, "never": {"category": "mat"}}]},
            ["pairs: pairs 1"],
            "--set 'pairs.\"pairs 1\"={}'",
        ),
        (
            {
                "alike": [{"column": "series"}],
                "choose": {"keep": ["l1", "m1"]},
            },
            ["alike: series", "choose.keep: l1", "choose.keep: m1"],
            '--set \'choose.keep=["l1", "m2"]\'',
        ),
        (
            {"needs": {"lamp": {"at_most": {"weight_g": "79.9"}}}},
            ["needs.lamp.at_most.weight_g"],
            "--set needs.lamp.at_most.weight_g=80",
        ),
        (
            {"needs": {"lamp": {"at_least": {"weight_g": 100}, "at_most": {"price": 1}}}},
            ["needs.lamp.at_most.price"],
            "--set needs.lamp.at_most.price=3",
        ),
    ],
)
def test_a_rule_gives_way_by_the_least_that_gives_a_kit(read, rules, conflict, hint):
    catalogue, brief = read(GOODS), brief_of(BASE | rules)
    why = why_no_kit(catalogue, brief)
    assert sorted(why.conflict) == conflict
    assert frozenset(conflict) in conflicts(catalogue, brief)
    assert hint in {mend.options for mend in why.mends}
    for mend in why.mends:
        eased = RelaxedBrief.of(
            mend.applied(brief), CheapestKitOracle(catalogue, Solver.SCIP, TimeLimit())
        )
        assert eased.possible


# Seeds of instances without a kit.
NO_KIT = [3014, 3020, 3021, 3023]


@over_seeds(NO_KIT, quick=1)
def test_a_conflict_is_one_and_no_demand_of_it_can_be_spared(seed, tmp_path):
    shop = read_instance(tmp_path, seed, rules=True)
    every, works = asked(shop.catalogue, shop.brief)
    why = why_no_kit(shop.catalogue, shop.brief)
    members = [demand for demand in every if demand.key in why.conflict]
    assert not works(members)
    for demand in members:
        assert works([other for other in members if other is not demand])


THREAD = """sku,name,category,price,quality,skein_m,colours
T,Tide,thread,1.00,90,2.5,#5e70bc
U,Urchin,thread,1.00,95,2.5,#9d66ad
"""


def test_thread_of_which_no_skein_is_bought_is_not_barred_by_a_limit(tmp_path):
    """Of single thread a limit counts the skeins that are bought (section 10 of the rules)."""
    (tmp_path / "home.csv").write_text("sku,left_m\nT,3.77\nU,3.77\n", encoding="utf-8")
    (tmp_path / "shop.csv").write_text(THREAD, encoding="utf-8")
    brief = brief_of(
        {
            "currency": "EUR",
            "cap": "0",
            "holds": ["thread"],
            "home": {"from": "home.csv"},
            "limits": [{"column": "skein_m", "most": 0}],
        }
    )
    shop = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    brief, catalogue, _ = with_home_list(shop, brief, folder=tmp_path)
    assert why_not(catalogue, brief, "T").verdict is Verdict.BEATEN
