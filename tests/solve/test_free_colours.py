"""Free colours that keep their order: chart by chart, without a model, gives what one model gives.

The catalogues are those of the benchmarks, drawn smaller. The walk itself is held to every way to
give colours places, tried one by one.
"""

import random
import sys
from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path

import pytest
from seeds import over_seeds

from kitsolver import brief_of, pick, read_catalogue
from kitsolver.craft.colour import differences, lightness
from kitsolver.solve.candidates.candidate import Thread
from kitsolver.solve.decomposition.free import colours as free_colours
from kitsolver.solve.decomposition.free.question import Floor, Question, Steps
from kitsolver.solve.decomposition.free.relaxation import relaxed_scores
from kitsolver.solve.decomposition.free.walk import walk
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.engine import Solver
from kitsolver.solve.model import questions
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))

import bench_free
from shops import hard_families, real_shop


def candidates_of(seed, tmp_path, *, colours):
    """Draw a small shop and a brief with free colours."""
    draw = random.Random(f"free {seed}")
    goods = (draw.randint(3, 6), draw.randint(2, 3), draw.randint(2, 3), draw.randint(0, 5))
    if seed % 2:
        text = hard_families(
            seed,
            families=draw.randint(2, 5),
            packs=draw.choice([0, 0.2, 0.4]),
            charts=3,
            threads=draw.randint(10, 20),
            colours=colours,
            goods=goods,
        )
    else:
        text = real_shop(
            seed,
            charts=3,
            singles=draw.randint(10, 18),
            packs=draw.randint(1, 4),
            colours=colours,
            pack=draw.randint(3, 5),
            goods=goods,
            dear=1.0,
        )
    shades = {
        "mode": "free",
        "contrast": draw.choice([2, 5, 10, 15]),
        "mismatch": draw.choice(["0.5", "2", "5"]),
    }
    if draw.random() < 0.7:
        shades["wish"] = [f"#{draw.randrange(1 << 24):06x}" for _ in range(draw.randint(1, 2))]
    till = {}
    if draw.random() < 0.3:
        till = {"delivery": "3.00", "delivery_free_from": "22.00"}
    if draw.random() < 0.2:
        till |= {"discount_rate": "0.05"}
    cap = f"{draw.randint(1200, 6000) / 100:.2f}"
    heads = draw.choice([1, 1, 1, 3])
    brief = {"currency": "EUR", "cap": cap, "shades": shades, "till": till, "heads": heads}
    path = tmp_path / "shop.csv"
    path.write_text(text, encoding="utf-8", newline="")
    catalogue = read_catalogue(path, currency="EUR")
    return find_candidates(catalogue, brief_of(brief), thin=True)


def refuse(*_, **__):
    raise AssertionError("a chart was left to a model")


@over_seeds(range(40), quick=4)
def test_chart_by_chart_gives_what_the_one_model_gives(seed, tmp_path, monkeypatch):
    """Without a model, but where dearer goods may be delivered free and there are packs."""
    candidates = candidates_of(seed, tmp_path, colours=(2, 4))
    model = questions.best(candidates, Solver.SCIP, TimeLimit())
    packs = any(len(thread.colours) > 1 for thread in candidates.threads)
    if not (packs and candidates.brief.exact_till.has_gap):
        monkeypatch.setattr(questions, "peak", refuse)
    fast = by_chart(candidates, Solver.SCIP, TimeLimit())
    assert (fast and fast.selection) == (model and model.selection)
    assert (fast and fast.bound) == (model and model.bound)


@over_seeds(range(108, 120), quick=0)
def test_a_ladder_has_the_best_kit_at_every_cap(seed, tmp_path):
    candidates = candidates_of(seed, tmp_path, colours=(2, 5))
    low, high = 800, 6000
    climb = rungs(candidates, low, high, Solver.SCIP, TimeLimit())
    assert climb.proven_from == low
    for cap in random.Random(seed).sample(range(low, high), 4):
        at_cap = replace(candidates, brief=candidates.brief.with_cap(cap))
        found = by_chart(at_cap, Solver.SCIP, TimeLimit())
        standing = [rung for rung in climb.rungs if rung.cap <= cap]
        assert (found and found.selection) == (standing[-1].selection if standing else None)


@over_seeds(range(200, 212), quick=2)
def test_where_only_what_reaches_a_floor_is_looked_for(seed, tmp_path, monkeypatch):
    """As with many places, but that ties are broken."""
    monkeypatch.setattr(free_colours, "_MOST_LABELS", 0)
    candidates = candidates_of(seed, tmp_path, colours=(2, 4))
    singles = tuple(thread for thread in candidates.threads if len(thread.colours) == 1)
    near = candidates.near.where(lambda thread: len(thread.colours) == 1)
    candidates = replace(candidates, needs={**candidates.needs, "thread": singles}, near=near)
    fast = by_chart(candidates, Solver.SCIP, TimeLimit())
    model = questions.best(candidates, Solver.SCIP, TimeLimit())
    assert (fast and fast.selection) == (model and model.selection)


def drawn_steps(draw):
    """Draw places in rising lightness, and what is asked of them."""
    colours = sorted({f"#{draw.randrange(1 << 24):06x}" for _ in range(draw.randint(4, 9))})
    light = dict(zip(colours, lightness(colours).tolist(), strict=True))
    colours.sort(key=light.get)
    alike = differences(colours, colours) < draw.choice([0, 150_000, 400_000])
    bars = [
        sum(1 << j for j in range(i + 1, len(colours)) if alike[i, j]) for i in range(len(alike))
    ]
    threads = [
        Thread(f"T{n}", "thread", price=draw.randint(50, 60), colours=(colour,))
        for n, colour in enumerate(colours)
    ]
    points = [draw.choice([0, 0, 5, 7, 9]) for _ in colours]
    steps = Steps(threads, points, list(range(len(colours))), bars)
    units = [[draw.choice([-1, 1, 1, 1, 2]) for _ in colours] for _ in range(draw.randint(1, 4))]
    return steps, units


def every_way(steps, units, kept=frozenset()):
    """Return what each way that takes the kept rows costs and counts, by trying all."""
    found = set()
    for taken in product(range(len(steps.threads)), repeat=len(units)):
        rising = all(one < other for one, other in pairwise(taken))
        if not rising or any(each[at] < 0 for each, at in zip(units, taken, strict=True)):
            continue
        if not kept <= {steps.threads[at].sku for at in taken}:
            continue
        if any(steps.too_alike[one] >> other & 1 for one in taken for other in taken):
            continue
        cost = sum(
            steps.threads[at].price * each[at] for each, at in zip(units, taken, strict=True)
        )
        found.add((cost, sum(steps.points[at] for at in taken)))
    return found


def undominated(points):
    """Return the points of which no other costs no more and counts no less."""
    return {
        (cost, counted)
        for cost, counted in points
        if not any(
            one <= cost and other >= counted and (one, other) != (cost, counted)
            for one, other in points
        )
    }


@pytest.mark.parametrize("seed", range(20))
def test_a_walk_finds_the_best_of_every_way(seed):
    steps, units = drawn_steps(random.Random(f"walk {seed}"))
    found = walk(steps, Question(units), 10**6, lambda: None)[-1]
    assert {(one.cost, one.points) for one in found} == undominated(every_way(steps, units))


@pytest.mark.parametrize("seed", range(20))
def test_a_walk_finds_the_best_of_every_way_that_takes_kept_rows(seed):
    draw = random.Random(f"kept {seed}")
    steps, units = drawn_steps(draw)
    skus = [thread.sku for thread in steps.threads]
    kept = frozenset(draw.sample(skus, draw.randint(1, min(2, len(units)))))
    found = walk(steps, Question(units, kept=kept), 10**6, lambda: None)[-1]
    every = every_way(steps, units, kept)
    assert {(one.cost, one.points) for one in found} == undominated(every)


@pytest.mark.parametrize("seed", range(20))
def test_a_walk_above_a_floor_finds_all_that_reach_it(seed):
    draw = random.Random(f"floor {seed}")
    steps, units = drawn_steps(draw)
    best = undominated(every_way(steps, units))
    score = {point: 1024 * point[1] - 60 * point[0] for point in best}
    floor = draw.choice(sorted(score.values())) if score else 0
    question = Question(units, floor=Floor(floor, 60, 1))
    rest = relaxed_scores(steps, question, 60, 1).tolist()
    found = walk(steps, question, 10**6, lambda: None, rest)[-1]
    reaching = {point for point in best if score[point] >= floor}
    assert reaching <= {(one.cost, one.points) for one in found} <= best


@pytest.mark.parametrize("seed", range(20))
def test_no_way_scores_more_than_the_relaxation(seed):
    steps, units = drawn_steps(random.Random(f"relaxation {seed}"))
    best = undominated(every_way(steps, units))
    for multiplier in (0, 60, 2000):
        bound = relaxed_scores(steps, Question(units), multiplier, 1)[0, 0]
        assert all(1024 * counted - multiplier * cost <= bound for cost, counted in best)


@pytest.mark.parametrize("seed", range(10))
def test_labels_that_remember_nothing_are_marked_where_places_are_too_alike(seed):
    steps, units = drawn_steps(random.Random(f"forgetful {seed}"))
    for one in walk(steps, Question(units, remembered=0), 10**6, lambda: None)[-1]:
        alike = any(steps.too_alike[a] >> b & 1 for a in one.ranks for b in one.ranks)
        assert one.marked == alike


def test_too_many_labels_are_given_up():
    steps, units = drawn_steps(random.Random("walk 1"))
    with pytest.raises(StateLimitReached):
        walk(steps, Question(units), 0, lambda: None)


@pytest.mark.slow
@pytest.mark.parametrize("varied", [False, True], ids=["alike", "varied"])
def test_among_many_places_a_kit_has_the_figures_of_the_model(varied, tmp_path, monkeypatch):
    path = tmp_path / "shop.csv"
    path.write_text(bench_free.shop(varied=varied, colours=6, threads=310), encoding="utf-8")
    shades = {"mode": "free", "wish": ["#7fc4c8"]}
    brief = brief_of({"currency": "EUR", "cap": "60.00", "shades": shades})
    catalogue = read_catalogue(path, currency="EUR")
    assert pick(catalogue, brief, confirm=True).confirmed
    monkeypatch.setattr(questions, "best", refuse)
    assert pick(catalogue, brief).status == "best"
