"""Below the least tolerance of a chart no kit with it comes within the goods total."""

from decimal import Decimal

from seeds import over_seeds

from kitsolver.brief.reading import with_settings
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.decomposition.least_tolerance import least_tolerance
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

# With a chart of which less thread is near enough as less is spent.
SEEDS = [88_004, 88_014, 88_021, 88_005, 88_012, 88_033, 88_036, 88_026, 88_015, 88_011, 88_029]


def alone_within(instance, tolerance, cap=None):
    """Return the candidates of each chart, by its sku, with thread within a tolerance."""
    wide = with_settings(instance.brief, sets=[f"shades.tolerance={tolerance}"])
    brief = wide if cap is None else wide.with_cap(cap)
    candidates = find_candidates(instance.catalogue, brief)
    return {chart.sku: with_chart(candidates, chart) for chart in candidates.charts}


def least_paid(candidates):
    return least_payable(candidates, Solver.SCIP, TimeLimit())


@over_seeds(SEEDS, quick=4)
def test_no_kit_of_a_chart_is_in_reach_below_its_least_tolerance(seed, draw):
    instance = draw(seed, have=False)
    found = set[int]()
    for sku, widest in alone_within(instance, 30).items():
        paid = least_paid(widest)
        if widest.tied or not widest.matches_thread or widest.free or paid is None:
            continue
        # So much is spent at the widest tolerance, and some more.
        for cap in (paid, paid + paid // 20, paid + paid // 5):
            goods = widest.most_goods(cap)
            least = least_tolerance(widest, goods, TimeLimit())
            assert least is not None
            found.add(least)
            if least:
                below = alone_within(instance, Decimal(least - 1) / DIFFERENCE_UNIT, cap)
                at = least_paid(below[sku]) if sku in below else None
                assert at is None or at > cap
    assert len(found) > 1
