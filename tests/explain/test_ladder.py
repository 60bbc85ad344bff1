"""Every rung is where a pick says it is, and nothing changes between two of them."""

import csv
import io
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest
from instances import instance
from instances.text import to_csv
from naive import best as naive_best
from out_of_time import out_of_time_after
from seeds import over_seeds

from kitsolver import brief_of, ladder, pick, read_catalogue
from kitsolver.solve.decomposition import cap_by_cap, subproblems, whole_sweep
from kitsolver.solve.decomposition.chart_frontier import chart_frontier
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


def figures(outcome):
    kit = outcome.kit
    return kit and (kit.figures, tuple(line.sku for line in kit.lines))


@over_seeds(range(40_000, 40_020), quick=4)
def test_at_each_rung_and_just_below_it_the_kit_is_what_a_pick_gives(seed, draw):
    catalogue, brief, _, _ = draw(seed)
    found = ladder(catalogue, brief)
    assert found.complete
    standing = None
    for rung in found.rungs:
        for cap, expected in ((rung.cap - 1, standing), (rung.cap, rung)):
            if cap >= 0:
                picked = figures(pick(catalogue, brief.with_cap(cap)))
                assert picked == (expected and (expected.kit.figures, expected.skus)), cap
        standing = rung
    at_top = figures(pick(catalogue, brief.with_cap(found.high)))
    assert at_top == (standing and (standing.kit.figures, standing.skus))


@over_seeds([41_000, 41_002, 41_003, 41_006, *range(41_008, 41_012)], quick=3)
def test_the_ladder_is_the_value_function_of_the_naive_twin(seed, draw):
    catalogue, brief, text, asked = draw(seed)
    found = ladder(catalogue, brief)
    at = {rung.cap: rung for rung in found.rungs}
    assert at
    for cap in sorted({c + d for c in at for d in (-1, 0, 1)} | {found.low, found.high}):
        asked.pop("cap_per_head", None)
        asked["cap"] = str(brief.with_cap(max(cap, 0)).cap)
        kit = naive_best(text, asked)
        below = [rung for c, rung in at.items() if c <= cap]
        expected = below[-1].kit.figures if below else None
        assert (kit and (kit["quality"], kit["extras"], kit["payable"])) == (
            expected and (expected.quality, expected.extras, expected.payable)
        ), cap


@over_seeds([*range(40_101, 40_104), 40_105, 40_106, *range(40_110, 40_118)], quick=4)
def test_from_the_first_rung_on_each_says_what_came_and_went(seed, draw):
    catalogue, brief, _, _ = draw(seed)
    rungs = ladder(catalogue, brief).rungs
    assert rungs
    held = set()
    for rung in rungs:
        assert set(rung.came) == set(rung.skus) - held
        assert set(rung.went) == held - set(rung.skus)
        held = set(rung.skus)


@over_seeds([40_201, *range(40_205, 40_208), 40_210, 40_211, *range(40_214, 40_218)], quick=3)
def test_the_kit_that_stands_at_the_lowest_cap_is_the_first_rung(seed, draw):
    catalogue, brief, _, _ = draw(seed)
    whole = ladder(catalogue, brief)
    between = 0
    for below, above in pairwise(whole.rungs):
        low = (below.cap + above.cap) // 2
        part = ladder(catalogue, brief, low=low, high=whole.high)
        assert part.rungs[0].kit == below.kit
        assert [r.cap for r in part.rungs] == [
            below.cap, *(r.cap for r in whole.rungs if r.cap > low)
        ]  # fmt: skip
        between += below.cap < low
    assert between


@over_seeds([*range(40_302, 40_308), 40_313], quick=3)
def test_main_rungs_are_those_of_quality(seed, draw):
    catalogue, brief, _, _ = draw(seed)
    found = ladder(catalogue, brief)
    qualities = [rung.kit.figures.quality for rung in found.rungs]
    changes = [q for n, q in enumerate(qualities) if not n or qualities[n - 1] != q]
    assert [rung.kit.figures.quality for rung in found.main] == changes
    assert len(found.main) < len(found.rungs)


@over_seeds([40_400, 40_402, 40_404, 40_405, 40_407, 40_409, 40_411, 40_413, 40_415], quick=3)
def test_cap_by_cap_gives_the_same_rungs(seed, draw, monkeypatch):
    catalogue, brief, _, _ = draw(seed)
    candidates = find_candidates(catalogue, brief, thin=True)
    least = least_payable(candidates, Solver.SCIP, TimeLimit())
    high = 2 * brief.total_cap
    swept = rungs(candidates, least, high, Solver.SCIP, TimeLimit())
    assert swept.rungs
    monkeypatch.setattr(subproblems, "chart_frontier", tangled)
    assert rungs(candidates, least, high, Solver.SCIP, TimeLimit()) == swept


def tangled(*_):
    raise StateLimitReached


def leaves_the_upper_rungs_proven(seed, draw, monkeypatch, openings):
    catalogue, brief, _, _ = draw(seed, have=False)
    whole = ladder(catalogue, brief)
    monkeypatch.setattr(subproblems, "chart_frontier", out_of_time_after(openings, chart_frontier))
    part = ladder(catalogue, brief)
    assert not part.complete
    above = [rung for rung in part.rungs if rung.cap >= part.proven_from]
    expected = [rung for rung in whole.rungs if rung.cap >= part.proven_from]
    assert expected
    assert [(r.cap, r.kit) for r in above] == [(r.cap, r.kit) for r in expected]


@over_seeds([40_504, 40_531, 40_534, 40_538, 40_542, 40_544, 40_545, 40_557, 40_558], quick=2)
def test_time_running_out_leaves_the_upper_rungs_proven(seed, draw, monkeypatch):
    leaves_the_upper_rungs_proven(seed, draw, monkeypatch, openings=1)


@over_seeds(
    [40_500, 40_507, 40_510, 40_514, 40_521, 40_532, 40_535, 40_542, 40_544, 40_545], quick=2
)
def test_so_it_does_where_charts_are_swept_in_stretches(seed, draw, monkeypatch):
    monkeypatch.setattr(whole_sweep, "_FEW_COLOURS", 0)
    leaves_the_upper_rungs_proven(seed, draw, monkeypatch, openings=2)


def test_time_running_out_cap_by_cap_leaves_the_upper_rungs_proven(draw, monkeypatch):
    catalogue, brief, _, _ = draw(40_008)
    whole = ladder(catalogue, brief)
    assert len(whole.rungs) > 3
    by_chart = cap_by_cap.by_chart
    monkeypatch.setattr(cap_by_cap, "by_chart", out_of_time_after(2, by_chart))
    candidates = find_candidates(catalogue, brief, thin=True)
    at_high = replace(candidates, brief=brief.with_cap(whole.high))
    searches = cap_by_cap.CapByCap(at_high, Solver.SCIP, TimeLimit())
    part = searches.run(whole.low, whole.high, lambda *_: None)
    assert [r.cap for r in part.rungs] == [r.cap for r in whole.rungs[-2:]]
    assert part.proven_from == part.rungs[0].cap
    monkeypatch.setattr(cap_by_cap, "by_chart", out_of_time_after(0, by_chart))
    with pytest.raises(OutOfTime):
        searches.run(whole.low, whole.high, lambda *_: None)


@over_seeds([*range(40_600, 40_606), *range(40_607, 40_615)], quick=3)
def test_money_in_large_numbers_makes_no_more_rungs(seed, tmp_path):
    # Without what is rounded in minor units, and without prices in conditions.
    text, asked = instance(seed, conditions=False, discount=False, tax=False, delivery=False)
    rows = list(csv.DictReader(io.StringIO(text)))
    ladders = []
    for times in (1, 1000):
        dearer = [row | {"price": str(Decimal(row["price"]) * times)} for row in rows]
        shop = tmp_path / "shop.csv"
        shop.write_text(to_csv(dearer), encoding="utf-8", newline="")
        brief = brief_of(asked)
        brief = brief.with_cap(brief.total_cap * times)
        ladders.append(ladder(read_catalogue(shop, currency=brief.currency), brief))
    small, large = ladders
    assert small.rungs
    assert [r.cap for r in large.rungs] == [1000 * r.cap for r in small.rungs]
    assert [r.skus for r in large.rungs] == [r.skus for r in small.rungs]


def test_a_limit_that_extras_reach_has_a_ladder_where_thread_is_owned(tmp_path):
    text = (
        "sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,width_cm,"
        "height_cm\n"
        "C,c,chart,2.00,80,40,40,#102030:900,,,,\nF,f,fabric,3.00,50,,,,aida,14,50,50\n"
        "S,s,scissors,1.00,50,,,,,,,\nB,b,case,1.50,50,,,,,,,\n"
    )
    (tmp_path / "shop.csv").write_text(text, encoding="utf-8")
    shop = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    brief = brief_of(
        {
            "currency": "EUR",
            "cap": "10.00",
            "holds": ["chart", "fabric", "thread"],
            "needs": {"thread": {"have": True}},
            "limits": [{"name": "tools", "least": 2, "where": {"category": ["scissors", "case"]}}],
        }
    )
    (rung,) = ladder(shop, brief).rungs
    assert (rung.cap, rung.skus) == (750, ("C", "F", "B", "S"))
