"""A second model, put straight to scipy's solver, of catalogues too large to try every kit.

It knows one head, goods that nobody delivers, and extras from what is left over. It shares nothing
with ``kitsolver``: sizes, skeins and differences are the naive twin's, and the model is written
from the specification alone, in its plainest form.
"""

import csv
import io
from fractions import Fraction
from math import lcm

import numpy as np
import pytest
from instances import instance, to_toml
from instances.text import to_csv
from naive.cloth import cloth, cut_size, holds_hoop, length, suits
from naive.colour import difference
from naive.goods import meets, read
from naive.kits import design
from naive.numbers import exact
from naive.thread import places_of, score, skeins
from naive.till import Till
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from kitsolver import Status, pick, read_brief, read_catalogue

OFF = ["delivery", "own", "keep", "leave_out", "have"]
HOLDS = [
    ["chart", "fabric", "thread", "needle", "scissors"],
    ["chart", "fabric", "thread", "needle", "scissors", "hoop"],
    ["chart", "fabric", "thread", "case"],
]
SHOPS = 4  # instances whose rows make up one catalogue


def drawn(seed):
    """Draw a brief, and the rows of several shops as one catalogue."""
    switches = dict.fromkeys(OFF, False)
    asked = {"heads": 1, "currency": "EUR", "spend": "leftover", "holds": HOLDS[seed % len(HOLDS)]}
    rows, brief = [], None
    for number in range(SHOPS):
        text, own_brief = instance(SHOPS * seed + number, **asked, **switches)
        brief = brief or own_brief
        rows += [
            row | {"sku": f"{number}-{row['sku']}"} for row in csv.DictReader(io.StringIO(text))
        ]
    return to_csv(rows), brief


class Model:
    """Whole variables, linear constraints, and one figure after the other to make greatest."""

    def __init__(self):
        self.upper, self.cells, self.low, self.high = [], [], [], []

    def whole(self, most=1):
        self.upper.append(most)
        return len(self.upper) - 1

    def hold(self, terms, low=-np.inf, high=np.inf):
        """Hold the sum of (coefficient, variable) between two bounds."""
        row = len(self.low)
        self.cells += [(float(part), row, variable) for part, variable in terms]
        self.low.append(low)
        self.high.append(high)

    def greatest(self, terms):
        """Give the greatest value of a sum, or None if nothing holds; then keep it so."""
        # In whole parts, so that what the solver rounds is far less than a step of the figure.
        scale = lcm(*(Fraction(part).denominator for part, _ in terms))
        aim = np.zeros(len(self.upper))
        for part, variable in terms:
            aim[variable] += float(part * scale)
        parts, at, variables = zip(*self.cells, strict=True)
        matrix = coo_array((parts, (at, variables)), shape=(len(self.low), len(self.upper)))
        done = milp(
            -aim,
            integrality=np.ones(len(self.upper)),
            bounds=Bounds(0, self.upper),
            constraints=LinearConstraint(matrix.tocsr(), self.low, self.high),
            options={"mip_rel_gap": 0},
        )
        if done.status == 2:  # infeasible
            return None
        assert done.status == 0, done.message
        most = round(-done.fun)
        self.hold([(part * scale, variable) for part, variable in terms], low=most - 0.5)
        return Fraction(most, scale)


def most_goods(till):
    """Give the greatest goods total within the cap; without delivery there is no gap."""
    low, high = 0, 4 * till.cap + 10
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if till.receipt(middle).payable <= till.cap else (low, middle)
    return low


def by_milp(text, brief):
    """Give (quality, extras, payable) of the best kit, or None."""
    rows, till, fit = read(text, brief), Till(brief), brief["fit"]
    rows = [row for row in rows if row.stock != 0]
    needs = {category: brief["needs"][category] for category in brief["holds"]}
    model = Model()
    goods, points, extra_points = [], [], []
    weights = {category: exact(need.get("weight", 1)) for category, need in needs.items()}
    total = sum(weights.values()) or 1

    # One row a need, thread apart; at most one row a category of extras.
    shelf = {}
    for category, need in needs.items():
        if category == "thread":
            continue
        usable = [row for row in rows if row.category == category and meets(row, need)]
        shelf[category] = [(row, model.whole()) for row in usable]
        model.hold([(1, taken) for _, taken in shelf[category]], low=1, high=1)
        points += [
            (weights[category] * row.quality / total, taken) for row, taken in shelf[category]
        ]
    named = brief["extras"].get("categories", ["hoop", "scissors", "case", "charm"])
    for category in sorted(set(named) - set(needs)):
        shelf[category] = [(row, model.whole()) for row in rows if row.category == category]
        model.hold([(1, taken) for _, taken in shelf[category]], high=1)
        extra_points += [(row.quality, taken) for row, taken in shelf[category]]
    if "most" in brief["extras"]:
        model.hold([(1, taken) for _, taken in extra_points], high=brief["extras"]["most"])
    for taken_rows in shelf.values():
        goods += [(row.price, taken) for row, taken in taken_rows]

    # A fabric shuts out the charts, needles and hoops that do not go with it.
    by_count = {}
    for row, taken in shelf["fabric"]:
        sheet = cloth(row.cells, fit)
        by_count.setdefault(sheet.count, []).append(taken)
        shut_out = [
            other
            for chart, other in shelf["chart"]
            if not within(cut_size(design(chart.cells).stitches, sheet.count, fit), sheet.size)
        ]
        shut_out += [
            other
            for needle, other in shelf.get("needle", [])
            if not suits(needle.parts("needle_sizes"), sheet.count, fit)
        ]
        shut_out += [
            other
            for hoop, other in shelf.get("hoop", [])
            if not holds_hoop(sheet.size, length(hoop.cells, "diameter"))
        ]
        for other in shut_out:
            model.hold([(1, taken), (1, other)], high=1)

    # Each colour of the chart that is taken gets a place of its own.
    usable = [row for row in rows if row.category == "thread" and meets(row, needs["thread"])]
    bought = {row: model.whole(1000 if row.stock is None else row.stock) for row in usable}
    goods += [(row.price, number) for row, number in bought.items()]
    tolerance = exact(brief["shades"]["tolerance"])
    given = {}
    for chart, taken in shelf["chart"]:
        colours = design(chart.cells).colours
        for colour, stitches in colours:
            ways = []
            for place in places_of(usable, []):
                if difference(colour, place.colour) > tolerance:
                    continue
                way = model.whole()
                ways.append((1, way))
                given.setdefault(place.key, []).append((1, way))
                worth = score(place, colour, brief["shades"]) / len(colours)
                points.append((weights["thread"] * worth / total, way))
                for effective, fabrics in by_count.items():
                    # bought >= number, where both this way and such a fabric are taken
                    number = skeins(stitches, effective, 1, place.skein, fit)
                    both = [(number, way), *((number, fabric) for fabric in fabrics)]
                    model.hold([*both, (-1, bought[place.row])], high=number)
            model.hold([*ways, (-1, taken)], low=0, high=0)
    for ways in given.values():
        model.hold(ways, high=1)

    model.hold(goods, high=most_goods(till))
    quality = model.greatest(points)
    if quality is None:
        return None
    extras = model.greatest(extra_points)
    least = model.greatest([(-price, number) for price, number in goods])
    return quality, extras, till.receipt(-least).payable


def within(cut, sheet):
    return all(a <= b for a, b in zip(sorted(cut), sorted(sheet), strict=True))


@pytest.mark.parametrize("seed", range(60))
def test_figures_of_the_best_kit_equal_those_of_a_second_model(seed, tmp_path):
    text, brief = drawn(seed)
    shop, asked = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    asked.write_text(to_toml(brief), encoding="utf-8")
    outcome = pick(read_catalogue(shop, currency="EUR"), read_brief(asked))
    expected = by_milp(text, brief)
    if expected is None:
        assert outcome.status is Status.NO_KIT
        return
    assert outcome.status is Status.BEST
    figures = outcome.kit.figures
    assert (figures.quality, figures.extras, figures.payable) == expected
