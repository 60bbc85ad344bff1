"""Times explanations: on the demo, on 20,000 and on 100,000 rows, some of them against a pick.

Run ``python tests/bench/bench_explain.py``, with the names of tables for only these. Times are of
the processor, not of the clock. No test: these machines are noisy.
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).parents[1] / "explain"))

from bench_pick import DEMO, SHOP
from shop import shop_text
from shops import real_shop
from test_planted import PLANTED

from kitsolver import (
    Brief,
    Catalogue,
    brief_of,
    others,
    pick,
    read_brief,
    read_catalogue,
    why_no_kit,
    why_not,
)
from kitsolver.page.garbage import keep_what_is_there

LARGE: dict[str, dict[str, Any]] = {
    "cap": {"cap": "3.00"},
    "max_price": {"needs": {"fabric": {"max_price": "0.50"}}},
    "tolerance": {"shades": {"tolerance": "0.01"}},
    "margin": {"fit": {"margin_cm": "40"}},
    "heads": {"heads": 12, "cap": "40.00"},
}


# Briefs that bar, and leave too dear, rows of every category.
ASKED: dict[str, dict[str, Any]] = {
    "scissors up to 8.00, aida alone": {
        "cap": "30.00",
        "needs": {"scissors": {"max_price": "8.00"}, "fabric": {"only": {"weave": ["aida"]}}},
    },
    "cap 30.00": {"cap": "30.00"},
    "cap 15.00, scissors up to 6.00 and of 40 or more": {
        "cap": "15.00",
        "needs": {"scissors": {"max_price": "6.00", "min_quality": 40}},
    },
    "cap 80.00, charts of 50 or more, thread up to 2.00, linen or evenweave": {
        "cap": "80.00",
        "needs": {
            "chart": {"min_quality": 50},
            "thread": {"max_price": "2.00"},
            "fabric": {"only": {"weave": ["linen", "evenweave"]}},
        },
    },
    "cap 120.00, six heads, needles of 30 and thread of 20 or more": {
        "cap": "120.00",
        "heads": 6,
        "needs": {"needle": {"min_quality": 30}, "thread": {"min_quality": 20}},
    },
}
# Briefs of which no kit holds a chart that is kept; delivery costs something, or is free.
DELIVERED = {"discount_rate": "0.05", "delivery": "6.50", "delivery_free_from": "50.00"}
KEPT: dict[str, dict[str, Any]] = {
    "charts up to 2.00": {"cap": "20.00", "needs": {"chart": {"max_price": "2.00"}}},
    "charts of 99 or more, six heads": {
        "cap": "60.00",
        "heads": 6,
        "needs": {"chart": {"min_quality": 99}, "thread": {"shared_by": 2}},
        "till": DELIVERED,
    },
    "a count that no fabric has": {
        "cap": "30.00",
        "needs": {"fabric": {"only": {"count": [99]}}},
        "till": DELIVERED,
    },
    "too little money": {"cap": "40.00", "till": DELIVERED},
}
_CHARTS_EACH = 4
OF_DEMO = ("bundle", "gift-card", "class-of-twelve")
_ROWS_EACH = 3
_WHY_NOT = "a pick, s | rows | `why SKU`, median | the worst | rows above"


def seconds_of(work: Callable[[], object], runs: int = 7) -> float:
    """Return the median time of some work."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times)


def large_shop(rows: int) -> Catalogue:
    """Return a drawn shop of some rows, a tenth of them charts."""
    return read_text(shop_text(rows // 10, rows - rows // 10))


def read_text(text: str) -> Catalogue:
    """Return the catalogue of the text of a CSV file."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop.csv"
        path.write_text(text, encoding="utf-8", newline="")
        return read_catalogue(path, currency="EUR")


def drawn_rows(catalogue: Catalogue) -> list[str]:
    """Return the skus of rows drawn at random from every category."""
    drawn = random.Random(1)
    every = (sorted(shelf["sku"]) for _, shelf in sorted(catalogue.shelves.items()))
    return [sku for skus in every for sku in drawn.sample(skus, min(_ROWS_EACH, len(skus)))]


def why_not_row(name: str, catalogue: Catalogue, brief: Brief, skus: list[str], most: float) -> str:
    """Return a line on how long rows are asked after, beside a pick; some take longer than `most`.

    A pick is taken before each row, for the load of the machine changes. A row that takes longer is
    asked after once more, beside another pick, and the lesser ratio counts.
    """
    picks, found = list[float](), []
    for sku in skus:
        ratios: list[float] = []
        while not ratios or (ratios[-1] > most and len(ratios) < 2):
            picks.append(seconds_of(lambda: pick(catalogue, brief), 1))
            start = time.process_time()
            verdict = why_not(catalogue, brief, sku).verdict
            ratios.append((time.process_time() - start) / picks[-1])
        found.append((min(ratios), sku, verdict))
    one = statistics.median(picks)
    by, sku, verdict = max(found)
    middle, above = statistics.median(by for by, *_ in found), sum(by > most for by, *_ in found)
    worst = f"{by:.1f} × ({sku}, {verdict}, {by * one:.2f} s)"
    return f"| {name} | {one:.3f} | {len(found)} | {middle:.1f} × | {worst} | {above} |"


def no_kit_on_the_demo() -> None:
    """Print how long it takes to say why there is no kit, cause by cause."""
    catalogue = read_catalogue(SHOP, currency="EUR")
    print("| no kit on the demo, because | s |\n|---|---|")
    for name, (brief_name, options, _) in PLANTED.items():
        pairs = list(zip(options[::2], options[1::2], strict=True))
        sets = [value for option, value in pairs if option == "--set"]
        cap = next((value for option, value in pairs if option == "--cap"), None)
        brief = read_brief(DEMO / f"{brief_name}.toml", sets=sets, cap=cap)
        took = seconds_of(lambda brief=brief: why_no_kit(catalogue, brief), 3)
        print(f"| {name} | {took:.2f} |", flush=True)


def no_kit_with_a_chart() -> None:
    """Print how long it takes to say why no kit of a real shop holds a chart that is kept."""
    print(
        "| a chart of a real shop is kept, and no kit holds it | rows | median, s | the worst, s |"
    )
    print("|---|---|---|---|")
    shops = {seed: read_text(real_shop(seed)) for seed in range(1, 4)}
    for name, asked in KEPT.items():
        found = []
        for seed, catalogue in shops.items():
            charts = sorted(catalogue.shelves["chart"]["sku"])
            for sku in random.Random(seed).sample(charts, _CHARTS_EACH):
                brief = brief_of({"currency": "EUR", "choose": {"keep": [sku]}} | asked)
                if pick(catalogue, brief).kit is None:
                    took = seconds_of(partial(why_no_kit, catalogue, brief), 1)
                    found.append((took, f"{sku} of seed {seed}"))
        worst, which = max(found)
        middle = statistics.median(took for took, _ in found)
        print(f"| {name} | {len(found)} | {middle:.2f} | {worst:.2f} ({which}) |", flush=True)


def why_not_of_many() -> None:
    """Print how long rows of 20,000 are asked after.

    Garbage is looked for as in the page's processes, and almost as by the command: seldom, and not
    among what is there.
    """
    many = large_shop(20_000)
    keep_what_is_there()
    print(f"| 20,000 rows, drawn | {_WHY_NOT} 2 × |\n|---|---|---|---|---|---|")
    for name, asked in ASKED.items():
        brief = brief_of({"currency": "EUR"} | asked)
        print(why_not_row(name, many, brief, drawn_rows(many), 2), flush=True)


def why_not_on_the_demo() -> None:
    """Print how long rows of the demo are asked after."""
    catalogue = read_catalogue(SHOP, currency="EUR")
    print(f"| demo, every fifth row | {_WHY_NOT} 3 × |\n|---|---|---|---|---|---|")
    for name in OF_DEMO:
        brief = read_brief(DEMO / f"{name}.toml")
        print(why_not_row(name, catalogue, brief, sorted(catalogue.skus)[::5], 3), flush=True)


def others_on_the_demo() -> None:
    """Print how long five other kits take."""
    catalogue = read_catalogue(SHOP, currency="EUR")
    print("| demo | a pick, s | `others`, five |\n|---|---|---|")
    for name in OF_DEMO:
        brief = read_brief(DEMO / f"{name}.toml")
        one = seconds_of(lambda brief=brief: pick(catalogue, brief))
        five = seconds_of(lambda brief=brief: others(catalogue, brief, 5))
        print(f"| {name} | {one:.3f} | {five / one:.1f} × |", flush=True)


def no_kit_of_many() -> None:
    """Print how long it takes to say why there is no kit of 100,000 rows."""
    large = large_shop(100_000)
    print("| no kit of 100,000 rows, 10,000 of them charts, because of | s |\n|---|---|")
    for name, asked in LARGE.items():
        brief = brief_of({"currency": "EUR", "cap": "30.00"} | asked)
        # Without what the last question left behind.
        fresh = replace(large)
        took = seconds_of(lambda b=brief, c=fresh: why_no_kit(c, b), 1)
        print(f"| {name} | {took:.1f} |", flush=True)


TABLES = {
    "no-kit": no_kit_on_the_demo,
    "no-kit-kept": no_kit_with_a_chart,
    "why": why_not_of_many,
    "why-demo": why_not_on_the_demo,
    "others": others_on_the_demo,
    "no-kit-large": no_kit_of_many,
}


def main() -> None:
    """Print the tables that are named, or all of them."""
    for name in sys.argv[1:] or TABLES:
        TABLES[name]()
        print()


if __name__ == "__main__":
    main()
