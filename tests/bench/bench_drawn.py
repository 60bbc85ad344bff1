"""Times picks and explanations of briefs that are drawn at random, in shops as they are.

Run ``python tests/bench/bench_drawn.py [--first SEED] [--shops N] [--briefs N]``. Each seed is a
shop: a real, a small or one of hard families, in turn. If a brief has a kit, it is asked why one
row, drawn as well, is not in it, and else why there is no kit. The command prints what took long,
with its seed and brief, and the median and the worst. Processor time, for these machines are noisy.
"""

from __future__ import annotations

import argparse
import random
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from shops import hard_families, real_shop, small_real_shop

from kitsolver import Catalogue, brief_of, pick, read_catalogue, why_no_kit, why_not
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

SHOPS = (real_shop, small_real_shop, hard_families)
# What is printed, and when an explanation is given up, in seconds.
SLOW, LATE = 1.0, 60.0
TILL = {"discount_rate": "0.05", "delivery": "6.50", "delivery_free_from": "50.00"}
# What each need may ask, conditions among them that often no row meets.
CONDITIONS: dict[str, list[dict[str, Any]]] = {
    "chart": [{"max_price": "2"}, {"min_quality": 95}, {"min_quality": 60}],
    "fabric": [{"only": {"count": [99]}}, {"only": {"weave": ["linen"]}}, {"max_price": "1"}],
    "thread": [{"max_price": "1.00"}, {"min_quality": 80}, {"weight": 3}],
    "scissors": [{"min_quality": 98}, {"max_price": "3"}],
}
KEPT = {"chart": 0.3, "fabric": 0.1, "thread": 0.1, "scissors": 0.1, "case": 0.1}


def drawn_brief(rng: random.Random, skus: dict[str, list[str]], tolerances: list[str]) -> Any:
    """Return a brief with a cap, and with anything else now and then."""
    heads = rng.choice([1, 1, 1, 2, 6, 12])
    asked: dict[str, Any] = {"currency": "EUR", "heads": heads}
    asked["cap"] = str(rng.choice([10, 20, 30, 40, 60, 90]) * heads)
    asked["needs"] = {
        need: rng.choice(choices) for need, choices in CONDITIONS.items() if rng.random() < 0.25
    }
    if rng.random() < 0.4:
        asked["till"] = TILL
    if rng.random() < 0.4:
        asked["shades"] = {"tolerance": rng.choice(tolerances)}
    if rng.random() < 0.2:
        asked["fit"] = {"margin_cm": rng.choice(["10", "20"])}
    if rng.random() < 0.2:
        asked["extras"] = {"spend": rng.choice(["none", "together"])}
    keep = [
        rng.choice(skus[category])
        for category, share in KEPT.items()
        if category in skus and rng.random() < share
    ]
    return asked | {"choose": {"keep": keep}}


def timed(asked: Callable[[], Any]) -> tuple[Any, float]:
    """Return an answer, None if it came too late, and the processor's seconds that it took."""
    start = time.process_time()
    try:
        found = asked()
    except OutOfTime:
        found = None
    return found, time.process_time() - start


def measure(catalogue: Catalogue, data: Any, rng: random.Random, skus: list[str]) -> list[float]:
    """Return the seconds of a pick and of what is asked after it."""
    brief, row = brief_of(data), rng.choice(skus)
    outcome, picked = timed(lambda: pick(catalogue, brief, seconds=LATE))
    if outcome is None or outcome.kit is not None:
        _, explained = timed(lambda: why_not(catalogue, brief, row, seconds=LATE))
    else:
        _, explained = timed(lambda: why_no_kit(catalogue, brief, time_limit=TimeLimit(LATE)))
    return [picked, explained]


def main() -> None:
    """Print what took long, and a summary."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--shops", type=int, default=30)
    parser.add_argument("--briefs", type=int, default=8, help="of each shop")
    parser.add_argument("--tolerances", nargs="+", default=["3", "8", "10", "12"])
    asked = parser.parse_args()
    used = []
    for seed in range(asked.first, asked.first + asked.shops):
        rng, shop = random.Random(seed), SHOPS[seed % len(SHOPS)]
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "shop.csv"
            path.write_text(shop(seed), encoding="utf-8", newline="")
            catalogue = read_catalogue(path, currency="EUR")
        skus: dict[str, list[str]] = {}
        for sku in sorted(catalogue.skus):
            skus.setdefault(catalogue.category(sku), []).append(sku)
        for _ in range(asked.briefs):
            data = drawn_brief(rng, skus, asked.tolerances)
            used.append(measure(catalogue, data, rng, rng.choice(list(skus.values()))))
            if max(used[-1]) > SLOW:
                times = " ".join(f"{seconds:.1f}" for seconds in used[-1])
                print(f"{times} s: {shop.__name__} {seed}, {data}", flush=True)
    for name, seconds in zip(("picks", "explanations"), zip(*used, strict=True), strict=True):
        slow = sum(one > SLOW for one in seconds)
        print(
            f"{len(seconds)} {name}: median {median(seconds):.2f} s, worst {max(seconds):.1f} s, "
            f"{slow} above {SLOW:.0f} s"
        )


if __name__ == "__main__":
    main()
