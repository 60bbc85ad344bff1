"""The charts that explanations name are the same on arrays as among all candidates."""

from seeds import over_seeds

from kitsolver.explain.demands.fit import smallest
from kitsolver.explain.no_kit.telling_charts import best_matched, smallest_designs
from kitsolver.solve.presolve.category_rows import CategoryRows
from kitsolver.solve.presolve.find import find_candidates

SEEDS = range(64_000, 64_030)
# In these no thread is asked for.
UNMATCHED = {64_005, 64_006, 64_007, 64_011, 64_015, 64_016, 64_017, 64_019, 64_025, 64_027}


@over_seeds(SEEDS, quick=3)
def test_the_smallest_designs_are_those_among_all_charts(seed, draw):
    instance = draw(seed, have=False)
    every = find_candidates(instance.catalogue, instance.brief)
    few = find_candidates(instance.catalogue, instance.brief, charts=smallest_designs)
    key = sorted(chart.sku for chart in smallest(every.charts))
    assert sorted(chart.sku for chart in few.charts) == key != []


@over_seeds([seed for seed in SEEDS if seed not in UNMATCHED], quick=3)
def test_the_best_matched_chart_has_the_fewest_colours_without_thread(seed, draw):
    instance = draw(seed, have=False)
    tight = instance.brief.shades.model_copy(update={"tolerance": 2})
    brief = instance.brief.model_copy(update={"shades": tight})
    every = find_candidates(instance.catalogue, brief)
    lacking = {chart.sku: [not near for near in every.places(chart)] for chart in every.charts}
    found = best_matched(CategoryRows(instance.catalogue, brief))
    assert found is not None
    assert len(found.bare) == sum(lacking[found.chart.sku]) == min(map(sum, lacking.values()))
    if found.bare:
        first = min(sku for sku, bare in lacking.items() if sum(bare) == len(found.bare))
        assert found.chart.sku == first
    places = map(len, every.places(found.chart))
    assert found.ample == (min(places) >= len(found.chart.shades or ()))
