"""Instances for the campaign: shops that have nearly everything, each with several briefs."""

import csv
import io
import random
from collections import Counter
from decimal import Decimal
from typing import Any, NamedTuple

from enumeration import Judge
from instances import draw, further, own_rules
from instances.catalogue import catalogue
from instances.home import drawn_home
from instances.text import money, to_csv

BRIEFS = 6  # to a shop, so that it is read once for all of them
# Rows of a category, at most: small shops are judged quickly, and many of them find more than few.
MOST = {"chart": 2, "fabric": 3, "thread": 7, "needle": 2, "hoop": 2, "scissors": 2, "case": 2}
OPEN = 10**8  # a cap that never binds, in minor units
RULES = [*{feature.__name__: feature for feature in own_rules.FEATURES}.values()]
# Features that change the shop's rows as well as the brief.
SHELF = [feature for feature in further.FEATURES if feature not in (further.margin, further.spare)]
# How often a feature is drawn, so that every pair of them meets often enough.
OFTEN = {"rolls": 0.4, "outlines": 0.4, "kinds": 0.3, "taxed_apart": 0.3, "scores": 0.25}
OFTEN |= {"openings": 0.4, "downloaded": 0.3}
ALL = frozenset(["stock", "delivery", "discount", "tax", "own", "keep", "leave_out", "have"])


class Drawn(NamedTuple):
    """An instance: texts, the brief as TOML tables, and the judge, which read them already."""

    seed: int
    text: str
    asked: dict[str, Any]
    home: str
    judge: Judge


def shop(seed):
    """Draw the instances of one shop, `BRIEFS` of them."""
    rng = random.Random(f"campaign {seed}")
    base = {
        "title": f"Shop {seed}",
        "currency": rng.choice(["EUR", "EUR", "JPY", "KWD"]),
        "heads": 1,
        "holds": list(draw.DEFAULT_HOLDS),
        "fit": draw.fit(rng),
        "shades": {
            "mode": "charted",
            "tolerance": rng.choice(["6.0", 8, Decimal("10.5")]),
            "mismatch": rng.choice([5, "2.5", Decimal("7.25"), 0]),
        },
    }
    rows = few(catalogue(rng, base, ALL))
    for row in rows:
        row["weight_g"] = rng.choice(own_rules.WEIGHTS) if rng.random() < 0.93 else ""
        row["series"] = rng.choice(own_rules.SERIES) if rng.random() < 0.8 else ""
    for feature in SHELF:
        if rng.random() < OFTEN.get(feature.__name__, 0.2):
            feature(rng, rows, base)
    with_margin = rng.random() < 0.3
    if with_margin:
        further.margin(rng, rows, base)
        del base["shop"]
    text = to_csv(rows)
    for number in range(BRIEFS):
        own = BRIEFS * seed + number
        yield brief_over(random.Random(f"brief {own}"), own, rows, text, base, with_margin)


def few(rows):
    """Give the first rows of each category."""
    left = Counter(MOST)
    kept = []
    for row in rows:
        left[row["category"]] -= 1
        if left[row["category"]] >= 0 or row["category"] not in MOST:
            kept.append(row)
    return kept


def brief_over(rng, seed, rows, text, base, with_margin):
    """Draw a brief for a shop; one that no cap would do for is mostly drawn again."""
    while True:
        asked = plain_brief(rng, seed, rows, base)
        if with_margin and rng.random() < 0.7:
            trade = [row.get("trade_cost") for row in rows]
            further.margin(rng, rows, asked)
            for row, cost in zip(rows, trade, strict=True):
                row["trade_cost"] = cost or ""
        home = ""
        asked["choose"] = {}
        if rng.random() < 0.35:
            home = drawn_home(rng, csv_rows(text), set(), rng.choice([1, 3, 5, 8]))
            asked["home"] = {"from": "home.csv", "quality": rng.choice([50, "72.5", 90])}
        rules = [feature for feature in RULES if rng.random() < 0.18]
        keeps = rng.random() < 0.25
        lines = []
        if rules or keeps:
            skus = {row["sku"] for row in rows}
            taken = (Judge(text, asked, home).best() or {"lines": []})["lines"]
            lines = [(sku, units) for sku, units, _ in taken if sku in skus]
        listed = {line.split(",")[0] for line in home.splitlines()}
        asked["choose"] = chosen(rng, rows, lines if keeps else [], listed)
        out = asked["choose"].get("leave_out", [])
        lines = [line for line in lines if line[0] not in out]
        for feature in rules:
            feature(rng, rows, asked, lines)
        judge = Judge(text, asked, home)
        dearest = judge.best()
        if dearest is not None or rng.random() < 0.1:
            break
    if dearest is not None:
        lay_cap(rng, asked, judge, dearest)
    return Drawn(seed, text, asked, home, judge)


def csv_rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def plain_brief(rng, seed, rows, base):
    """Draw the needs, extras and till of a brief, and whose colours are free."""
    holds = draw.DEFAULT_HOLDS if rng.random() < 0.6 else rng.choice(draw.HOLDS)
    asked = {key: said for key, said in base.items() if key not in ("scores", "extras_conditions")}
    asked |= {"title": f"Instance {seed}", "heads": rng.choice([1, 1, 2, 3, 4]), "holds": [*holds]}
    if rng.random() < 0.2:
        further.spare(rng, rows, asked)
    asked["needs"] = {
        category: draw.need(rng, rows, category, {"conditions"}) for category in holds
    }
    for category, table in base.get("scores", {}).items():
        if category in holds:
            asked["needs"][category] |= table
    draw.put_at_home(rng, rows, asked)
    asked["extras"] = draw.extras(rng, holds, None)
    conditions = {
        category: table
        for category, table in base.get("extras_conditions", {}).items()
        if category not in holds
    }
    if conditions:
        asked["extras"]["conditions"] = conditions
    asked["till"] = draw.till(rng, base["currency"], ALL)
    asked["cap"] = money(OPEN, base["currency"])
    return asked


def chosen(rng, rows, lines, listed):
    """Draw what is owned, kept and left out; what is kept is mostly of the best kit."""
    skus, table = [row["sku"] for row in rows], {}
    if rng.random() < 0.35:
        table["own"] = sorted(set(rng.sample(skus, rng.choice([1, 2, 5]))) - listed)
    if lines:
        held, apart = [sku for sku, _ in lines], random.Random(f"kept {lines}")
        table["keep"] = [rng.choice(held)]
        if apart.random() < 0.4:
            table["keep"] = [apart.choice(skus)]
    if rng.random() < 0.2:
        spoken_for = {*table.get("own", []), *table.get("keep", [])}
        table["leave_out"] = [rng.choice(sorted(set(skus) - spoken_for))]
    return table


def lay_cap(rng, asked, judge, dearest):
    """Lay the cap, and where delivery gets free, so that the best kit is close to a boundary."""
    currency = asked["currency"]
    cap, till = dearest["payable"] * rng.randint(50, 104) // 100, {}
    if "delivery" in asked["till"] and rng.random() < 0.8:
        free_from = max(1, cap * rng.randint(70, 100) // 100)
        till = {"delivery_free_from": money(free_from, currency)}
        asked["till"] |= till
    while (kit := judge.best(cap=money(cap, currency), **till)) is None:
        if rng.random() < 0.05:
            break
        cap = cap * 6 // 5 + 1
    if kit is not None and rng.random() < 0.4:
        cap = max(0, kit["payable"] - rng.choice([0, 0, 0, 1]))
    if asked["heads"] > 1 and rng.random() < 0.3:
        del asked["cap"]
        asked["cap_per_head"] = money(cap // asked["heads"], currency)
    else:
        asked["cap"] = money(cap, currency)
