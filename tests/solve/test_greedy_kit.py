"""A kit that is quickly found is a kit, and packs are shared in it where that saves money."""

from dataclasses import replace
from decimal import Decimal

import pytest
from instances.read import read_instance

from kitsolver import brief_of, read_catalogue
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.decomposition.chart_frontier import chart_frontier
from kitsolver.solve.decomposition.greedy_kit import greedy_kits
from kitsolver.solve.decomposition.objective import objective_of
from kitsolver.solve.decomposition.subproblem import Subproblem
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.target import at_goods
from kitsolver.solve.decomposition.thread import frontier as thread_frontier
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit

SHOP = """\
sku,name,category,price,quality,stitches_wide,stitches_high,colours
C,Chart,chart,1,60,20,20,#101010:20;#808080:20
D,Dark,thread,2,60,,,#101010
G,Grey,thread,2,60,,,#808080
P,Both,thread,3,60,,,#101010;#808080
"""


def subproblem(candidates, chart):
    alone = with_chart(candidates, chart)
    return Subproblem(alone, objective_of(alone), NO_CAP, TimeLimit(), gap=False)


@pytest.mark.parametrize("seed", range(60, 72))
def test_it_costs_what_its_lines_cost_and_no_less_than_the_cheapest(seed, tmp_path):
    shop = read_instance(tmp_path, seed)
    candidates = find_candidates(shop.catalogue, shop.brief, thin=True)
    if candidates.tied or candidates.free:
        pytest.skip("charts are models, or colours free")
    for chart in candidates.charts:
        one = subproblem(candidates, chart)
        for kit in greedy_kits(one):
            assert tally(kit.selection, candidates).receipt.goods == kit.goods
            assert len({place.key for place in kit.selection.places}) == len(chart.shades or ())
            near = chart_frontier(one, kit.goods, at_goods(kit.goods), TimeLimit())
            assert near.frontier.cost[0] <= kit.goods


@pytest.mark.parametrize(("pack", "goods"), [("3", 400), ("5", 500)])
def test_a_pack_is_shared_where_that_saves_money(pack, goods, tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP.replace("thread,3", f"thread,{pack}"))
    brief = brief_of({"currency": "EUR", "cap": 20, "holds": ["chart", "thread"]})
    candidates = find_candidates(read_catalogue(path, currency="EUR"), brief)
    (kit,) = greedy_kits(subproblem(candidates, candidates.charts[0]))
    assert kit.goods == goods


@pytest.mark.parametrize(("kept", "goods"), [("D", 500), ("P", 400), ("D G", 500)])
def test_each_kept_row_of_thread_is_given_a_colour(kept, goods, tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP)
    asked = {"currency": "EUR", "cap": 20, "holds": ["chart", "thread"]}
    brief = brief_of(asked | {"choose": {"keep": kept.split()}})
    candidates = find_candidates(read_catalogue(path, currency="EUR"), brief)
    (kit,) = greedy_kits(subproblem(candidates, candidates.charts[0]))
    assert kit.goods == goods
    assert set(kept.split()) <= {place.thread.sku for place in kit.selection.places}


@pytest.mark.parametrize("tolerance", ["6", "1000"])
@pytest.mark.parametrize("seed", range(60, 72))
def test_the_least_goods_total_is_the_same_without_ties(seed, tolerance, tmp_path, monkeypatch):
    # No walk is left to a model.
    monkeypatch.setattr(thread_frontier, "_FEW_STATES", 2000)
    shop = read_instance(tmp_path, seed)
    shades = shop.brief.shades.model_copy(update={"tolerance": Decimal(tolerance)})
    brief = shop.brief.model_copy(update={"shades": shades})
    found = find_candidates(shop.catalogue, brief, thin=True)
    if found.tied or found.free:
        pytest.skip("charts are models, or colours free")
    candidates = replace(found, weights=dict.fromkeys(found.weights, 0), extras=())
    for chart in candidates.charts:
        alone, most = with_chart(candidates, chart), 100_00
        least = []
        for ties in (True, False):
            one = Subproblem(alone, objective_of(alone), most, TimeLimit(), gap=False, ties=ties)
            frontier = chart_frontier(one, most, at_goods(most), TimeLimit()).frontier
            least.append(frontier.cost.tolist()[:1])
        assert least[0] == least[1]
