"""A saved kit is judged against a changed catalogue as the naive twin, which tries every kit."""

import csv
import io
import json
import random
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from instances import instance
from instances.text import EXPONENT, money, to_csv
from naive.goods import read
from naive.kits import kits
from naive.numbers import exact
from naive.till import Till

from kitsolver import Recheck, Saved, brief_of, pick, read_catalogue, recheck, record_of
from kitsolver.explain.recheck.saved import saved_of

PLAIN = ("scissors", "case", "charm")  # categories that no rule but the common ones knows


@dataclass
class Case:
    """A kit picked from one catalogue and rechecked against another."""

    asked: dict[str, Any]
    saved: Saved
    catalogue: Any
    found: Recheck
    text: str
    told: list[tuple[str, ...]]

    @property
    def lines(self):
        return sorted((line.sku, line.units) for line in self.saved.lines)


def catalogue_of(tmp_path, text, currency):
    shop = tmp_path / "shop.csv"
    shop.write_text(text, encoding="utf-8", newline="")
    return read_catalogue(shop, currency=currency)


def saved_kit(tmp_path, text, asked):
    """Pick a kit, and read back the JSON of its record; None if there is none."""
    brief = brief_of(asked)
    outcome = pick(catalogue_of(tmp_path, text, brief.currency), brief)
    if outcome.kit is None or not outcome.kit.lines:
        return None
    return saved_of(json.loads(json.dumps(record_of(outcome))))


@pytest.fixture
def case(tmp_path):
    """Draw a kit and recheck it where the catalogue has changed; None if there is no kit."""

    def draw(seed, **switches):
        text, asked = instance(seed, **switches)
        saved = saved_kit(tmp_path, text, asked)
        if saved is None:
            return None
        text, told = changed(random.Random(seed), text, saved)
        catalogue = catalogue_of(tmp_path, text, saved.brief.currency)
        there = without_vanished(asked, text)
        return Case(there, saved, catalogue, recheck(saved, catalogue), text, told)

    return draw


# --- a catalogue that changes -------------------------------------------------------------------


def changed(rng, text, saved):
    """Change a few rows, those of the kit mostly; return the text and what is to be told of it."""
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    held = {line.sku: line for line in saved.lines}
    own = saved.brief.choose.own
    told = {}
    number = min(rng.choice([1, 1, 2, 3]), len(rows))
    for _ in range(number):
        of_kit = [row for row in rows if row["sku"] in held and row["sku"] not in told]
        row = rng.choice(of_kit if of_kit and rng.random() < 0.85 else rows)
        others = Counter(row["category"] for row in rows)[row["category"]] > 1
        change = rng.choice([price, price, quality, stock, stock, gone, gone, category, craft])
        if change in (gone, category) and not others:
            continue  # A category that no row has any more would be bad input.
        if row["sku"] in told:
            continue
        line = held.get(row["sku"])
        what = change(rng, rows, row, saved.brief.currency, line)
        told[row["sku"]] = what if line else None
        if what and what[0] in ("price", "stock") and row["sku"] in own:
            told[row["sku"]] = None
    order = [line.sku for line in saved.lines]
    return to_csv(rows), [(sku, *told[sku]) for sku in order if told.get(sku)]


def price(rng, rows, row, currency, line):
    before, units = row["price"], int(Decimal(row["price"]).scaleb(EXPONENT[currency]))
    row["price"] = money(rng.choice([units + 1, units * 2 + 5, units * 3 // 4 + 3]), currency)
    return ("price", before, row["price"]) if row["price"] != before else None


def quality(rng, rows, row, currency, line):
    before = row["quality"]
    row["quality"] = rng.choice([q for q in ("99", "70.25", "33.5", "1") if q != before])
    return "quality", before, row["quality"]


def stock(rng, rows, row, currency, line):
    """Leave none, or just too few, or just enough."""
    units = line.units if line else 1
    row["stock"] = str(rng.choice([0, max(0, units - 1), units]))
    return ("stock", str(units), row["stock"]) if int(row["stock"]) < units else None


def gone(rng, rows, row, currency, line):
    rows.remove(row)
    return "vanished", row["name"], ""


def category(rng, rows, row, currency, line):
    before = row["category"]
    if before not in PLAIN:
        return gone(rng, rows, row, currency, line)
    row["category"] = rng.choice([name for name in PLAIN if name != before])
    return "category", before, row["category"]


def craft(rng, rows, row, currency, line):
    """Change what only a rule of the craft looks at: that is no change of a line."""
    if row["category"] == "needle":
        row["needle_sizes"] = rng.choice(["22", "24", "28"])
    elif row["category"] == "hoop":
        row["diameter_cm"], row["diameter_in"] = rng.choice(["10", "14", "30"]), ""
    elif row["category"] == "thread":
        colours = row["colours"].split(";")
        colours[rng.randrange(len(colours))] = "#101010"
        row["colours"] = ";".join(colours)
    elif row["category"] == "fabric":
        row["width_cm"], row["width_in"] = rng.choice(["12", "25.4", "80"]), ""
        row["height_cm"], row["height_in"] = rng.choice(["25.4", "40", "80"]), ""


def without_vanished(asked, text):
    """Ask without what was kept or owned and is there no more."""
    there = {row["sku"] for row in csv.DictReader(io.StringIO(text, newline=""))}
    chosen = dict(asked["choose"])
    for name in {"keep", "own"} & set(chosen):
        chosen[name] = [sku for sku in chosen[name] if sku in there]
    return asked | {"choose": chosen}


# --- what the naive twin says of it -------------------------------------------------------------


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


def judged(case):
    """Tell whether the saved kit is one of all kits, and what the nearest of these is.

    What is of another category now is another line: it makes no kit that was saved stand.
    """
    held, lines, stands, nearest = {sku for sku, _ in case.lines}, case.lines, False, None
    for figures, its_lines, extras in every_kit(case.text, case.asked):
        changes = len(held - {sku for sku, _ in its_lines}) + len(extras - held)
        if nearest is None or (changes, *figures) <= nearest[:-1]:
            rank = (changes, *figures, sorted(its_lines))
            nearest = rank if nearest is None else min(nearest, rank)
        stands = stands or sorted(its_lines) == lines
    moved = any(what == "category" for _, what, _, _ in case.told)
    return stands and not moved and shades_are_there(case), nearest


def shades_are_there(case):
    """Tell whether every saved shade is still a colour of its row."""
    rows = {row.sku: Counter(row.parts("colours")) for row in read(case.text, case.asked)}
    given = Counter((shade.sku, shade.thread_colour) for shade in case.saved.shades if shade.sku)
    return all(number <= rows[sku][colour] for (sku, colour), number in given.items())


def rank_of(kit, case):
    """Rank a kit as the twin does."""
    held, figures = {sku for sku, _ in case.lines}, kit.figures
    taken = {line.sku for line in kit.lines}
    extras = {line.sku for line in kit.lines if line.role == "extra"}
    changes = len(held - taken) + len(extras - held)
    weights = sum(
        exact(case.asked["needs"].get(need, {}).get("weight", 1))
        for need in case.asked["holds"]
        if not case.asked["needs"].get(need, {}).get("have")
        or isinstance(case.asked["needs"][need]["have"], list)
    )
    points = -figures.quality * weights
    order = (points, -figures.extras, figures.payable)
    if figures.together is not None:
        order = (-figures.together, figures.payable, points)
    return (changes, *order, sorted((line.sku, line.units) for line in kit.lines))
