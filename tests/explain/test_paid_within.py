"""What is paid for the cheapest kit, and for any kit within a limit, held against the one model."""

import pytest
from instances.read import read_instance
from seeds import over_seeds

from kitsolver.brief.reading import with_settings
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.decomposition.cheapest import least_payable, paid_within
from kitsolver.solve.engine import Solver
from kitsolver.solve.model import questions
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


@over_seeds(range(3_000, 3_020), quick=3)
@pytest.mark.parametrize("margin", ["0", "0.8"])
def test_a_kit_within_a_limit_is_found_if_the_model_has_one(seed, margin, tmp_path):
    shop = read_instance(tmp_path, seed, rules=True)
    cap = shop.brief.total_cap
    sets = [f"shop.margin_rate={margin}", 'shop.uncosted="leave out"']
    sets.append(f"shop.sell_at={cap // 100}")
    brief = with_settings(shop.brief, sets=sets)
    candidates = find_candidates(shop.catalogue, brief, thin=True)
    ask = Solver.SCIP, TimeLimit()
    model = None if candidates.infeasible else questions.cheapest(candidates, NO_CAP, *ask)
    least = model and model.bound.payable
    assert least_payable(candidates, *ask) == least
    for limit in (cap, cap // 2, *(() if least is None else (least, max(0, least - 1)))):
        found = paid_within(candidates, limit, *ask)
        assert (found is not None) == (least is not None and least <= limit)
        assert found is None or least <= found <= limit
