"""The bounds of all charts charge what a kept row of thread takes, and never too much."""

from fractions import Fraction

import pytest
from seeds import over_seeds

from kitsolver import brief_of, read_catalogue
from kitsolver.brief.choosing import keeping
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.upper_bound import UpperBounds, goods_lower_bounds
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.model.questions import best
from kitsolver.solve.presolve.find import find_candidates

# Two charts; of the first, one colour is near the dear thread and one is not.
SHOP = """\
sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,width_cm,height_cm
C1,Gull,chart,5.00,80,30,30,#112233:100;#aabbcc:100,,,,
C2,Tern,chart,5.00,80,30,30,#aabbcc:100,,,,
F1,Cream,fabric,6.00,70,,,,aida,14,30,25
T1,Dusk,thread,1.00,90,,,#112233,,,,
T2,Shell,thread,1.00,90,,,#aabbcc,,,,
T3,Dear dusk,thread,4.00,60,,,#112233,,,,
T4,Pack of dusk,thread,9.00,60,,,#112233;#334455,,,,
"""


@pytest.fixture
def found(tmp_path):
    """Return the candidates of the little shop, of which some thread is kept."""
    path = tmp_path / "shop.csv"
    path.write_text(SHOP, encoding="utf-8")
    catalogue = read_catalogue(path, currency="EUR")
    asked = {"currency": "EUR", "cap": "90.00", "holds": ["chart", "fabric", "thread"]}
    brief = brief_of(asked | {"fit": {"margin_cm": "1"}})
    return lambda *kept: find_candidates(catalogue, keeping(brief, kept))


@pytest.mark.parametrize(
    ("kept", "goods"),
    [
        ((), [13_00, 12_00]),
        # Only one colour of one chart is near it.
        (("T3",), [16_00, None]),
        (("T4",), [21_00, None]),
        # Its colour is of no other use.
        (("T2",), [13_00, 12_00]),
        (("T2", "T3"), [16_00, None]),
    ],
)
def test_the_least_goods_count_what_a_kept_row_costs_more(kept, goods, found):
    assert goods_lower_bounds(found(*kept)) == goods


def test_the_upper_bounds_count_what_a_kept_row_counts_less(found):
    def most(*kept):
        candidates = found(*kept)
        bounds = UpperBounds(candidates, 90_00, 90_00)
        return [bounds.figure(each, n) for n, each in enumerate(bounds.at(90_00)) if each >= 0]

    # Of two colours one has a quality of 60 instead of 90, and nothing else is scarce.
    before, after = most()[0], most("T3")
    assert after == [before - Fraction(30_00, 2) * found().weights["thread"]]


@over_seeds([6000, 6003, 6004, 6005, 6007, 6009, 6010, 6014, 6017, 6018, 6023, 6027], quick=2)
def test_no_kit_with_a_kept_row_goes_through_its_chart_s_upper_bound(seed, draw):
    instance = draw(seed, have=False)
    threads = find_candidates(instance.catalogue, instance.brief).threads
    for sku in sorted(thread.sku for thread in threads if thread.sku)[:4]:
        brief = keeping(instance.brief, [sku])
        candidates = find_candidates(instance.catalogue, brief)
        spendable = brief.exact_till.most_goods(brief.total_cap)
        bounds = UpperBounds(candidates, spendable, spendable)
        at = bounds.at(spendable)
        for number, chart in enumerate(candidates.charts):
            alone = with_chart(candidates, chart)
            kit = best(alone, Solver.SCIP)
            if kit is not None:
                reached = weighed_points(kit.selection, alone)
                assert at[number] >= 0
                assert reached <= bounds.figure(at[number], number)
