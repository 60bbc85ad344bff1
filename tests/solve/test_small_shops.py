"""Shops drawn as real ones are, but small: many packs share shades, and threads are nearly equal.

Chart by chart gives what the one model gives on all rows; rungs are where a search at each cap has
them. The catalogues are those of the benchmarks, drawn smaller.
"""

import random
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from seeds import over_seeds

from kitsolver import brief_of, read_catalogue
from kitsolver.solve.decomposition import sweep
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.next_rung import next_rung
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.model.questions import best
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))

from shops import hard_families, real_shop


def drawn_shop(draw, seed):
    """Draw a small catalogue: families of near colours, or shades with packs of them."""
    goods = (draw.randint(4, 9), draw.randint(2, 5), draw.randint(2, 5), draw.randint(0, 8))
    if seed % 2:
        return hard_families(
            seed,
            families=draw.randint(1, 3),
            packs=draw.choice([0, 0.2, 0.4, 0.6]),
            charts=draw.randint(3, 8),
            threads=draw.randint(8, 24),
            colours=(2, draw.randint(3, 5)),
            goods=goods,
        )
    return real_shop(
        seed,
        charts=draw.randint(3, 8),
        singles=draw.randint(12, 24),
        packs=draw.randint(3, 10),
        colours=(3, draw.randint(4, 6)),
        pack=draw.randint(3, 6),
        goods=goods,
        dear=1.0,
    )


def drawn_brief(draw):
    """Draw a brief: a cap that binds, wide tolerances, tills, heads, and what counts."""
    heads = draw.choice([1, 1, 1, 2, 5])
    brief = {
        "currency": "EUR",
        "cap": f"{heads * draw.uniform(12, 55):.2f}",
        "heads": heads,
        "shades": {
            "tolerance": draw.choice(["6.0", "12.0", "25.0"]),
            "mismatch": draw.choice(["5", "1", "0.5"]),
        },
    }
    if draw.random() < 0.3:
        free_from = f"{draw.uniform(15, 60):.2f}"
        brief["till"] = {"delivery": "3.90", "delivery_free_from": free_from}
        brief["till"]["discount_rate"] = draw.choice(["0", "0.1"])
    if draw.random() < 0.25:
        brief["extras"] = {"spend": "together", "weight": "0.25"}
    if draw.random() < 0.2:
        brief.setdefault("extras", {})["most"] = draw.choice([1, 2])
    if draw.random() < 0.3:
        brief["needs"] = {"thread": {"weight": draw.choice([0, "0.5", 3])}}
    return brief_of(brief)


@pytest.fixture
def small_shop(tmp_path):
    """Draw a small shop and a brief by a seed."""

    def small_shop(seed):
        draw = random.Random(seed)
        shop = tmp_path / "shop.csv"
        shop.write_text(drawn_shop(draw, seed), encoding="utf-8", newline="")
        return read_catalogue(shop, currency="EUR"), drawn_brief(draw)

    return small_shop


@over_seeds(range(60), quick=6)
def test_the_same_selection_as_the_one_model(seed, small_shop):
    catalogue, brief = small_shop(seed)
    fast = by_chart(find_candidates(catalogue, brief, thin=True))
    model = best(find_candidates(catalogue, brief))
    assert (fast and fast.selection) == (model and model.selection)
    assert (fast and fast.bound) == (model and model.bound)


def ladder_of(candidates, low, high):
    """Return the rungs by a search at each cap, below what the best kit costs the next one."""
    found, cap = [], high
    while cap >= low:
        at_cap = replace(candidates, brief=candidates.brief.with_cap(cap))
        kit = by_chart(at_cap)
        if kit is None:
            break
        found.append((kit.bound.payable, kit.selection))
        cap = kit.bound.payable - 1
    return found[::-1]


# Seeds that have a kit at the cap.
@over_seeds([3, 4, 5, 8, 9, 10, *range(12, 19), 20, 21], quick=2)
def test_rungs_and_the_next_one_are_those_of_searches_cap_by_cap(seed, small_shop):
    catalogue, brief = small_shop(seed)
    candidates = find_candidates(catalogue, brief, thin=True)
    cap = brief.total_cap
    least = least_payable(candidates, Solver.SCIP, TimeLimit())
    low, high = max(least, cap // 2), cap + cap // 4
    swept = rungs(candidates, low, high, Solver.SCIP, TimeLimit()).rungs
    ladder = ladder_of(candidates, low, high)
    assert [(rung.cap, rung.selection) for rung in swept] == ladder
    now = by_chart(candidates)
    charts = Subproblems(candidates, *map(candidates.most_goods, (cap, 2 * cap)))
    above = next_rung(charts, cap, weighed_points(now.selection, candidates), TimeLimit())
    expected = next((paid for paid, _ in ladder if paid > cap), None)
    assert expected == (above.paid if above and above.paid <= high else None)


@over_seeds([3, 4, 5, 8], quick=1)
def test_a_sweep_whose_stretches_reach_the_state_limit_searches_cap_by_cap(
    seed, small_shop, monkeypatch
):
    catalogue, brief = small_shop(seed)
    candidates = find_candidates(catalogue, brief, thin=True)
    cap = brief.total_cap
    low, high = cap - cap // 8, cap + cap // 8
    swept = rungs(candidates, low, high, Solver.SCIP, TimeLimit())
    complete = sweep._Sweep._complete

    def limited(self, bottom, top):
        if top % 3 == 0:
            raise StateLimitReached
        complete(self, bottom, top)

    monkeypatch.setattr(sweep._Sweep, "_complete", limited)
    assert rungs(candidates, low, high, Solver.SCIP, TimeLimit()) == swept
