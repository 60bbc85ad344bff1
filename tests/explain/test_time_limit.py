"""Every question within a time limit: what is told in time is true, and nothing goes on after it.

The clock is a fake one, which goes on each time that it is looked at. So a limit falls at the same
step on every machine, and what is still done after it can be counted.
"""

import json
from pathlib import Path

import pytest
from fake_clock import FakeClock

from kitsolver import Engine, Status, brief_of, pick, read_brief, read_catalogue
from kitsolver.brief.range import Range, RangeKit
from kitsolver.explain.answer import answer
from kitsolver.explain.around import around
from kitsolver.explain.changed import comparison_key
from kitsolver.explain.ladder import ladder
from kitsolver.explain.lines import instead
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.others import others
from kitsolver.explain.reach import out_of_reach
from kitsolver.explain.recheck.nearest import nearest_kit
from kitsolver.explain.recheck.recheck import recheck
from kitsolver.explain.recheck.saved import saved_of
from kitsolver.explain.why_not import Verdict, why_not
from kitsolver.show.kit_record import record_of
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve import category_rows
from kitsolver.solve.ranges.range import pick_range
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

DEMO = Path(__file__).parents[2] / "catalogues"
# So many times the clock may be looked at once time is over, until the answer is there.
FEW = 12
SHARES = [pytest.param(share, marks=pytest.mark.slow) for share in (0.0, 0.02, 0.1, 0.75)]
SHARES += [0.3, 0.9]


@pytest.fixture(scope="module")
def shop():
    return read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")


@pytest.fixture(scope="module")
def bundle():
    return read_brief(DEMO / "bundle.toml")


@pytest.fixture
def cut_short(monkeypatch):
    """Ask a question in full, and again with a share of the time that it takes.

    Gives both answers; the second is None if it is said that nothing was found in time.
    """
    clock = FakeClock(monkeypatch)

    def ask(question, share):
        whole = question(1e9)
        takes = clock.now
        clock.now = 0
        limit = int(share * takes)
        try:
            part = question(float(limit))
        except OutOfTime:
            part = None
        assert clock.now <= limit + FEW
        return whole, part

    return ask


def no_better(kit, best):
    return comparison_key(kit.figures) <= comparison_key(best.figures)


@pytest.mark.parametrize("share", SHARES)
def test_pick_gives_the_best_so_far_and_its_bound(share, cut_short, shop, bundle):
    whole, part = cut_short(lambda seconds: pick(shop, bundle, seconds=seconds), share)
    if part is None:
        return
    assert no_better(part.kit, whole.kit)
    assert part.bound.quality >= whole.kit.figures.quality
    if part.status is Status.BEST:
        assert part.kit == whole.kit


SMALL = {
    "currency": "EUR",
    "cap": "30.00",
    "needs": {"fabric": {"only": {"count": [14]}}},
    "choose": {"keep": ["CH-HERMIT"]},
    "extras": {"spend": "none"},
}


@pytest.mark.parametrize("share", SHARES)
def test_building_the_one_model_counts(share, cut_short, shop):
    """The clock is looked at for each variable and constraint: most limits fall there."""
    brief = brief_of(SMALL)
    whole, part = cut_short(
        lambda seconds: pick(shop, brief, engine=Engine.ONE_SHOT, seconds=seconds), share
    )
    assert whole.status is Status.BEST
    if part is not None:
        assert no_better(part.kit, whole.kit)
        assert part.bound.quality >= whole.kit.figures.quality
    elif share == 0.9:
        pytest.fail("nothing was found in most of the time")


def test_confirmed_is_said_only_if_it_was(cut_short, shop):
    brief = brief_of(SMALL)
    whole, part = cut_short(lambda seconds: pick(shop, brief, seconds=seconds, confirm=True), 0.5)
    assert (whole.confirmed, part.confirmed) == (True, False)
    assert part.kit == whole.kit


@pytest.mark.parametrize("share", SHARES)
def test_ladder_gives_the_rungs_proven_from_a_cap_on(share, cut_short, shop, bundle):
    whole, part = cut_short(lambda seconds: ladder(shop, bundle, seconds=seconds), share)
    if part is not None:
        assert not part.complete
        above = [(rung.cap, rung.kit) for rung in whole.rungs if rung.cap > part.proven_from]
        assert [(r.cap, r.kit) for r in part.rungs if r.cap > part.proven_from] == above


@pytest.mark.parametrize("share", SHARES)
def test_others_gives_the_first_of_them(share, cut_short, shop, bundle):
    whole, part = cut_short(lambda seconds: others(shop, bundle, 4, seconds=seconds), share)
    if part is None:
        return
    assert not part.complete
    if part.bound is None:
        assert part.kits == whole.kits[: len(part.kits)]
    else:
        (so_far,) = part.kits
        assert no_better(so_far, whole.kits[0])
        assert part.bound.quality >= whole.kits[0].figures.quality


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize(
    "sku",
    ["SC-HERON", "SC-GULLWING", "TC-GULL6", pytest.param("TH-KELP-4", marks=pytest.mark.slow)],
)
def test_why_not_says_what_is_known_of_a_row(sku, share, cut_short, shop, bundle):
    whole, part = cut_short(lambda seconds: why_not(shop, bundle, sku, seconds=seconds), share)
    if part is None:
        return
    assert part.verdict in (whole.verdict, Verdict.UNKNOWN)
    if part.complete:
        assert part == whole
    if part.bound is not None:
        assert no_better(part.best, whole.best)
        assert part.bound.quality >= whole.best.figures.quality
    elif part.best is not None:
        assert part.best == whole.best


@pytest.mark.parametrize("share", SHARES)
def test_why_no_kit_tells_no_mend_that_it_did_not_try(share, cut_short, shop, bundle):
    brief = bundle.with_cap(500)
    whole, part = cut_short(lambda seconds: answer(shop, brief, seconds=seconds), share)
    if part is None:
        return
    assert not part.why.complete
    assert set(part.why.mends) <= set(whole.why.mends)
    if part.why.conflict:
        assert part.why.conflict == whole.why.conflict
    assert "ime ran out" in " ".join(part.why.because)


@pytest.mark.parametrize("share", SHARES)
def test_recheck_says_what_stands_whatever_time_is_left(share, cut_short, shop, bundle):
    record = json.loads(json.dumps(record_of(pick(shop, bundle))))
    record["lines"][0]["price"] = "0.10"
    saved = saved_of(record, "kit")
    whole, part = cut_short(lambda seconds: recheck(saved, shop, seconds=seconds), share)
    assert part is not None
    assert (part.stands, part.checks, part.today) == (whole.stands, whole.checks, whole.today)
    if part.proven:
        assert part.best == whole.best
    elif part.best is not None:
        assert no_better(part.best, whole.best)
    if part.complete:
        assert part == whole


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("in_order", [False, True])
def test_a_range_gives_kits_that_stand_together_and_their_bound(share, in_order, cut_short, shop):
    briefs = [
        brief_of({"currency": "EUR", "cap": cap, "extras": {"spend": "none"}})
        for cap in ("26.00", "28.00", "30.00")
    ]
    kits = tuple(RangeKit(f"k{number}", 8, brief) for number, brief in enumerate(briefs))
    asked = Range("range", "", "EUR", in_order, ("chart",), kits)
    whole, part = cut_short(lambda seconds: pick_range(shop, asked, seconds=seconds), share)
    assert whole.status is Status.BEST
    if part is None:
        return
    assert all(check.holds for check in part.checks)
    if part.status is Status.BEST:
        assert part.kits == whole.kits
    else:
        assert part.bound >= whole.quality
        assert in_order or part.quality <= whole.quality


def test_around_is_left_out_if_there_is_no_time(shop, bundle):
    assert around(shop, bundle, seconds=0.0) is None


def _around(shop, brief, limit):
    if around(shop, brief, seconds=limit.left) is None:
        raise OutOfTime


def _others(shop, brief, limit):
    others(shop, brief, seconds=limit.left)


def _why_not(shop, brief, limit):
    why_not(shop, brief, "SC-GULLWING", seconds=limit.left)


def _out_of_reach(shop, brief, limit):
    out_of_reach(shop, brief, 500, solver=Solver.SCIP, time_limit=limit)


def _nearest_kit(shop, brief, limit):
    nearest_kit(frozenset({"SC-GULLWING"}), shop, brief, Solver.SCIP, limit)


def _cheapest_kit(shop, brief, limit):
    CheapestKitOracle(shop, Solver.SCIP, limit).candidates(
        brief.model_dump(mode="json"), stocked=False
    )


@pytest.mark.parametrize(
    "question", [_around, _others, _why_not, _out_of_reach, _nearest_kit, _cheapest_kit]
)
def test_no_row_is_looked_at_once_time_is_over(question, shop, bundle, monkeypatch):
    def admitted_rows(*_, **__):
        raise AssertionError("a row was looked at")

    monkeypatch.setattr(category_rows, "admitted_rows", admitted_rows)
    with pytest.raises(OutOfTime):
        question(shop, bundle, TimeLimit(0))


def test_what_a_line_gives_way_to_is_not_looked_for_once_time_is_over(shop, bundle, monkeypatch):
    best = pick(shop, bundle).kit

    def admitted_rows(*_, **__):
        raise AssertionError("a row was looked at")

    monkeypatch.setattr(category_rows, "admitted_rows", admitted_rows)
    with pytest.raises(OutOfTime):
        next(instead(shop, bundle, best, solver=Solver.SCIP, time_limit=TimeLimit(0)))
