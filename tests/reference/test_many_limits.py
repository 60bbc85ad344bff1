"""Multiple-choice knapsacks of several resources with published optima, asked of the command line.

The instances I01, I03 and I05 of Khan, Li, Manning & Akbar (2002), Studia Informatica Universalis
2(1):161-182, in ``mmkp/``: of each group one item is to be taken, and no resource may be used
beyond its limit. Each group is a need, each resource a limit, and nothing costs anything. Values
are scaled so that they stay within 100, exactly to two decimals.
"""

import csv
import json
import os
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

# To prove that no equally good choice comes first in the tie-break takes most of it.
TAKES_A_MINUTE = pytest.mark.skipif(
    "KITSOLVER_LONG" not in os.environ, reason="takes a minute: set KITSOLVER_LONG=1"
)
FILES = Path(__file__).parent / "mmkp"


def knapsack(name, scale, folder):
    """Write an instance as a catalogue and a brief; return the paths and the number of groups."""
    with (FILES / f"{name}.csv").open(encoding="utf-8") as file:
        limits, *items = csv.DictReader(file)
    resources = [column for column in limits if column.startswith("r")]
    shop, brief = folder / "shop.csv", folder / "brief.toml"
    with shop.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["sku", "name", "category", "price", "quality", *resources])
        for number, item in enumerate(items, 1):
            group, worth = f"group {item['group']}", Decimal(item["value"]) * scale
            amounts = [item[resource] for resource in resources]
            writer.writerow([f"i{number}", f"Item {number}", group, 0, worth, *amounts])
    groups = list(dict.fromkeys(f"group {item['group']}" for item in items))
    lines = ['currency = "EUR"', "cap = 0", f"holds = {json.dumps(groups)}"]
    for resource in resources:
        lines += ["[[limits]]", f'column = "{resource}"', f"most = {limits[resource]}"]
    brief.write_text("\n".join(lines), encoding="utf-8")
    return shop, brief, len(groups)


@pytest.mark.parametrize(
    ("name", "scale", "optimum"),
    [
        ("I01", Decimal(1), "173"),
        pytest.param("I03", Decimal("0.5"), "1602", marks=TAKES_A_MINUTE),
        pytest.param("I05", Decimal("0.4"), "3905.7", marks=pytest.mark.slow),
    ],
)
def test_a_knapsack_of_several_limits_has_its_published_optimum(name, scale, optimum, tmp_path):
    shop, brief, groups = knapsack(name, scale, tmp_path)
    done = CliRunner().invoke(app, ["pick", str(shop), str(brief), "--json", "-"])
    assert done.exit_code == 0, done.output
    kit = json.loads(done.stdout)
    assert kit["status"] == "best"
    # Quality is the mean of the groups.
    worths = [Fraction(str(line["quality"])) for line in kit["lines"]]
    assert sum(worths) / Fraction(scale) == Fraction(optimum)
    assert len(worths) == groups
    checked = {check["rule"]: check["holds"] for check in kit["checks"]}
    assert [rule for rule in checked if rule.startswith("limits: r")]
    assert all(holds is not False for holds in checked.values())
