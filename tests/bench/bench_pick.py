"""Times picks on the demo: 200 random briefs with the chart fixed, and whole processes.

Run ``python tests/bench/bench_pick.py``. No test: these machines are noisy.
"""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kitsolver import Catalogue, brief_of, pick, read_catalogue

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


def random_briefs(catalogue: Catalogue, number: int, seed: int = 1) -> Iterator[dict[str, Any]]:
    """Draw briefs that fix a chart: heads, caps, tills, weights and ways to spend on extras."""
    draw = random.Random(seed)
    charts = list(catalogue.shelves["chart"]["sku"])
    for _ in range(number):
        heads = draw.choice([1, 1, 1, 2, 5, 12])
        brief: dict[str, Any] = {
            "currency": "EUR",
            "cap": f"{heads * draw.uniform(15, 60):.2f}",
            "heads": heads,
            "choose": {"keep": [draw.choice(charts)]},
            "till": {},
            "needs": {},
        }
        if draw.random() < 0.3:
            brief["till"]["discount_rate"] = "0.1"
        if draw.random() < 0.4:
            brief["till"] |= {"delivery": "3.90", "delivery_free_from": "35"}
        if draw.random() < 0.2:
            brief["till"]["tax_rate"] = "0.2"
        if draw.random() < 0.3:
            brief["extras"] = {"spend": "together", "weight": 0.25}
        for need in ("fabric", "thread", "needle", "scissors"):
            if draw.random() < 0.3:
                brief["needs"][need] = {"weight": draw.choice([2, 3, 0.5])}
        if draw.random() < 0.2:
            brief["needs"]["thread"] = {"shared_by": 2}
        yield brief


def fixed_chart(number: int = 200) -> tuple[list[float], int]:
    """Return the times of picks with the chart fixed, and how many of them found a kit."""
    catalogue = read_catalogue(SHOP, currency="EUR")
    times, kits = [], 0
    for table in random_briefs(catalogue, number):
        brief = brief_of(table)
        start = time.perf_counter()
        outcome = pick(catalogue, brief)
        times.append(time.perf_counter() - start)
        kits += outcome.kit is not None
    return times, kits


def seconds_of(command: list[str], runs: int = 7) -> float:
    """Return the median time of a whole process."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def whole_process() -> tuple[float, float]:
    """Return the times of a pick on the demo, and of importing pandas and MathOpt and reading."""
    script = f"import pandas, ortools.math_opt.python.mathopt; pandas.read_csv({str(SHOP)!r})"
    heavy = seconds_of([sys.executable, "-c", script])
    files = [str(SHOP), str(DEMO / "bundle.toml")]
    return seconds_of([sys.executable, "-m", "kitsolver", "pick", *files]), heavy


def main() -> None:
    """Print the figures."""
    times, kits = fixed_chart()
    median, worst = statistics.median(times), max(times)
    print(f"{len(times)} random briefs with the chart fixed, {kits} of them with a kit:")
    print(f"everything from offers to audit, median {median:.3f} s, slowest {worst:.3f} s")
    typer = seconds_of([sys.executable, "-c", "import typer"])
    help_ = seconds_of([sys.executable, "-m", "kitsolver", "--help"])
    print(f"`--help` takes {help_ / typer:.2f} × `import typer` ({typer:.3f} s)")
    whole, heavy = whole_process()
    told = "importing pandas and MathOpt and reading the file"
    print(f"`pick` on the demo takes {whole / heavy:.2f} × {told} ({heavy:.3f} s)")


if __name__ == "__main__":
    main()
