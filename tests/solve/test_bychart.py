"""Chart by chart gives what the one model gives; what it leaves out could not have mattered."""

from dataclasses import replace

import pytest
from instances import instance, to_toml

from kitsolver import read_brief, read_catalogue
from kitsolver.solve.bychart import bychart
from kitsolver.solve.bychart.bychart import by_chart, least_payable
from kitsolver.solve.bychart.ceiling import ceilings
from kitsolver.solve.entry.offers import offers
from kitsolver.solve.model.best import best, cheapest, weighed_points
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver


@pytest.fixture
def drawn(tmp_path):
    """Draw the offers of a random instance."""

    def draw(seed, thin=False, **switches):
        text, asked = instance(seed, **switches)
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(text, encoding="utf-8", newline="")
        brief.write_text(to_toml(asked), encoding="utf-8")
        read = read_brief(brief)
        return offers(read_catalogue(shop, currency=read.currency), read, thin=thin)

    return draw


def with_chart(choices, chart):
    return replace(choices, needs={**choices.needs, "chart": (chart,)})


@pytest.mark.parametrize("seed", range(5000, 5100))
def test_the_same_choice_as_the_one_model(seed, drawn):
    choices = drawn(seed)
    one, fast = best(choices), by_chart(choices, Solver.SCIP)
    assert (one and one.choice) == (fast and fast.choice)
    assert (one and one.bound) == (fast and fast.bound)


def test_no_kit_goes_through_its_chart_s_ceiling(drawn):
    held = 0
    for seed in range(6000, 6060):
        choices = drawn(seed)
        for chart, ceiling in zip(choices.charts, ceilings(choices), strict=True):
            alone = with_chart(choices, chart)
            found = best(alone, Solver.SCIP)
            if found is None:
                continue
            assert ceiling is not None
            assert weighed_points(found.choice, alone) <= ceiling
            held += 1
    assert held > 40


def test_the_least_payable_is_that_of_the_one_model(drawn):
    kits = 0
    for seed in range(6500, 6560):
        choices = drawn(seed, keep=False)
        whole = cheapest(choices, Solver.SCIP, Clock())
        least = least_payable(choices, Solver.SCIP, Clock())
        assert least == (whole and whole.bound.payable)
        kits += whole is not None
    assert kits > 30


def test_thinning_leaves_rows_out_and_the_answer_alone(drawn):
    fewer = 0
    for seed in range(7000, 7100):
        choices, thinned = drawn(seed), drawn(seed, thin=True)
        fewer += len(thinned.offered) < len(choices.offered)
        whole, part = best(choices, Solver.SCIP), best(thinned, Solver.SCIP)
        assert (whole and whole.choice) == (part and part.choice)
    assert fewer > 60


@pytest.fixture
def several(drawn):
    """Give an instance with a kit and several charts that may be opened."""
    choices = (drawn(seed, have=False) for seed in range(8000, 8200))
    return next(
        c
        for c in choices
        if sum(x is not None for x in ceilings(c)) > 1 and by_chart(c) is not None
    )


def test_out_of_time_gives_the_best_so_far_and_never_calls_it_best(several, monkeypatch):
    def never_proven(*arguments, **_):
        found = best(arguments[0], Solver.SCIP)
        return found and replace(found, proven=False)

    true = by_chart(several)
    monkeypatch.setattr(bychart, "peak", never_proven)
    found = by_chart(several)
    assert not found.proven
    assert weighed_points(found.choice, several) <= weighed_points(true.choice, several)
    if true.bound.together is None:
        assert found.bound.quality >= true.bound.quality
    else:
        assert found.bound.together >= true.bound.together


def test_the_clock_running_out_before_any_kit_is_said(several, monkeypatch):
    def late(*_, **__):
        raise OutOfTime

    monkeypatch.setattr(bychart, "peak", late)
    with pytest.raises(OutOfTime):
        by_chart(several)
