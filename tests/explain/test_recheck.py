"""A saved kit is judged against a changed catalogue as the naive twin, which tries every kit."""

import csv
import io
import json
import random
from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from instances import instance
from instances.text import money, to_csv
from naive.goods import read
from naive.kits import kits
from naive.numbers import exact
from naive.till import Till

from kitsolver import Catalogue, Recheck, Saved, brief_of, pick, read_catalogue, recheck, record_of
from kitsolver.explain.recheck.saved import saved_of

# Caps laid where something tips, and caps that never bind.
SWITCHES = {
    "tight": {},
    "loose": {"tight": False},
    "plain": {"holds": ["chart", "fabric", "scissors"], "tight": False},
}
# Those with a kit that buys something.
DRAWN = [
    *(("tight", seed) for seed in (50_000, 50_001, 50_003, 50_004, 50_005, 50_006, 50_009)),
    *(("tight", seed) for seed in (50_010, 50_012, 50_013, *range(50_015, 50_019), 50_022)),
    *(("tight", seed) for seed in (50_024, 50_025, 50_028, 50_029)),
    *(("loose", seed) for seed in (50_280, *range(50_283, 50_287), 50_288)),
    *(("loose", seed) for seed in range(50_290, 50_299)),
    # Found by drawing many: thread listed at home where extras are weighed with the needs; and
    # thread as an extra, which may stay with any chart.
    *(("tight", seed) for seed in (60_013, 60_017, 60_082, 60_123)),
    *(("plain", seed) for seed in (70_056, 70_138, 70_882)),
    ("tight", 51_164),  # what the kit holds is beaten by another row
]
NEW_COLOUR = "#101010"
PLAIN = ("scissors", "case", "charm")  # categories that no rule but the common ones knows


@dataclass
class Case:
    """A kit picked from one catalogue and rechecked against another."""

    asked: dict[str, Any]
    saved: Saved
    same: Recheck
    catalogue: Catalogue
    found: Recheck
    text: str
    changes: list[tuple[str, ...]]


@pytest.fixture(scope="module")
def case_of(tmp_path_factory):
    """Save a drawn kit, and recheck it against its own and against a changed catalogue."""
    folder = tmp_path_factory.mktemp("shops")

    def case_of(switches, seed):
        text, asked = instance(seed, **SWITCHES[switches])
        brief = brief_of(asked)
        before = catalogue_of(folder, text, brief.currency)
        outcome = pick(before, brief)
        assert outcome.kit
        assert outcome.kit.lines
        saved = saved_of(json.loads(json.dumps(record_of(outcome))))
        text, changes = changed(random.Random(seed), text, saved)
        after = catalogue_of(folder, text, brief.currency)
        return Case(
            asked=without_vanished(asked, text),
            saved=saved,
            same=recheck(saved, before),
            catalogue=after,
            found=recheck(saved, after),
            text=text,
            changes=changes,
        )

    return cache(case_of)


@pytest.fixture(scope="module")
def verdict_of(case_of):
    """Give what the twin finds about a case."""
    return cache(lambda switches, seed: judged(case_of(switches, seed)))


# Run by default: kits that stand and that fall, by changes of every kind.
QUICK = [
    *(("tight", seed) for seed in (50_009, 50_012, 50_017, 50_028, 51_164, 60_013)),
    ("loose", 50_296),
]
over_cases = pytest.mark.parametrize(
    ("switches", "seed"),
    [
        pytest.param(
            switches,
            seed,
            id=f"{switches}-seed-{seed}",
            marks=[] if (switches, seed) in QUICK else pytest.mark.slow,
        )
        for switches, seed in DRAWN
    ],
)


def catalogue_of(folder: Path, text, currency):
    (folder / "shop.csv").write_text(text, encoding="utf-8", newline="")
    return read_catalogue(folder / "shop.csv", currency=currency)


@over_cases
def test_on_the_same_catalogue_a_kit_stands_and_is_still_the_best(switches, seed, case_of):
    case = case_of(switches, seed)
    same = case.same
    assert (same.stands, same.still_best, same.nearest) == (True, True, None)
    assert (same.changes, same.today) == ((), same.best.figures)
    assert case.saved.payable == same.today.payable


@over_cases
def test_what_is_told_is_what_was_changed_about_the_kit_s_lines(switches, seed, case_of):
    case = case_of(switches, seed)
    said = [(one.sku, one.what, one.before, one.now) for one in case.found.changes]
    assert said == case.changes


@over_cases
def test_a_kit_stands_where_the_twin_finds_its_lines_among_all_kits(
    switches, seed, case_of, verdict_of
):
    standing = verdict_of(switches, seed).standing
    assert case_of(switches, seed).found.stands == (standing is not None)


@over_cases
def test_what_a_standing_kit_comes_to_today_is_the_twin_s(switches, seed, case_of, verdict_of):
    """Other shades than those saved may be better by now, but cost the same."""
    case, verdict = case_of(switches, seed), verdict_of(switches, seed)
    if verdict.standing is None:
        assert not case.found.still_best
        return
    today = order_of(case.found.today, case.asked)
    as_before = not case.changes and NEW_COLOUR not in case.text
    assert today == verdict.standing or (not as_before and today > verdict.standing)
    assert case.found.today.payable in verdict.standing
    assert case.found.still_best == (today == verdict.best)


@over_cases
def test_the_nearest_kit_is_the_best_of_those_with_the_fewest_changes(
    switches, seed, case_of, verdict_of
):
    case, verdict = case_of(switches, seed), verdict_of(switches, seed)
    near = case.found.nearest
    if verdict.standing is not None or verdict.nearest is None:
        assert near is None
        assert (case.found.best is None) == (verdict.best is None)
    else:
        assert rank_of(near, case) == verdict.nearest


@over_cases
def test_the_best_kit_today_is_pick_s(switches, seed, case_of):
    case = case_of(switches, seed)
    brief = brief_of(case.asked)
    assert case.found.best == pick(case.catalogue, brief).kit
    assert case.found.proven
    assert case.found.brief.choose == brief.choose


def shown_by(case, verdict):
    """Name what a case shows."""
    shown = {change[1] for change in case.changes} or {"nothing changed"}
    if verdict.standing is not None:
        today = order_of(case.found.today, case.asked)
        shown |= {"stands", "still the best" if today == verdict.best else "beaten"}
        shown |= {"as before"} if today == verdict.standing else set()
    elif verdict.nearest is None:
        shown |= {"falls", "no kit left"}
    else:
        shown |= {"falls", "one change" if verdict.nearest[0] == 1 else "several changes"}
        shown |= {"nearest is not best"} if case.found.nearest != case.found.best else set()
    return shown


@pytest.mark.slow
def test_the_cases_show_every_change_and_every_end(case_of, verdict_of):
    shown = Counter()
    for drawn in DRAWN:
        shown.update(shown_by(case_of(*drawn), verdict_of(*drawn)))
    changes = ("vanished", "price", "quality", "stock", "nothing changed")
    ends = ("no kit left", "one change", "several changes", "nearest is not best")
    standing = ("stands", "falls", "as before", "still the best")
    assert min(shown[change] for change in changes) >= 5, shown
    assert min(shown[end] for end in ends) >= 3, shown
    assert min(shown[end] for end in standing) > 10, shown
    assert min(shown["category"], shown["beaten"]) >= 1, shown


class Spot(NamedTuple):
    rng: random.Random
    rows: list[dict[str, str]]
    row: dict[str, str]
    currency: str
    units: int


def changed(rng, text, saved):
    """Change a few rows, those of the kit mostly; return the text and what is to be told of it."""
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    units = {line.sku: line.units for line in saved.lines}
    told = {}
    for _ in range(rng.choice([1, 1, 2, 3])):
        of_kit = [row for row in rows if row["sku"] in units.keys() - told.keys()]
        row = rng.choice(of_kit if of_kit and rng.random() < 0.85 else rows)
        sku = row["sku"]
        change = rng.choice([price, price, quality, stock, stock, gone, gone, category, craft])
        only = [other["category"] for other in rows].count(row["category"]) == 1
        # A category that no row has any more would be bad input.
        if sku in told or (only and change in (gone, category)):
            continue
        what = change(Spot(rng, rows, row, saved.brief.currency, units.get(sku, 1)))
        # What is owned is free, and not taken from stock.
        free = sku in saved.brief.choose.own and change in (price, stock)
        told[sku] = None if free else what
    order = [line.sku for line in saved.lines]
    return to_csv(rows), [(sku, *told[sku]) for sku in order if told.get(sku)]


def price(spot):
    before, now = spot.row["price"], int(spot.row["price"].replace(".", ""))
    now = spot.rng.choice([now + 1, now * 2 + 5, now * 3 // 4])
    spot.row["price"] = money(now, spot.currency)
    return ("price", before, spot.row["price"]) if spot.row["price"] != before else None


def quality(spot):
    before = spot.row["quality"]
    spot.row["quality"] = spot.rng.choice([q for q in ("99", "70.25", "1") if q != before])
    return "quality", before, spot.row["quality"]


def stock(spot):
    left = spot.rng.choice([0, max(0, spot.units - 1), spot.units])
    spot.row["stock"] = str(left)
    return ("stock", str(spot.units), str(left)) if left < spot.units else None


def gone(spot):
    spot.rows.remove(spot.row)
    return "vanished", spot.row["name"], ""


def category(spot):
    before = spot.row["category"]
    if before not in PLAIN:
        return gone(spot)
    spot.row["category"] = spot.rng.choice([name for name in PLAIN if name != before])
    return "category", before, spot.row["category"]


def craft(spot):
    """Change what only a rule of the craft looks at: that is no change of a line."""
    row, either = spot.row, spot.rng.choice
    if row["category"] == "needle":
        row["needle_sizes"] = either(["22", "24", "28"])
    elif row["category"] == "hoop":
        row |= {"diameter_cm": either(["10", "14", "30"]), "diameter_in": ""}
    elif row["category"] == "thread":
        row["colours"] = ";".join([*row["colours"].split(";")[1:], NEW_COLOUR])
    elif row["category"] == "fabric":
        row |= {"width_cm": either(["12", "25.4", "80"]), "width_in": ""}
        row |= {"height_cm": "40", "height_in": ""}


def without_vanished(asked, text):
    """Ask without what was kept or owned and is there no more."""
    there = {row["sku"] for row in csv.DictReader(io.StringIO(text, newline=""))}
    keep, own = ([s for s in asked["choose"].get(k, []) if s in there] for k in ("keep", "own"))
    return asked | {"choose": asked["choose"] | {"keep": keep, "own": own}}


@dataclass
class Verdict:
    """The figures of the saved lines among all kits, the rank of the nearest, the best figures."""

    standing: tuple[Any, ...] | None = None
    nearest: tuple[Any, ...] | None = None
    best: tuple[Any, ...] | None = None


def judged(case):
    """Look through all kits; a line of another category now is another line."""
    saved, found = sorted((line.sku, line.units) for line in case.saved.lines), Verdict()
    held = {sku for sku, _ in saved}
    moved = any(what == "category" for _, what, _, _ in case.changes)
    for figures, lines, extras in every_kit(case.text, case.asked):
        lines = sorted(lines)
        changes = len(held - {sku for sku, _ in lines}) + len(extras - held)
        rank = (changes, *figures, lines)
        found.nearest = min(found.nearest or rank, rank)
        found.best = min(found.best or figures, figures)
        if lines == saved and not moved and shades_are_there(case):
            found.standing = min(found.standing or figures, figures)
    return found


def every_kit(text, asked):
    """Give the figures (less is better), the lines and the extras of every kit under the cap."""
    till, table = Till(asked), asked["extras"]
    share, together = exact(table.get("weight", "0.25")), table.get("spend") == "together"
    receipt = cache(till.receipt)
    for needs, bundles, _ in kits(read(text, asked), asked):
        for bundle in bundles:
            paid = receipt(needs.goods + bundle.goods).payable
            if paid > till.cap:
                continue
            figures = (-needs.points, -bundle.points, paid)
            if together:
                figures = (-needs.points - share * bundle.points, paid, -needs.points)
            yield figures, needs.lines + bundle.lines, {sku for sku, _ in bundle.lines}


def shades_are_there(case):
    rows = {row.sku: Counter(row.parts("colours")) for row in read(case.text, case.asked)}
    given = Counter((shade.sku, shade.thread_colour) for shade in case.saved.shades if shade.sku)
    return all(number <= rows[sku][colour] for (sku, colour), number in given.items())


def order_of(figures, asked):
    tables = [asked["needs"].get(need, {}) for need in asked["holds"]]
    bought = [table for table in tables if isinstance(table.get("have", []), list)]
    points = -figures.quality * sum(exact(table.get("weight", 1)) for table in bought)
    if figures.together is not None:
        return -figures.together, figures.payable, points
    return points, -figures.extras, figures.payable


def rank_of(kit, case):
    held, taken = {line.sku for line in case.saved.lines}, {line.sku for line in kit.lines}
    extras = {line.sku for line in kit.lines if line.role == "extra"}
    changes = len(held - taken) + len(extras - held)
    lines = sorted((line.sku, line.units) for line in kit.lines)
    return (changes, *order_of(kit.figures, case.asked), lines)
