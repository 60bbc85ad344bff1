"""What is asked beyond the best kit, each answer found by looking through all kits.

Each function returns what is wrong, empty if nothing is, and None if it cannot be asked.
"""

import csv
import io
import json
from itertools import pairwise

from enumeration import Judge
from instances.text import money, to_csv

from kitsolver import (
    ladder,
    make_range,
    others,
    read_catalogue,
    recheck,
    record_of,
    why_not,
    with_settings,
)
from kitsolver.brief.range import Range, RangeKit
from kitsolver.explain.recheck.at_home import with_home_of
from kitsolver.explain.recheck.saved import saved_of

MOST_KITS = 20_000  # to look through
RUNGS = 3  # of a ladder that are looked at


def told(kit):
    """Give the figures and lines of kitsolver's kit."""
    if kit is None:
        return None
    figures = kit.figures
    lines = sorted((line.sku, line.units) for line in kit.lines)
    return figures.quality, figures.extras, figures.payable, lines


def judged(kit):
    """Give the same of the judge's."""
    if kit is None:
        return None
    lines = [(sku, units) for sku, units, _ in kit["lines"]]
    return kit["quality"], kit["extras"], kit["payable"], lines


def the_ladder(rng, drawn, catalogue, brief, *_):
    """Hold a few rungs against the best kits at their caps and one unit below."""
    found, currency = ladder(catalogue, brief), drawn.asked["currency"]
    steps = [*pairwise([None, *found.rungs])]
    for below, rung in rng.sample(steps, min(RUNGS, len(steps))):
        at = judged(drawn.judge.best(cap=money(rung.cap, currency)))
        if at != told(rung.kit):
            return f"at {rung.cap} {at} not {told(rung.kit)}"
        under = rung.cap and judged(drawn.judge.best(cap=money(rung.cap - 1, currency)))
        if (under and under[:2]) != (below and told(below.kit)[:2]) and rung.cap:
            return f"below {rung.cap} {under} not {below and told(below.kit)}"
    top = judged(drawn.judge.best(cap=money(found.high, currency)))
    last = told(found.rungs[-1].kit)
    return "" if top[:2] == last[:2] else f"at the top {top} not {last}"


def the_others(_, drawn, catalogue, brief, *__):
    """Find the kits that differ enough, one after the other, among all kits."""
    judge = drawn.judge
    kits = judge.every(MOST_KITS)
    if kits is None:
        return None
    matched = all(colours is not None for _, _, colours in judge.charts())
    counted = [need for need in judge.bought if need != "thread" or not matched]
    kits.sort(key=lambda kit: (kit[0], sorted((row.sku, units) for row, units in kit[2]), kit[3]))

    def chosen(kit):
        return {row.category: row.sku for row, _ in kit[1] if row.category in counted}

    kept = []
    for kit in kits:
        mine = chosen(kit)
        for before in kept:
            other = chosen(before)
            away = {need for need in other if mine.get(need) != other[need]}
            if "chart" not in away and len(away) < 2:
                break
        else:
            kept.append(kit)
        if len(kept) == 3:
            break
    expected = [shown(kit, judge) for kit in kept]
    found = [told(kit) for kit in others(catalogue, brief, 2).kits]
    return "" if found == expected else f"{expected} not {found}"


def shown(kit, judge):
    """Give the figures and lines of one kit of all."""
    figures, needs, lines, _ = kit
    together = judge.spend == "together"
    points = -figures[2] if together else -figures[0]
    payable = figures[1] if together else figures[2]
    extras = sum(row.quality for row, _ in lines[len(needs) :])
    listed = sorted((row.sku, units) for row, units in lines)
    return points / judge.total if judge.total else 0, extras, payable, listed


def the_recheck(rng, drawn, _, __, outcome, folder):
    """Change the shop, and look whether the saved kit is still among all kits, and what is best."""
    saved = saved_of(json.loads(json.dumps(record_of(outcome))))
    rows = list(csv.DictReader(io.StringIO(drawn.text, newline="")))
    held = {line.sku for line in outcome.kit.lines}
    listed = {line.split(",")[0] for line in drawn.home.splitlines()}
    for _ in range(rng.choice([1, 1, 2])):
        near = [row for row in rows if row["sku"] in held - listed] or rows
        row = rng.choice(near if rng.random() < 0.8 else rows)
        change = rng.choice(["price", "quality", "stock"])
        if change == "price":
            now = int(row["price"].replace(".", ""))
            row["price"] = money(20 * rng.randint(0, now // 10 + 1), drawn.asked["currency"])
        elif change == "quality":
            row["quality"] = rng.choice(["99", "70.25", "1"])
        elif row.get("download") != "yes":
            row["stock"] = str(rng.choice([0, 1, 2, 4]))
    text = to_csv(rows)
    judge = Judge(text, drawn.asked, drawn.home)
    kits = judge.every(MOST_KITS)
    if kits is None:
        return None
    path = folder / "changed.csv"
    path.write_text(text, encoding="utf-8", newline="")
    catalogue = read_catalogue(path, currency=drawn.asked["currency"])
    home = str(folder / "home.csv") if drawn.home else None
    saved, catalogue, _ = with_home_of(saved, catalogue, home=home)
    found = recheck(saved, catalogue)
    best = judged(judge.best())
    if told(found.best) != best:
        return f"best {best} not {told(found.best)}"
    before = sorted((line.sku, line.units) for line in saved.lines)
    standing = any(sorted((r.sku, n) for r, n in lines) == before for _, _, lines, _ in kits)
    if standing != found.stands:
        return f"stands: {standing} not {found.stands}"
    if standing or not kits:
        return ""
    nearest = min(
        (changes(kit, held), kit[0], sorted((row.sku, units) for row, units in kit[2]))
        for kit in kits
    )
    if found.nearest is None:
        return f"nearest {nearest} not found"
    lines = told(found.nearest)[3]
    return "" if lines == nearest[2] else f"nearest {nearest} not {lines}"


def changes(kit, held):
    """Count the lines that go, and the extras that come."""
    _, needs, lines, _ = kit
    extras = {row.sku for row, _ in lines[len(needs) :]}
    return len(held - {row.sku for row, _ in lines}) + len(extras - held)


def the_why(rng, drawn, catalogue, brief, outcome, _):
    """Look for the best kit with a row that is not in it, or without one that is."""
    held = [line.sku for line in outcome.kit.lines]
    choose = drawn.asked["choose"]
    free = [row.sku for row in drawn.judge.rows if row.sku not in choose.get("keep", [])]
    if not free:
        return None
    for sku in rng.sample(free, min(5, len(free))):
        key = "leave_out" if sku in held else "keep"
        forced = choose | {key: [*choose.get(key, []), sku]}
        if key == "leave_out":
            forced["own"] = [one for one in choose.get("own", []) if one != sku]
        expected = judged(Judge(drawn.text, drawn.asked | {"choose": forced}, drawn.home).best())
        # Why there is none takes many questions, so that it is asked of a few only.
        if expected is not None or rng.random() < 0.02:
            break
    else:
        return None
    found = why_not(catalogue, brief, sku)
    kit = found.without if sku in held else found.with_it
    return "" if told(kit) == expected else f"{key} {sku}: {expected} not {told(kit)}"


def the_range(rng, drawn, catalogue, brief, outcome, _):
    """Look through all pairs of kits that one stock can make."""
    judge = drawn.judge
    if drawn.home:
        return None
    first = judge.every(6_000)
    if first is None:
        return None
    in_order = judge.spend == "together" or rng.random() < 0.4
    distinct = tuple(rng.sample([*judge.holds, "case"], rng.choice([0, 1])))
    cap = money(outcome.kit.receipt.payable * rng.randint(70, 110) // 100, drawn.asked["currency"])
    other = {key: said for key, said in drawn.asked.items() if key != "cap_per_head"}
    second = Judge(drawn.text, other | {"cap": cap}).every(6_000)
    pair = best_pair(first, second, distinct, in_order=in_order)
    asked = Range(
        "range.toml",
        "",
        drawn.asked["currency"],
        in_order,
        distinct,
        (RangeKit("one", 1, brief), RangeKit("two", 1, with_settings(brief, cap=cap))),
    )
    found = [told(kit) for kit in make_range(catalogue, asked).outcome.kits]
    expected = [shown(kit, judge) for kit in pair or ()]
    return "" if found == expected else f"{in_order} {distinct} {cap}: {expected} not {found}"


def best_pair(first, second, distinct, *, in_order):
    """Give the two kits that are best together, or the second the best beside the best first."""

    def rank(kit):
        return kit[0], sorted((row.sku, units) for row, units in kit[2]), kit[3]

    first, second = sorted(first, key=rank), sorted(second, key=rank)
    found, order = None, ()
    for one in first[:1] if in_order else first:
        if found and second and one[0][0] + second[0][0][0] > order[0]:
            break
        for two in second:
            sums = tuple(a + b for a, b in zip(one[0], two[0], strict=True))
            if found and sums[0] > order[0]:
                break
            if not shareable(one, two, distinct):
                continue
            now = (*sums, rank(one)[1], rank(two)[1])
            if found is None or now < order:
                found, order = (one, two), now
            if in_order:
                break
    return found


def shareable(one, two, distinct):
    """Tell whether one stock makes both kits, and no row of some categories is in both.

    What a buyer owns is in both.
    """
    taken = {row.sku: units for row, units in one[2]}
    shared = [(row, units + taken[row.sku]) for row, units in two[2] if row.sku in taken]
    return all(
        row.there_are(units) and (row.owned or row.category not in distinct)
        for row, units in shared
    )


ASK = {
    "ladder": the_ladder,
    "others": the_others,
    "recheck": the_recheck,
    "why": the_why,
    "range": the_range,
}
