"""Every rung is where a pick says it is, and nothing changes between two of them."""

import csv
import io
from dataclasses import replace
from decimal import Decimal

import pytest
from instances import instance, to_toml
from instances.text import to_csv
from naive import best as naive_best
from out_of_time import out_of_time_after

from kitsolver import brief_of, ladder, pick, read_brief, read_catalogue
from kitsolver.solve.candidates.candidates import find_candidates
from kitsolver.solve.decomposition import subproblems
from kitsolver.solve.decomposition import sweep as climbing
from kitsolver.solve.decomposition.chart_frontier import chart_frontier
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.search import least_payable
from kitsolver.solve.decomposition.sweep import _cap_by_cap, rungs
from kitsolver.solve.model.solver import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


@pytest.fixture
def drawn(tmp_path):
    """Draw a random instance: its catalogue, its brief, and what both were written from."""

    def draw(seed, **switches):
        text, asked = instance(seed, **switches)
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(text, encoding="utf-8", newline="")
        brief.write_text(to_toml(asked), encoding="utf-8")
        read = read_brief(brief)
        return read_catalogue(shop, currency=read.currency), read, text, asked

    return draw


def figures(outcome):
    kit = outcome.kit
    return kit and (kit.figures, tuple(line.sku for line in kit.lines))


@pytest.mark.parametrize("seed", range(40_000, 40_020))
def test_at_each_rung_and_just_below_it_the_kit_is_what_a_pick_gives(seed, drawn):
    catalogue, brief, _, _ = drawn(seed)
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


def test_the_ladder_is_the_value_function_of_the_naive_twin(drawn):
    rises = 0
    for seed in range(41_000, 41_012):
        catalogue, brief, text, asked = drawn(seed)
        found = ladder(catalogue, brief)
        at = {rung.cap: rung for rung in found.rungs}
        for cap in sorted({c + d for c in at for d in (-1, 0, 1)} | {found.low, found.high}):
            asked.pop("cap_per_head", None)
            asked["cap"] = str(brief.with_cap(max(cap, 0)).cap)
            kit = naive_best(text, asked)
            below = [rung for c, rung in at.items() if c <= cap]
            expected = below[-1].kit.figures if below else None
            assert (kit and (kit["quality"], kit["extras"], kit["payable"])) == (
                expected and (expected.quality, expected.extras, expected.payable)
            ), (seed, cap)
            rises += cap in at
    assert rises > 20


def test_from_the_first_rung_on_each_says_what_came_and_went(drawn):
    for seed in range(40_100, 40_120):
        catalogue, brief, _, _ = drawn(seed)
        held = set()
        for rung in ladder(catalogue, brief).rungs:
            assert set(rung.came) == set(rung.skus) - held
            assert set(rung.went) == held - set(rung.skus)
            held = set(rung.skus)


def test_the_kit_that_stands_at_the_lowest_cap_is_the_first_rung(drawn):
    stood = 0
    for seed in range(40_200, 40_220):
        catalogue, brief, _, _ = drawn(seed)
        whole = ladder(catalogue, brief)
        for below, above in zip(whole.rungs, whole.rungs[1:], strict=False):
            low = (below.cap + above.cap) // 2
            part = ladder(catalogue, brief, low=low, high=whole.high)
            assert part.rungs[0].kit == below.kit
            assert [r.cap for r in part.rungs] == [
                below.cap, *(r.cap for r in whole.rungs if r.cap > low)
            ]  # fmt: skip
            stood += below.cap < low
    assert stood > 5


def test_main_rungs_are_those_of_quality(drawn):
    fewer = 0
    for seed in range(40_300, 40_315):
        catalogue, brief, _, _ = drawn(seed)
        found = ladder(catalogue, brief)
        main = found.main
        qualities = [rung.kit.figures.quality for rung in found.rungs]
        changes = [q for n, q in enumerate(qualities) if not n or qualities[n - 1] != q]
        assert [rung.kit.figures.quality for rung in main] == changes
        fewer += len(main) < len(found.rungs)
    assert fewer > 5


def test_cap_by_cap_gives_the_same_rungs(drawn, monkeypatch):
    rises = 0
    for seed in range(40_400, 40_420):
        catalogue, brief, _, _ = drawn(seed)
        candidates = find_candidates(catalogue, brief, thin=True)
        least = None if candidates.lost else least_payable(candidates, Solver.SCIP, TimeLimit())
        if least is None:
            continue
        low, high = least, 2 * brief.total_cap
        swept = rungs(candidates, low, high, Solver.SCIP, TimeLimit())
        with monkeypatch.context() as patch:
            patch.setattr(subproblems, "chart_frontier", tangled)
            assert rungs(candidates, low, high, Solver.SCIP, TimeLimit()) == swept
        rises += len(swept.rungs)
    assert rises > 20


def tangled(*_):
    raise StateLimitReached


def test_time_running_out_leaves_the_upper_rungs_proven(drawn, monkeypatch):
    cut = 0
    for seed in range(40_500, 40_530):
        catalogue, brief, _, _ = drawn(seed, have=False)
        whole = ladder(catalogue, brief)
        with monkeypatch.context() as patch:
            patch.setattr(subproblems, "chart_frontier", out_of_time_after(1, chart_frontier))
            try:
                part = ladder(catalogue, brief)
            except OutOfTime:
                continue
        above = [rung for rung in part.rungs if rung.cap >= part.proven_from]
        expected = [rung for rung in whole.rungs if rung.cap >= part.proven_from]
        assert [(r.cap, r.kit) for r in above] == [(r.cap, r.kit) for r in expected]
        cut += not part.complete
    assert cut > 0


def test_time_running_out_cap_by_cap_leaves_the_upper_rungs_proven(drawn, monkeypatch):
    catalogue, brief, _, _ = next(
        one for one in map(drawn, range(40_000, 40_060)) if len(ladder(*one[:2]).rungs) > 3
    )
    whole = ladder(catalogue, brief)
    by_chart = climbing.by_chart
    monkeypatch.setattr(climbing, "by_chart", out_of_time_after(2, by_chart))
    candidates = find_candidates(catalogue, brief, thin=True)
    at_high = replace(candidates, brief=brief.with_cap(whole.high))
    arguments = (at_high, whole.low, whole.high, Solver.SCIP, TimeLimit(), lambda *_: None)
    part = _cap_by_cap(*arguments)
    assert [r.cap for r in part.rungs] == [r.cap for r in whole.rungs[-2:]]
    assert part.proven_from == part.rungs[0].cap
    monkeypatch.setattr(climbing, "by_chart", out_of_time_after(0, by_chart))
    with pytest.raises(OutOfTime):
        _cap_by_cap(*arguments)


def test_money_in_large_numbers_makes_no_more_rungs(tmp_path):
    compared = 0
    for seed in range(40_600, 40_615):
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
        assert [r.cap for r in large.rungs] == [1000 * r.cap for r in small.rungs]
        assert [r.skus for r in large.rungs] == [r.skus for r in small.rungs]
        compared += len(small.rungs)
    assert compared > 20
