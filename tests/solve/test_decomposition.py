"""Chart by chart gives what the one model gives; what it leaves out could not have mattered."""

from dataclasses import replace
from pathlib import Path

import pytest
from fake_clock import FakeClock
from out_of_time import out_of_time_after
from seeds import over_seeds

from kitsolver import brief_of, pick, read_brief, read_catalogue
from kitsolver.brief.choosing import keeping
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.decomposition import (
    chart_frontier,
    frontier,
    subproblems,
    sweep,
)
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.subproblems import Subproblems, with_chart
from kitsolver.solve.decomposition.thread import frontier as thread_frontier
from kitsolver.solve.decomposition.upper_bound import UpperBounds, goods_lower_bounds
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import weighed_points
from kitsolver.solve.model import questions
from kitsolver.solve.model.questions import best, cheapest
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

DEMO = Path(__file__).parents[2] / "catalogues"


@pytest.fixture
def drawn(draw):
    """Draw the candidates of a random instance."""

    def drawn(seed, thin=False, **switches):
        instance = draw(seed, **switches)
        return find_candidates(instance.catalogue, instance.brief, thin=thin)

    return drawn


def upper_bounds(candidates):
    """Return each chart's upper bound in weighed points; None if no kit holds it."""
    spendable = candidates.brief.exact_till.most_goods(candidates.brief.total_cap)
    found = UpperBounds(candidates, spendable, spendable)
    return [
        found.figure(upper_bound, number) if upper_bound >= 0 else None
        for number, upper_bound in enumerate(found.at(spendable))
    ]


@over_seeds(range(5000, 5050), quick=6)
def test_the_same_choice_as_the_one_model(seed, drawn):
    candidates = drawn(seed)
    one, fast = best(candidates), by_chart(candidates, Solver.SCIP)
    assert (one and one.selection) == (fast and fast.selection)
    assert (one and one.bound) == (fast and fast.bound)


@pytest.mark.parametrize("forced", [False, True])
def test_first_bounds_count_an_extra_that_must_be_bought(forced):
    brief = read_brief(DEMO / "gift-card.toml")
    whole = find_candidates(read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR"), brief)
    extra = max(whole.extras, key=lambda row: row.cost)
    owing = replace(whole, brief=keeping(brief, [extra.sku]))
    if forced:
        owing = replace(whole, extras=(extra,), forced=frozenset({extra.category}))
    before, after = goods_lower_bounds(whole), goods_lower_bounds(owing)
    assert [bound and bound + extra.cost for bound in before] == after


def test_first_bounds_count_the_fabric_that_a_class_takes(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(
        "sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,"
        "width_cm,height_cm\n"
        "C1,Gull,chart,5.00,80,56,56,#e8e0c8:620,,,,\n"
        "C2,Tern,chart,5.00,80,112,112,#e8e0c8:620,,,,\n"
        "F1,Cream,fabric,6.00,70,,,,aida,14,30,25\n",
        encoding="utf-8",
    )
    asked = {"currency": "EUR", "cap": "90.00", "heads": 5, "holds": ["chart", "fabric"]}
    brief = brief_of(asked | {"fit": {"margin_cm": "1"}})
    found = find_candidates(read_catalogue(path, currency="EUR"), brief)
    # Cuts of 12.16 cm, four from a piece; cuts of 22.32 cm, one from a piece.
    assert goods_lower_bounds(found) == [5 * 5_00 + 2 * 6_00, 5 * 5_00 + 5 * 6_00]


@over_seeds([6000, 6001, *range(6004, 6021), *range(6022, 6026), 6027, 6028], quick=3)
def test_no_kit_goes_through_its_chart_s_upper_bound(seed, drawn):
    candidates = drawn(seed)
    kits = 0
    for chart, upper_bound in zip(candidates.charts, upper_bounds(candidates), strict=True):
        alone = with_chart(candidates, chart)
        found = best(alone, Solver.SCIP)
        if found is None:
            continue
        assert upper_bound is not None
        assert weighed_points(found.selection, alone) <= upper_bound
        kits += 1
    assert kits


@over_seeds(range(6500, 6530), quick=3)
def test_the_least_payable_is_that_of_the_one_model(seed, drawn):
    candidates = drawn(seed, keep=False)
    whole = cheapest(candidates, NO_CAP, Solver.SCIP, TimeLimit())
    least = least_payable(candidates, Solver.SCIP, TimeLimit())
    assert least == (whole and whole.bound.payable)


# Of seeds 7000 to 7049, those whose catalogue has a row that no best kit needs.
DOMINATED = [
    *(*range(7000, 7004), *range(7005, 7008), 7009, 7010, *range(7012, 7016), 7017),
    *(*range(7019, 7023), *range(7025, 7028), 7029, 7033, 7034, 7037, 7038, 7040),
    *range(7042, 7049),
]


@over_seeds(DOMINATED, quick=4)
def test_thinning_leaves_rows_out_and_the_answer_alone(seed, drawn):
    candidates, thinned = drawn(seed), drawn(seed, thin=True)
    assert len(thinned.skus) < len(candidates.skus)
    whole, part = best(candidates, Solver.SCIP), best(thinned, Solver.SCIP)
    assert (whole and whole.selection) == (part and part.selection)


@pytest.fixture
def several(drawn):
    """Give an instance with a kit and several charts that may be opened."""
    candidates = drawn(8000, have=False)
    assert sum(bound is not None for bound in upper_bounds(candidates)) > 1
    assert by_chart(candidates) is not None
    return candidates


# Of seeds 8000 to 8099, those in which a kit is found in four openings, and more are needed.
@over_seeds([8005, 8008, 8015, 8026, 8052, 8070, 8071, 8083, 8093], quick=3)
def test_out_of_time_gives_the_best_so_far_and_never_calls_it_best(seed, drawn, monkeypatch):
    candidates = drawn(seed, have=False)
    true = by_chart(candidates)
    monkeypatch.setattr(
        subproblems, "chart_frontier", out_of_time_after(4, chart_frontier.chart_frontier)
    )
    found = by_chart(candidates)
    assert not found.proven
    assert weighed_points(found.selection, candidates) <= weighed_points(true.selection, candidates)
    if true.bound.together is None:
        assert found.bound.quality >= true.bound.quality
    else:
        assert found.bound.together >= true.bound.together


def test_the_clock_running_out_before_any_kit_is_said(several):
    with pytest.raises(OutOfTime):
        by_chart(several, Solver.SCIP, TimeLimit(0.0))


@over_seeds(range(5200, 5230), quick=3)
def test_a_chart_beyond_the_state_limit_is_left_to_a_solver(seed, drawn, monkeypatch):
    candidates = drawn(seed)
    one = by_chart(candidates)

    def limited(*_):
        raise StateLimitReached

    monkeypatch.setattr(subproblems, "chart_frontier", limited)
    for found in (by_chart(candidates), by_chart(candidates, frontiers=False)):
        # Models bound less closely, so that more charts may be opened.
        assert (found and replace(found, opened=0)) == (one and replace(one, opened=0))


# Of seeds 5400 to 5428, those in which the best chart is opened at first for worse kits, too.
@over_seeds([5401, 5402, 5404, 5407, 5410, 5411, 5414, 5416, 5417, 5419, 5424, 5428], quick=4)
def test_a_chart_is_opened_again_once_the_best_is_known(seed, drawn, monkeypatch):
    """Its model gives the first figure only, and the frontier then the other ones."""
    candidates = drawn(seed, have=False)
    one = by_chart(candidates)
    real, tried = subproblems.chart_frontier, set()

    def limited_at_first(subproblem, *asked):
        if subproblem.chart.sku not in tried:
            tried.add(subproblem.chart.sku)
            raise StateLimitReached
        return real(subproblem, *asked)

    monkeypatch.setattr(subproblems, "chart_frontier", limited_at_first)
    monkeypatch.setattr(questions, "best", None)
    found = by_chart(candidates)
    assert found is not None
    assert replace(found, opened=0) == replace(one, opened=0)


@pytest.mark.parametrize(
    ("module", "limit"),
    [(thread_frontier, "_MOST_STATES"), (frontier, "_MOST_BREAKPOINTS")],
    ids=["states", "breakpoints"],
)
@over_seeds([5305, 5308, 5310, 5324, 5349], quick=1)
def test_too_many_states_or_breakpoints_raise_the_state_limit(
    seed, module, limit, drawn, monkeypatch
):
    charts = Subproblems(drawn(seed, have=False), 10_000, 10_000)
    monkeypatch.setattr(module, limit, 1)
    with pytest.raises(StateLimitReached):
        charts.chart_frontier(0, 10_000, None, TimeLimit())


def test_charts_of_more_colours_have_the_same_extras_in_a_rung(tmp_path):
    """A has two colours and B has one: all figures of their kits are equal, and A comes first."""
    rows = [
        "A,Chart,chart,1,50,#112233:9;#aabbcc:9,20,20,,,,",
        "B,Chart,chart,1,50,#112233:9,20,20,,,,",
        "F,Fabric,fabric,0,50,,,,aida,14,50,50",
        "T1,Thread,thread,0,50,#112233,,,,,,",
        "T2,Thread,thread,0,50,#aabbcc,,,,,,",
        "X,Card,card,2,80,,,,,,,",
    ]
    header = "sku,name,category,price,quality,colours,stitches_wide,stitches_high"
    path = tmp_path / "shop.csv"
    path.write_text("\n".join([f"{header},weave,count,width_cm,height_cm", *rows]) + "\n")
    catalogue = read_catalogue(path, currency="EUR")
    asked = {"currency": "EUR", "cap": 2, "holds": ["chart", "fabric", "thread"]}
    candidates = find_candidates(catalogue, brief_of(asked), thin=True)
    found = sweep.rungs(candidates, 1_00, 5_00, Solver.SCIP, TimeLimit()).rungs
    assert [(rung.cap, rung.selection.chart.sku) for rung in found] == [(1_00, "A"), (3_00, "A")]


def test_a_free_chart_stays_where_what_is_free_after_it_is_left_out(tmp_path):
    """The card adds nothing, and a list of lines that ends comes before one that goes on."""
    rows = [
        "M,Chart,chart,0,50,#112233:9,20,20,,,,",
        "A,Fabric,fabric,2,50,,,,aida,14,50,50",
        "B,Thread,thread,1,50,#112233,,,,,,",
        "Z,Card,card,0,0,,,,,,,",
    ]
    header = "sku,name,category,price,quality,colours,stitches_wide,stitches_high"
    path = tmp_path / "shop.csv"
    path.write_text("\n".join([f"{header},weave,count,width_cm,height_cm", *rows]) + "\n")
    catalogue = read_catalogue(path, currency="EUR")
    asked = {"currency": "EUR", "cap": 9, "holds": ["chart", "fabric", "thread"]}
    kit = pick(catalogue, brief_of(asked)).kit
    assert [line.sku for line in kit.lines] == ["M", "A", "B"]


def test_the_clock_is_looked_at_while_candidates_are_found(draw, monkeypatch):
    shop = draw(5001)
    clock = FakeClock(monkeypatch)
    find_candidates(shop.catalogue, shop.brief, time_limit=TimeLimit(1000))
    looks = clock.now
    for seconds in range(looks - 1):
        with pytest.raises(OutOfTime):
            find_candidates(shop.catalogue, shop.brief, time_limit=TimeLimit(seconds))
    assert looks > 5


def test_the_clock_is_looked_at_while_first_bounds_are_computed(several, monkeypatch):
    clock = FakeClock(monkeypatch)
    for seconds in (0, 1, 5):
        with pytest.raises(OutOfTime):
            UpperBounds(several, 1_00, 50_00, time_limit=TimeLimit(seconds)).at(20_00)
    before = clock.now
    UpperBounds(several, 1_00, 50_00, time_limit=TimeLimit(1000)).at(20_00)
    assert clock.now > before + 5
