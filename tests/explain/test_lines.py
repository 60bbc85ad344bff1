"""What a line could give way to, and what is just above the cap, against every kit."""

from functools import cache
from pathlib import Path

import pytest
from instances.read import read_instance
from naive import best as naive_best
from naive.choices import bought, need_of, needs_of
from naive.goods import read
from naive.kits import kits as every
from naive.numbers import exact
from naive.till import Till
from seeds import over_seeds

from kitsolver import Solver, ladder, pick, read_brief, read_catalogue
from kitsolver.explain.changed import comparison_key
from kitsolver.explain.lines import instead
from kitsolver.explain.reach import out_of_reach
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

DEMO = Path(__file__).parents[2] / "catalogues"
# Seeds of instances with a kit. In the first, some thread cannot be replaced, and there is a better
# kit above the cap.
FIRST = [80_002, 80_004, 80_008, 80_009, 80_012, 80_024]
SEEDS = [
    *(*FIRST, 80_000, 80_001, 80_007, 80_010, 80_011, 80_013, 80_014, 80_015, 80_017, 80_019),
    *(80_021, 80_022, 80_023, 80_025, 80_026, 80_028),
]
NEVER_UNASKED = {"chart", "fabric", "thread", "needle"}


@pytest.fixture(scope="module")
def lined(tmp_path_factory):
    """Give an instance's best kit, and what each of its lines could give way to."""
    folder = tmp_path_factory.mktemp("lined")

    def lined(seed):
        catalogue, brief, text, asked = read_instance(folder, seed)
        best = pick(catalogue, brief).kit
        assert best
        found = list(instead(catalogue, brief, best, solver=Solver.SCIP, time_limit=TimeLimit()))
        assert [one.line for one in found] == list(best.lines)
        return text, asked, best, found

    return cache(lined)


def staying(line, best):
    """Give the skus of the lines that stay: thread follows the chart."""
    return {
        other.sku
        for other in best.lines
        if other != line and (line.category, other.category) != ("chart", "thread")
    }


def kept(brief, sku):
    return sku in brief.get("choose", {}).get("keep", [])


def given_up(asked, sku):
    """Give a brief that leaves a sku out, and neither keeps nor owns it."""
    lists = {
        key: [other for other in skus if other != sku] for key, skus in asked["choose"].items()
    }
    lists["leave_out"] = [*lists.get("leave_out", []), sku]
    return asked | {"choose": lists}


def best_instead(text, asked, line, best):
    """Give the figures of the best kit without a line in which those that stay stay, or None."""
    asked = given_up(asked, line.sku)
    rows, till = read(text, asked), Till(asked)
    category = {row.sku: row.category for row in rows}
    wanted = {one.category for one in best.lines if one.role == "extra"}
    stay = staying(line, best)
    needs = [need for need in needs_of(asked) if bought(asked, need)]
    weights = sum(exact(need_of(asked, need).get("weight", 1)) for need in needs)
    share = exact(asked["extras"].get("weight", "0.25"))
    ranked = []
    for chosen, bundles, _ in every(rows, asked):
        for bundle in bundles:
            extras = {sku for sku, _ in bundle.lines}
            held = extras | {sku for sku, _ in chosen.lines}
            paid = till.receipt(chosen.goods + bundle.goods).payable
            if not stay <= held or not {category[sku] for sku in extras} <= wanted:
                continue
            if paid > till.cap:
                continue
            quality = chosen.points / weights if weights else 0
            rank = quality, bundle.points, -paid
            if asked["extras"]["spend"] == "together":
                rank = chosen.points + share * bundle.points, -paid, quality
            ranked.append((rank, (quality, bundle.points, paid)))
    return max(ranked)[1] if ranked else None


def figures(kit):
    return kit and (kit.figures.quality, kit.figures.extras, kit.figures.payable)


@over_seeds([*FIRST, 80_000, 80_007, 80_010, *range(80_013, 80_016), 80_017, 80_019], quick=3)
def test_what_replaces_a_line_leaves_the_others_and_is_no_better(seed, lined):
    _, asked, best, found = lined(seed)
    replacing = [(one.line, one.replaced) for one in found if one.replaced]
    assert replacing
    for line, replaced in replacing:
        held = {other.sku for other in replaced.lines}
        assert staying(line, best) <= held, line.sku
        assert line.sku not in held, line.sku
        if not kept(asked, line.sku):
            assert comparison_key(replaced.figures) <= comparison_key(best.figures), line.sku


@over_seeds(SEEDS, quick=3)
def test_a_need_is_replaced_by_the_best_there_is_or_by_nothing(seed, lined):
    text, asked, best, found = lined(seed)
    needs = [one for one in found if one.line.role == "need" and one.line.category != "thread"]
    assert needs
    for one in needs:
        expected = best_instead(text, asked, one.line, best)
        assert figures(one.replaced) == expected, one.line.sku


@pytest.mark.slow
def test_the_instances_have_needs_that_can_be_replaced_and_that_cannot(lined):
    seen = {
        (one.line.category, one.replaced is None)
        for seed in SEEDS
        for one in lined(seed)[-1]
        if one.line.role == "need"
    }
    for need in ("chart", "fabric", "needle", "scissors"):
        assert {(need, True), (need, False)} <= seen, seen


@over_seeds([*FIRST, 80_001, 80_010, 80_011, 80_021, 80_022, 80_025], quick=3)
def test_where_no_kit_is_left_without_an_extra_or_a_thread_nothing_replaces_it(seed, lined):
    text, asked, best, found = lined(seed)
    alone = [one for one in found if best_instead(text, asked, one.line, best) is None]
    assert any(one.line.category == "thread" for one in alone)
    for one in alone:
        assert one.replaced is None, one.line.sku


def without(asked, text, line, best):
    """Give the brief of one who does not buy a line; None where it is not by itself."""
    changed = given_up(asked, line.sku)
    if line.role == "extra":
        shelves = {row.category for row in read(text, asked)} - set(needs_of(asked))
        categories = asked["extras"].get("categories", shelves - NEVER_UNASKED)
        rest = sorted(set(categories) - {line.category})
        return changed | {"extras": asked["extras"] | {"categories": rest}}
    if line.category == "thread" and best.shades:
        return None
    need = need_of(asked, line.category) | {"have": True}
    return changed | {"needs": asked["needs"] | {line.category: need}}


@over_seeds(SEEDS, quick=3)
def test_without_a_line_the_kit_is_that_of_a_buyer_who_does_not_want_it(seed, lined):
    text, asked, best, found = lined(seed)
    compared = 0
    for one in found:
        changed = without(asked, text, one.line, best)
        if changed is None:
            assert one.given_up is None, one.line.sku
            continue
        kit = naive_best(text, changed)
        expected = kit and (kit["quality"], kit["extras"], kit["payable"])
        assert figures(one.given_up) == expected, one.line.sku
        if kit:
            lines = sorted((e.sku, e.units, e.role) for e in one.given_up.lines)
            assert lines == kit["lines"], one.line.sku
            compared += 1
    assert compared


@over_seeds([*FIRST, 80_000, 80_001, 80_007, 80_011, 80_013, 80_015, 80_017, 80_019], quick=3)
def test_out_of_reach_are_the_rungs_above_the_cap(seed, draw):
    catalogue, brief, _, _ = draw(seed)
    cap = brief.total_cap
    rungs = [rung for rung in ladder(catalogue, brief).rungs if rung.cap > cap]
    assert rungs
    for beyond in {0, 1, cap // 10, cap, *(rung.cap - cap for rung in rungs[:2])}:
        reached = out_of_reach(catalogue, brief, beyond, solver=Solver.SCIP, time_limit=TimeLimit())
        assert [(one.cap, one.kit.figures, one.kit.order) for one in reached] == [
            (rung.cap, rung.kit.figures, rung.kit.order)
            for rung in rungs
            if rung.cap <= cap + beyond
        ], beyond


def test_what_the_demo_s_lines_give_way_to_leaves_the_others_and_is_worse():
    brief = read_brief(DEMO / "bundle.toml")
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency=brief.currency)
    best = pick(catalogue, brief).kit
    found = list(instead(catalogue, brief, best, solver=Solver.SCIP, time_limit=TimeLimit()))
    assert [one.line for one in found] == list(best.lines)
    for one in found:
        held = {line.sku for line in one.replaced.lines} if one.replaced else set()
        if one.replaced:
            assert staying(one.line, best) <= held, one.line.sku
            assert one.line.sku not in held
            assert comparison_key(one.replaced.figures) < comparison_key(best.figures), one.line.sku
        if one.given_up:
            there = {line.category for line in one.given_up.lines}
            assert one.line.category not in there, one.line.sku
            assert one.given_up.receipt.payable <= brief.total_cap
        assert (one.given_up is None) == (one.line.category == "thread"), one.line.sku
    assert sum(one.replaced is not None for one in found) > 3


def test_the_rungs_of_the_demo_s_ladder_are_those_out_of_reach():
    brief = read_brief(DEMO / "bundle.toml")
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency=brief.currency)
    rungs = ladder(catalogue, brief).rungs
    reached = out_of_reach(
        catalogue, brief, brief.total_cap, solver=Solver.SCIP, time_limit=TimeLimit()
    )
    assert [(one.cap, one.kit.order) for one in reached] == [
        (rung.cap, rung.kit.order) for rung in rungs if rung.cap > brief.total_cap
    ]
    assert reached


def test_time_running_out_gives_no_half_answer():
    brief = read_brief(DEMO / "bundle.toml")
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency=brief.currency)
    best = pick(catalogue, brief).kit
    with pytest.raises(OutOfTime):
        next(instead(catalogue, brief, best, solver=Solver.SCIP, time_limit=TimeLimit(0.0)))
    with pytest.raises(OutOfTime):
        out_of_reach(catalogue, brief, 1000, solver=Solver.SCIP, time_limit=TimeLimit(0.0))
