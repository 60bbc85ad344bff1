"""Candidates found with a memory of other briefs are those found without one."""

import pytest
from instances.read import read_instance
from seeds import over_seeds

from kitsolver import brief_of, read_catalogue
from kitsolver.explain.demands.registry import demands
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.time_limit import TimeLimit


def relaxed_briefs(instance):
    """Return an instance's brief, with one demand dropped after the other."""
    oracle = CheapestKitOracle(instance.catalogue, Solver.SCIP, TimeLimit())
    relaxed = RelaxedBrief.of(instance.brief, oracle)
    briefs = [relaxed.now]
    for demand in demands(instance.brief, instance.catalogue):
        relaxed = demand.drop(relaxed)
        briefs.append(relaxed.now)
    return briefs


def told(candidates):
    """Return what candidates hold, in a form that can be compared."""
    places = [candidates.places(chart) for chart in candidates.charts]
    return candidates.needs, candidates.extras, candidates.tied_by, candidates.weights, places


@over_seeds(range(61_000, 61_030), quick=6)
def test_a_memory_changes_no_candidates(tmp_path, seed):
    instance = read_instance(tmp_path, seed)
    # Half of the memories are so small that they forget most of what they saw.
    memory = RowMemory(None if seed % 2 else 8)
    for brief in relaxed_briefs(instance):
        remembered = find_candidates(instance.catalogue, brief, thin=True, memory=memory)
        alone = find_candidates(instance.catalogue, brief, thin=True)
        assert told(remembered) == told(alone)


@pytest.mark.parametrize("key", ["heads", "limits", "all"])
def test_briefs_that_differ_share_no_rows_they_treat_differently(tmp_path, key):
    shop = (
        "sku,name,category,price,quality,stock,tags,stitches_wide,stitches_high,colours\n"
        "C1,Gull,chart,5.00,80,2,paper,30,30,#e8e0c8:620\n"
        "C2,Tern,chart,6.00,80,9,,30,30,#e8e0c8:620\n"
    )
    (tmp_path / "shop.csv").write_text(shop, encoding="utf-8")
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    asked = {"currency": "EUR", "cap": "99.00", "holds": ["chart"]}
    changed = {
        "heads": 3,
        "limits": [{"column": "price", "most": "5.50"}],
        "all": {"tags_all": ["paper"]},
    }
    memory, found = RowMemory(), []
    for brief in (asked, asked | {key: changed[key]}):
        candidates = find_candidates(catalogue, brief_of(brief), memory=memory)
        found.append([chart.sku for chart in candidates.charts])
    assert found == [["C1", "C2"], ["C2"] if key == "heads" else ["C1"]]


@pytest.mark.parametrize(("most", "found"), [(None, 2), (9, 2), (1, 3)])
def test_a_bounded_memory_forgets_what_was_asked_for_longest_ago(most, found):
    memory, times = RowMemory(most), []
    for key in ("thread", "thread", "fabric", "thread"):
        memory.rows(key, lambda key=key: times.append(key))
    assert len(times) == found
