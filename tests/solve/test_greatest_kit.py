"""The greatest sum that kits come to is what the one model finds, step by step."""

from decimal import Decimal
from pathlib import Path

from seeds import over_seeds

from kitsolver import brief_of, read_catalogue
from kitsolver.solve.decomposition.cheapest import kit_within, least_payable
from kitsolver.solve.decomposition.counted_cloth import CountedCloth
from kitsolver.solve.decomposition.counted_kits import CountedKits
from kitsolver.solve.decomposition.greatest_kit import greatest_kit
from kitsolver.solve.decomposition.greatest_sums import GreatestSum
from kitsolver.solve.engine import Solver
from kitsolver.solve.model import questions
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.rules.limits import sum_of
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import TimeLimit

# Seeds of which frontiers tell the greatest kit.
SEEDS = [
    *(65_000, 65_007, 65_011, 65_013, 65_016, 65_017, 65_019, 65_021, 65_023),
    *(65_026, 65_029, 65_030, 65_032, 65_033, 65_034, 65_035, 65_036, 65_037),
]
# Seeds of which they do not: packs serve several colours, and count once.
COUNTED_ONCE = [65_008, 65_004, 65_006, 65_009, 65_010, 65_015, 65_020, 65_022]
DEMO = Path(__file__).parents[2] / "catalogues"


def asking(instance, least):
    """Return candidates of which the quality of all lines has a least."""
    data = instance.brief.model_dump(mode="json")
    limit = {"name": "much", "column": "quality", "least": f"{least}"}
    return find_candidates(instance.catalogue, brief_of(data | {"limits": [limit]}), thin=True)


@over_seeds(SEEDS, quick=3)
def test_no_kit_comes_to_more_than_the_greatest(seed, draw):
    instance = draw(seed)
    candidates, cap = asking(instance, 1), instance.brief.total_cap
    (limit,) = candidates.brief.limits
    found = greatest_kit(candidates, limit, cap, TimeLimit())
    asked = Solver.SCIP, TimeLimit()
    assert found is not None
    assert found.proven
    sums = tally(found.selection, found.candidates)
    assert sums.receipt.payable <= cap
    most = sum_of(limit, sums)
    reached = Decimal(most.numerator) / Decimal(most.denominator)
    enough, more = asking(instance, reached), asking(instance, reached + Decimal("0.01"))
    assert questions.within(enough, cap, *asked) is not None
    assert questions.within(more, cap, *asked) is None
    assert kit_within(more, cap, *asked) is None
    cheapest = questions.cheapest(enough, cap, *asked)
    assert cheapest is not None
    assert least_payable(enough, *asked, at_most=cap) == cheapest.bound.payable


@over_seeds(COUNTED_ONCE, quick=2)
def test_a_kit_whose_packs_count_once_is_told_of_though_others_may_come_to_more(seed, draw):
    instance = draw(seed)
    candidates, cap = asking(instance, 1), instance.brief.total_cap
    (limit,) = candidates.brief.limits
    found = greatest_kit(candidates, limit, cap, TimeLimit())
    assert found is not None
    assert not found.proven
    sums = tally(found.selection, found.candidates)
    assert sums.receipt.payable <= cap
    reached = sum_of(limit, sums)
    more = asking(instance, Decimal(reached.numerator) / Decimal(reached.denominator) + 1)
    asked = cap, Solver.SCIP, TimeLimit()
    found_by_model = questions.within(more, *asked)
    assert (kit_within(more, *asked) is None) == (found_by_model is None)


def test_a_least_beyond_all_goods_is_seen_without_a_look_at_the_cloth(monkeypatch):
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")
    limit = {"name": "heavy", "column": "weight_g", "where": {"category": ["fabric", "scissors"]}}
    bounds = {}
    for least in (1, 5000):
        limits = [limit | {"least": f"{least}", "blank": 0}]
        brief = brief_of({"currency": "EUR", "cap": "48.00", "limits": limits})
        candidates = find_candidates(catalogue, brief, thin=True)
        greatest = GreatestSum(candidates, *brief.limits, brief.total_cap)
        if least == 5000:
            monkeypatch.setattr(CountedCloth, "of", None)
        bounds[least] = [greatest.at_most(chart) for chart in candidates.charts]
        assert all((most < greatest.least) is (least == 5000) for most in bounds[least])
    assert all(far >= near for near, far in zip(*bounds.values(), strict=True))


def test_so_many_lines_of_thread_are_quickly_found_as_are_asked_for():
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")
    limit = {
        "name": "hand-dyed",
        "where": {"category": ["thread"], "tags_any": ["hand-wash"]},
        "least": "9",
        "most": "9",
    }
    shades = {"tolerance": "1000"}
    brief = brief_of({"currency": "EUR", "cap": "48.00", "limits": [limit], "shades": shades})
    candidates = find_candidates(catalogue, brief, thin=True)
    (chart,) = (chart for chart in candidates.charts if chart.sku == "CH-HAWKMOTH")
    (rule,) = brief.limits
    kits = CountedKits(GreatestSum(candidates, rule, brief.total_cap))
    found = list(kits.greedy_selections(chart, brief.total_cap, candidates, TimeLimit()))
    assert found
    assert {sum_of(rule, tally(one, candidates)) for one in found} == {9}
