"""Chart by chart gives what the one model gives; what it leaves out could not have mattered."""

import pytest
from instances import instance, to_toml
from out_of_time import out_of_time_after

from kitsolver import read_brief, read_catalogue
from kitsolver.solve.decomposition import (
    chart_frontier,
    frontier,
    search,
    subproblems,
    thread_frontier,
)
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.search import by_chart, least_payable
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.upper_bound import UpperBounds
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.model.questions import best, cheapest
from kitsolver.solve.model.solver import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


@pytest.fixture
def drawn(tmp_path):
    """Draw the offers of a random instance."""

    def draw(seed, thin=False, **switches):
        text, asked = instance(seed, **switches)
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(text, encoding="utf-8", newline="")
        brief.write_text(to_toml(asked), encoding="utf-8")
        read = read_brief(brief)
        return find_candidates(read_catalogue(shop, currency=read.currency), read, thin=thin)

    return draw


def upper_bounds(frontier_of):
    """Return each chart's ceiling in weighed points; None where it is said that no kit holds it."""
    spendable = frontier_of.brief.register.most_goods(frontier_of.brief.total_cap)
    found = UpperBounds(frontier_of, spendable, spendable)
    return [
        found.figure(upper_bound, number) if upper_bound >= 0 else None
        for number, upper_bound in enumerate(found.at(spendable))
    ]


@pytest.mark.parametrize("seed", range(5000, 5050))
def test_the_same_choice_as_the_one_model(seed, drawn):
    frontier_of = drawn(seed)
    one, fast = best(frontier_of), by_chart(frontier_of, Solver.SCIP)
    assert (one and one.selection) == (fast and fast.selection)
    assert (one and one.bound) == (fast and fast.bound)


def test_no_kit_goes_through_its_chart_s_ceiling(drawn):
    held = 0
    for seed in range(6000, 6030):
        frontier_of = drawn(seed)
        for chart, upper_bound in zip(frontier_of.charts, upper_bounds(frontier_of), strict=True):
            alone = with_chart(frontier_of, chart)
            found = best(alone, Solver.SCIP)
            if found is None:
                continue
            assert upper_bound is not None
            assert weighed_points(found.selection, alone) <= upper_bound
            held += 1
    assert held > 20


def test_the_least_payable_is_that_of_the_one_model(drawn):
    kits = 0
    for seed in range(6500, 6530):
        frontier_of = drawn(seed, keep=False)
        whole = cheapest(frontier_of, Solver.SCIP, TimeLimit())
        least = least_payable(frontier_of, Solver.SCIP, TimeLimit())
        assert least == (whole and whole.bound.payable)
        kits += whole is not None
    assert kits > 15


def test_thinning_leaves_rows_out_and_the_answer_alone(drawn):
    fewer = 0
    for seed in range(7000, 7050):
        frontier_of, thinned = drawn(seed), drawn(seed, thin=True)
        fewer += len(thinned.skus) < len(frontier_of.skus)
        whole, part = best(frontier_of, Solver.SCIP), best(thinned, Solver.SCIP)
        assert (whole and whole.selection) == (part and part.selection)
    assert fewer > 25


@pytest.fixture
def several(drawn):
    """Give an instance with a kit and several charts that may be opened."""
    frontier_of = (drawn(seed, have=False) for seed in range(8000, 8100))
    return next(
        c
        for c in frontier_of
        if sum(x is not None for x in upper_bounds(c)) > 1 and by_chart(c) is not None
    )


def test_out_of_time_gives_the_best_so_far_and_never_calls_it_best(several, monkeypatch):
    order = search._by_ceiling(several, Subproblems(several, 0, several.brief.total_cap), ())
    true = by_chart(several)
    # A chart that a kit holds comes first, and every ceiling reaches what it comes to.
    numbers = [number for _, number in order]
    numbers.sort(key=lambda n: by_chart(with_chart(several, several.charts[n])) is None)

    monkeypatch.setattr(
        subproblems, "chart_frontier", out_of_time_after(1, chart_frontier.chart_frontier)
    )
    monkeypatch.setattr(search, "_by_ceiling", lambda *_: [(order[0][0], n) for n in numbers])
    found = by_chart(several)
    assert not found.proven
    assert weighed_points(found.selection, several) <= weighed_points(true.selection, several)
    if true.bound.together is None:
        assert found.bound.quality >= true.bound.quality
    else:
        assert found.bound.together >= true.bound.together


def test_the_clock_running_out_before_any_kit_is_said(several):
    with pytest.raises(OutOfTime):
        by_chart(several, Solver.SCIP, TimeLimit(0.0))


@pytest.mark.parametrize("seed", range(5200, 5230))
def test_a_chart_too_tangled_for_staircases_is_left_to_a_solver(seed, drawn, monkeypatch):
    frontier_of = drawn(seed)
    one = by_chart(frontier_of)

    def tangled(*_):
        raise StateLimitReached

    monkeypatch.setattr(subproblems, "chart_frontier", tangled)
    assert by_chart(frontier_of) == one == by_chart(frontier_of, frontiers=False)


def test_too_many_states_or_steps_are_said_to_be_too_tangled(drawn, monkeypatch):
    found = {thread_frontier: 0, frontier: 0}
    for seed in range(5300, 5350):
        frontier_of = drawn(seed, have=False)
        for module, name in ((thread_frontier, "_MOST_STATES"), (frontier, "_MOST_STEPS")):
            monkeypatch.setattr(module, name, 1)
            for chart in frontier_of.charts[:1]:
                try:
                    chart_frontier.chart_frontier(with_chart(frontier_of, chart), 10_000)
                except StateLimitReached:
                    found[module] += 1
            monkeypatch.undo()
    assert min(found.values()) > 0
