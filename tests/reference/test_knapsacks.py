"""Knapsacks with known optima, asked of the command line as kits."""

import json
from decimal import Decimal

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

WAYS = [
    ("--engine", engine, "--solver", solver)
    for engine in ("bychart", "oneshot")
    for solver in ("highs", "scip", "cp-sat")
]
by_every_way = pytest.mark.parametrize("way", WAYS, ids=" ".join)

# J. Burkardt's collection of 0-1 knapsacks (Florida State University), which has them from Kreher
# & Stinson (1999) and Martello & Toth (1990): capacity, weights, profits, optimum.
KNAPSACKS = {
    "p01": (
        165,
        [23, 31, 29, 44, 53, 38, 63, 85, 89, 82],
        [92, 57, 49, 68, 60, 43, 67, 84, 87, 72],
        309,
    ),
    "p02": (26, [12, 7, 11, 8, 9], [24, 13, 23, 15, 16], 51),
    "p05": (104, [25, 35, 45, 5, 25, 3, 2, 2], [350, 400, 450, 20, 70, 8, 5, 5], 900),
    "p07": (
        750,
        [70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120],
        [135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240],
        1458,
    ),
}

# Instance I01 of Khan, Li, Manning & Akbar (2002), Studia Informatica Universalis 2(1):161-182,
# reduced to its first resource; the optimum of the reduction was computed by exact dynamic
# programming, not published. One (profit, weight) of each group is to be taken.
GROUPS = [
    [(7, 1), (17, 1), (25, 4), (35, 4), (36, 6)],
    [(9, 0), (10, 0), (10, 1), (39, 9), (44, 8)],
    [(15, 2), (19, 2), (20, 3), (44, 6), (50, 9)],
    [(5, 0), (25, 2), (32, 5), (37, 6), (37, 7)],
    [(24, 4), (30, 4), (32, 5), (43, 5), (44, 9)],
]
GROUPS_CAPACITY, GROUPS_OPTIMUM = 25, 191


def answer(tmp_path, way, cap, holds, objects):
    """Pick from objects (category, profit, weight); a tenth of the profit is the quality."""
    # Weights are whole and so are the units of JPY (ISO 4217 exponent 0).
    rows = [
        f"o{number},Object {number},{category},{weight},{Decimal(profit) / 10}"
        for number, (category, profit, weight) in enumerate(objects, 1)
    ]
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text("\n".join(["sku,name,category,price,quality", *rows]), encoding="utf-8")
    brief.write_text(f'currency = "JPY"\ncap = {cap}\nholds = {holds}\n', encoding="utf-8")
    done = CliRunner().invoke(app, ["pick", str(shop), str(brief), "--json", "-", *way])
    assert done.exit_code == 0, done.stderr
    record = json.loads(done.stdout)
    taken = [objects[int(line["sku"][1:]) - 1] for line in record["lines"]]
    # The optimum is reached by what the kit holds, not only by what it says of itself.
    assert sum(weight for *_, weight in taken) == int(record["payable"]) <= cap
    assert record["status"] == "best"
    assert record["bound"]["extras_quality"] == record["extras_quality"]
    assert record["bound"]["quality"] == record["quality"]
    return record, taken


@by_every_way
@pytest.mark.parametrize("name", KNAPSACKS)
def test_extras_alone_are_a_knapsack(tmp_path, way, name):
    capacity, weights, profits, optimum = KNAPSACKS[name]
    objects = [
        (f"kind{number:02}", profit, weight)
        for number, (profit, weight) in enumerate(zip(profits, weights, strict=True))
    ]
    record, taken = answer(tmp_path, way, capacity, [], objects)
    assert sum(profit for _, profit, _ in taken) == optimum
    assert record["extras_quality"] == optimum / 10
    # Nothing needed is bought (specification, section 5).
    assert record["quality"] == 0


@by_every_way
def test_needs_alone_are_a_multiple_choice_knapsack(tmp_path, way):
    objects = [
        (f"g{number}", profit, weight)
        for number, group in enumerate(GROUPS, 1)
        for profit, weight in group
    ]
    needs = [f"g{number}" for number in range(1, len(GROUPS) + 1)]
    record, taken = answer(tmp_path, way, GROUPS_CAPACITY, needs, objects)
    assert [category for category, *_ in taken] == needs
    assert sum(profit for _, profit, _ in taken) == GROUPS_OPTIMUM
    # Weights are equal, so figure 1 is the mean over the five needs.
    assert record["quality"] == GROUPS_OPTIMUM / (10 * len(GROUPS))
