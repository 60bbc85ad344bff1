"""Bounds that charge for limits hold for every kit, and leave most charts unopened."""

from fractions import Fraction

import pytest
from instances.read import read_instance
from seeds import over_seeds

from kitsolver import Solver, brief_of, read_catalogue
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import with_chart
from kitsolver.solve.decomposition.surrogate import SurrogateProblem, Surrogates
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.model.questions import best
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


# Seeds whose instances have a kit, a limit that is a most, and rows that count for it.
@over_seeds([7048, 7067, 7064, 7112, 7116, 7140, 7164, 7175, 7199, 7206, 7219, 7244], quick=2)
def test_no_kit_goes_through_a_bound_that_charges_for_limits(seed, tmp_path):
    shop = read_instance(tmp_path, seed, rules=True)
    candidates = find_candidates(shop.catalogue, shop.brief)
    spendable = candidates.most_goods(shop.brief.total_cap)
    assert Surrogates(candidates, spendable)
    limits = [limit for limit in shop.brief.limits if limit.most is not None]
    kits = 0
    for rate in (Fraction(1, 8), Fraction(1), Fraction(16)):
        problem = SurrogateProblem(candidates, spendable, dict.fromkeys(limits, rate))
        for number, at_once in enumerate(problem.upper_bounds(TimeLimit())):
            alone = with_chart(candidates, candidates.charts[number])
            found = best(alone)
            if found is None:
                continue
            kits += 1
            points = weighed_points(found.selection, alone)
            closer = problem.upper_bound(number, TimeLimit())
            assert closer is not None
            assert points <= closer
            assert points <= at_once
    assert kits


@pytest.fixture
def shop(tmp_path):
    """Charts that differ little, a poor one that is light, and lamps that are good if heavy."""
    rows = [f"C{n},Chart,chart,1,{80 - n},60,20,20,#112233:9" for n in range(12)]
    rows += ["C99,Chart,chart,1,1,10,20,20,#112233:9"]
    rows += [f"L{n},Lamp,lamp,2,{n},{n},,," for n in range(10, 101, 10)]
    header = "sku,name,category,price,quality,weight_g,stitches_wide,stitches_high,colours"
    path = tmp_path / "shop.csv"
    path.write_text("\n".join([header, *rows]) + "\n")
    return read_catalogue(path, currency="EUR")


@pytest.mark.parametrize(
    ("most", "kit", "opened"),
    [(160, ["C0", "L100"], 1), (111, ["C0", "L50"], 3), (19, None, None)],
)
def test_few_charts_are_opened_where_a_limit_binds(shop, most, kit, opened):
    limits = [{"column": "weight_g", "most": most}]
    asked = {"currency": "EUR", "cap": 20, "holds": ["chart", "lamp"], "limits": limits}
    found = by_chart(find_candidates(shop, brief_of(asked)), Solver.SCIP)
    if kit is None:
        assert found is None
    else:
        assert sorted(row.sku for row in found.selection.needs.values() if row.sku) == kit
        assert found.opened <= opened
