"""The solver and its naive twin agree on small random instances: figures, lines and places."""

import os
from datetime import date

import pytest
from instances import instance, to_toml
from instances.home import instance_with_home
from naive import best as naive_best
from seeds import over_seeds

from kitsolver import Engine, Solver, read_brief, read_catalogue
from kitsolver.brief.home_source import with_home_list
from kitsolver.brief.validate_against import validate_against
from kitsolver.solve.kit import kit_of
from kitsolver.solve.pick import search
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

# Other instances every day; KITSOLVER_SEED, the first seed, draws those of a day again. A seed
# that failed is drawn first if it is given. Rules of one's own, goods at home and all else are
# drawn by the day in `tests/campaign`.
ROTATING = int(os.environ.get("KITSOLVER_SEED") or date.today().toordinal() * 300)


def solved(tmp_path, text, asked, engine, solver, frontiers, home=None):
    """Return the best kit as the naive twin gives it, or None."""
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    brief.write_text(to_toml(asked), encoding="utf-8")
    brief = read_brief(brief)
    catalogue = read_catalogue(shop, currency=brief.currency)
    if home is not None:
        (tmp_path / "home.csv").write_text(home, encoding="utf-8")
        brief, catalogue, _ = with_home_list(catalogue, brief, folder=tmp_path)
    validate_against(brief, catalogue)
    candidates = find_candidates(catalogue, brief, thin=frontiers)
    found = search(engine, candidates, solver, TimeLimit(), frontiers=frontiers)
    if found is None:
        return None
    kit = kit_of(found.selection, candidates, catalogue)
    assert found.proven
    assert found.bound == kit.figures
    sums = kit.receipt
    return {
        "quality": kit.figures.quality,
        "extras": kit.figures.extras,
        "combined": kit.figures.together,
        "goods": sums.goods,
        "discount": sums.discount,
        "delivery": sums.delivery,
        "tax": sums.tax,
        "payable": sums.payable,
        "lines": sorted((line.sku, line.units, line.role) for line in kit.lines),
        "places": [(place.thread.sku or None, place.index) for place in found.selection.places],
        "skeins": [shade.skeins for shade in kit.shades],
        "pieces": kit.fit.pieces,
    }


def hold_to_the_twin(
    tmp_path, seed, engine=Engine.BY_CHART, solver=Solver.SCIP, *, frontiers=True, **switches
):
    text, asked = instance(seed, **switches)
    assert solved(tmp_path, text, asked, engine, solver, frontiers) == naive_best(text, asked)


# Found by rotating: a shade at home, which is no line, tied with a thread row.
FOUND = [700_933, 701_519]


@over_seeds([*FOUND, *range(40)], quick=14)
def test_the_same_kit_as_the_twin_s(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed)


@over_seeds(range(ROTATING, ROTATING + 300), quick=0)
def test_the_same_kit_as_the_twin_s_on_a_rotating_seed(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed)


@over_seeds(range(2000, 2030), quick=10)
def test_the_same_kit_as_the_twin_s_beyond_the_ordinary(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed, further=True)


@over_seeds(range(3000, 3040), quick=8)
def test_the_same_kit_as_the_twin_s_with_rules_of_one_s_own(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed, rules=True, further=seed % 4 == 0)


@over_seeds(range(4000, 4040), quick=10)
def test_the_same_kit_as_the_twin_s_with_goods_at_home(seed, tmp_path):
    text, asked, home = instance_with_home(seed, further=seed % 3 == 0, rules=seed % 3 == 1)
    found = solved(tmp_path, text, asked, Engine.BY_CHART, Solver.SCIP, True, home)
    assert found == naive_best(text, asked, home)


@over_seeds(range(4100, 4116), quick=2)
def test_one_model_takes_from_home_as_the_twin_does(seed, tmp_path):
    text, asked, home = instance_with_home(seed)
    found = solved(tmp_path, text, asked, Engine.ONE_SHOT, Solver.HIGHS, False, home)
    assert found == naive_best(text, asked, home)


@pytest.mark.parametrize(
    ("engine", "solver"),
    [
        (Engine.BY_CHART, Solver.HIGHS),
        (Engine.BY_CHART, Solver.CP_SAT),
        (Engine.ONE_SHOT, Solver.HIGHS),
        (Engine.ONE_SHOT, Solver.SCIP),
        (Engine.ONE_SHOT, Solver.CP_SAT),
    ],
)
@over_seeds(range(1000, 1016), quick=2)
def test_the_same_kit_as_the_twin_s_by_another_way(seed, engine, solver, tmp_path):
    hold_to_the_twin(tmp_path, seed, engine, solver, frontiers=False)
