"""Times explanations: on the demo against a pick, and on 100,000 rows in seconds.

Run ``python tests/bench/bench_explain.py``. No test: these machines are noisy.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bench_pick import DEMO, SHOP
from shop import shop_text

from kitsolver import brief_of, others, pick, read_brief, read_catalogue, why_no_kit, why_not

# Settings of the bundle without a kit.
BARREN: dict[str, list[str]] = {
    "cap": ["cap=5.00"],
    "max_price": ["needs.fabric.max_price=2.00"],
    "tolerance": ["shades.tolerance=0.1"],
    "margin": ["fit.margin_cm=60"],
    "keep": ['choose.keep=["SC-GULLWING"]'],
}
LARGE: dict[str, dict[str, Any]] = {
    "cap": {"cap": "3.00"},
    "max_price": {"needs": {"fabric": {"max_price": "0.50"}}},
    "tolerance": {"shades": {"tolerance": "0.01"}},
    "margin": {"fit": {"margin_cm": "40"}},
    "heads": {"heads": 12, "cap": "40.00"},
}


def seconds_of(work: Callable[[], object], runs: int = 7) -> float:
    """Return the median time of some work."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the tables."""
    catalogue = read_catalogue(SHOP, currency="EUR")
    print("| no kit on the demo, because of | s |\n|---|---|")
    for name, sets in BARREN.items():
        brief = read_brief(DEMO / "bundle.toml", sets=sets)
        print(f"| {name} | {seconds_of(lambda brief=brief: why_no_kit(catalogue, brief)):.2f} |")
    print("\n| demo | a pick, s | `why SKU` | `others`, five |\n|---|---|---|---|")
    for name, sku in (
        ("bundle", "TC-GULL6"),
        ("gift-card", "TC-KELP4"),
        ("class-of-twelve", "SC-CUTTLE"),
    ):
        brief = read_brief(DEMO / f"{name}.toml")
        one = seconds_of(lambda brief=brief: pick(catalogue, brief))
        why = seconds_of(lambda brief=brief, sku=sku: why_not(catalogue, brief, sku))
        five = seconds_of(lambda brief=brief: others(catalogue, brief, 5))
        print(f"| {name} | {one:.3f} | {why / one:.1f} × | {five / one:.1f} × |")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop.csv"
        path.write_text(shop_text(10_000, 90_000), encoding="utf-8", newline="")
        large = read_catalogue(path, currency="EUR")
    print("\n| no kit of 100,000 rows, 10,000 of them charts, because of | s |\n|---|---|")
    for name, asked in LARGE.items():
        brief = brief_of({"currency": "EUR", "cap": "30.00"} | asked)
        fresh = type(large)(
            large.name,
            large.currency,
            large.text,
            large.shelves,
            large.findings,
            large.categories,
        )
        print(f"| {name} | {seconds_of(lambda b=brief, c=fresh: why_no_kit(c, b), 1):.1f} |")


if __name__ == "__main__":
    main()
