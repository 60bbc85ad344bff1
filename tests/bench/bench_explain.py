"""Times explanations: on the demo, on 20,000 and on 100,000 rows, some of them against a pick.

Run ``python tests/bench/bench_explain.py``. Times are of the processor, not of the clock. No test:
these machines are noisy.
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).parents[1] / "explain"))

from bench_pick import DEMO, SHOP
from shop import shop_text
from test_planted import PLANTED

from kitsolver import (
    Catalogue,
    brief_of,
    others,
    pick,
    read_brief,
    read_catalogue,
    why_no_kit,
    why_not,
)

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
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times)


def rows_to_ask_after(catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """Yield rows of a drawn shop that are of different sorts, and their skus."""
    drawn = random.Random(1)
    for category in ("chart", "fabric", "thread", "needle", "scissors"):
        skus = sorted(catalogue.shelves[category]["sku"])
        yield from ((f"a {category}", sku) for sku in drawn.sample(skus, 3))
    scissors = catalogue.shelves["scissors"].sort_values("price")["sku"]
    yield "the dearest scissors", scissors.iloc[-1]


def why_not_table() -> None:
    """Print how long rows of 20,000 are asked after, beside a pick."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop.csv"
        path.write_text(shop_text(2_000, 18_000), encoding="utf-8", newline="")
        catalogue = read_catalogue(path, currency="EUR")
    needs = {"scissors": {"max_price": "8.00"}, "fabric": {"only": {"weave": ["aida"]}}}
    brief = brief_of({"currency": "EUR", "cap": "30.00", "needs": needs})
    one = seconds_of(lambda: pick(catalogue, brief))
    print(f"\n| `why SKU`, 20,000 rows (a pick takes {one:.2f} s) | verdict | by a pick |")
    print("|---|---|---|")
    for name, sku in rows_to_ask_after(catalogue):
        verdict = why_not(catalogue, brief, sku).verdict
        took = seconds_of(lambda sku=sku: why_not(catalogue, brief, sku), 3)
        print(f"| {name} | {verdict} | {took / one:.1f} × |", flush=True)


def main() -> None:
    """Print the tables."""
    catalogue = read_catalogue(SHOP, currency="EUR")
    print("| no kit on the demo, because | s |\n|---|---|")
    for name, (brief_name, options, _) in PLANTED.items():
        pairs = list(zip(options[::2], options[1::2], strict=True))
        sets = [value for option, value in pairs if option == "--set"]
        cap = next((value for option, value in pairs if option == "--cap"), None)
        brief = read_brief(DEMO / f"{brief_name}.toml", sets=sets, cap=cap)
        took = seconds_of(lambda brief=brief: why_no_kit(catalogue, brief), 3)
        print(f"| {name} | {took:.2f} |", flush=True)
    why_not_table()
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
        # Without what the last question left behind.
        fresh = replace(large)
        print(f"| {name} | {seconds_of(lambda b=brief, c=fresh: why_no_kit(c, b), 1):.1f} |")


if __name__ == "__main__":
    main()
