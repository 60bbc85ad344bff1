"""The solver and its naive twin agree on small random instances: figures, lines and places."""

import os
from datetime import date

import pytest
from instances import instance, to_toml
from naive import best as naive_best

from kitsolver import Engine, Solver, read_brief, read_catalogue
from kitsolver.brief.validate_against import validate_against
from kitsolver.solve.kit import kit_of
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

# Other instances every day; KITSOLVER_SEED, the first seed, draws those of a day again. A seed
# that failed is drawn first if it is given.
ROTATING = int(os.environ.get("KITSOLVER_SEED") or date.today().toordinal() * 300)


def solved(tmp_path, text, asked, engine, solver, frontiers):
    """Return the best kit as the naive twin gives it, or None."""
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    brief.write_text(to_toml(asked), encoding="utf-8")
    brief = read_brief(brief)
    catalogue = read_catalogue(shop, currency=brief.currency)
    validate_against(brief, catalogue)
    candidates = find_candidates(catalogue, brief, thin=frontiers)
    found = engine.search(candidates, solver, TimeLimit(), frontiers=frontiers)
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
    tmp_path, seed, engine=Engine.BY_CHART, solver=Solver.SCIP, *, frontiers=True, further=False
):
    text, asked = instance(seed, further=further)
    told = f"instance({seed}, further={further}), {engine}, {solver}"
    assert solved(tmp_path, text, asked, engine, solver, frontiers) == naive_best(text, asked), told


# Found by rotating: a shade at home, which is no line, tied with a thread row.
FOUND = [700933, 701519]


@pytest.mark.parametrize("seed", [*range(40), *FOUND])
def test_the_same_kit_as_the_twin_s(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed)


@pytest.mark.parametrize("seed", range(ROTATING, ROTATING + 300))
def test_the_same_kit_as_the_twin_s_on_a_rotating_seed(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed)


@pytest.mark.parametrize("seed", [*range(2000, 2030), *range(ROTATING, ROTATING + 60)])
def test_the_same_kit_as_the_twin_s_beyond_the_ordinary(seed, tmp_path):
    hold_to_the_twin(tmp_path, seed, further=True)


@pytest.mark.parametrize(
    ("engine", "solver", "seed"),
    [
        *((Engine.BY_CHART, Solver.HIGHS, seed) for seed in range(1000, 1020)),
        *((Engine.BY_CHART, Solver.CP_SAT, seed) for seed in range(1100, 1110)),
        *((Engine.ONE_SHOT, Solver.HIGHS, seed) for seed in range(1200, 1220)),
        *((Engine.ONE_SHOT, Solver.SCIP, seed) for seed in range(1300, 1320)),
        *((Engine.ONE_SHOT, Solver.CP_SAT, seed) for seed in range(1400, 1410)),
    ],
)
def test_the_same_kit_as_the_twin_s_by_another_way(engine, solver, seed, tmp_path):
    hold_to_the_twin(tmp_path, seed, engine, solver, frontiers=False)
