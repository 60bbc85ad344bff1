"""The first rung above the cap where rules tie choices is that of the ladder."""

import pytest
from instances.read import read_instance
from seeds import over_seeds

from kitsolver import Solver
from kitsolver.solve.decomposition import tied_rung
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


@pytest.fixture
def drawn(tmp_path):
    def drawn(seed, **switches):
        shop = read_instance(tmp_path, seed, **switches)
        candidates = find_candidates(shop.catalogue, shop.brief, thin=True)
        return candidates, by_chart(candidates)

    return drawn


def agrees_with_the_ladder(candidates, best):
    cap = candidates.brief.total_cap
    ladder = rungs(candidates, cap, 2 * cap, Solver.SCIP, TimeLimit()).rungs
    expected = next((rung for rung in ladder if rung.cap > cap), None)
    found = tied_rung.tied_rung(candidates, best, Solver.SCIP, TimeLimit())
    return found == expected


# Tax rates by row, and margins; in 5017 the discount of the next kit lies halfway.
@over_seeds([5017, 5018, 5010, 5019, 5035, 5037, 5050, 5059], quick=2)
def test_a_rung_where_every_chart_is_a_model_is_the_ladder_s(seed, drawn):
    candidates, best = drawn(seed, further=True)
    assert candidates.tied
    assert not candidates.relaxed_by_frontiers
    assert agrees_with_the_ladder(candidates, best)


@over_seeds([5002, 5008, 5027, 5018, 5019, 5025, 5058, 5064, 5073, 5077], quick=2)
def test_a_rung_with_rules_of_one_s_own_is_the_ladder_s(seed, drawn):
    candidates, best = drawn(seed, rules=True)
    assert candidates.tied
    assert agrees_with_the_ladder(candidates, best)


def test_a_rung_that_takes_too_many_models_is_left_to_the_ladder(drawn, monkeypatch):
    monkeypatch.setattr(tied_rung, "_MODELS_A_CHART", 0)
    candidates, best = drawn(5018, further=True)
    with pytest.raises(StateLimitReached):
        tied_rung.tied_rung(candidates, best, Solver.SCIP, TimeLimit())
