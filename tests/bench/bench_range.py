"""Five kits from one stock of 20,000 rows, beside five picks of their own: ratios, in one run.

Run ``python tests/bench/bench_range.py``. No test: these machines are noisy.
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from shop import shop_text

from kitsolver import brief_of, pick, read_catalogue
from kitsolver.brief.range import Range, RangeKit
from kitsolver.solve.ranges.range import pick_range

CAPS = ("20.00", "25.00", "30.00", "40.00", "60.00")
# How many copies of each; what is scarce in the catalogue is so below sixty units.
COPIES = (1, 4, 10)


def main() -> None:
    """Print the table."""
    print("| charts | other rows | copies of each | contended | range, s | five picks, s | ratio |")
    print("|---|---|---|---|---|---|---|")
    for charts, others in ((1_000, 19_000), (5_000, 15_000)):
        with tempfile.TemporaryDirectory() as folder:
            shop = Path(folder) / "shop.csv"
            shop.write_text(shop_text(charts, others), encoding="utf-8", newline="")
            catalogue = read_catalogue(shop, currency="EUR")
        briefs = [brief_of({"currency": "EUR", "cap": cap}) for cap in CAPS]
        start = time.process_time()
        for brief in briefs:
            pick(catalogue, brief)
        alone = time.process_time() - start
        for copies in COPIES:
            kits = [RangeKit(f"k{n}", copies, brief) for n, brief in enumerate(briefs)]
            for distinct in ((), ("chart",)):
                asked = Range("range", "", "EUR", False, distinct, tuple(kits))
                start = time.process_time()
                found = pick_range(catalogue, asked)
                taken = time.process_time() - start
                told = f"{copies}{', distinct charts' if distinct else ''}"
                contended = f"{len(found.contended)} rows, {found.status}"
                ratio = f"{taken / alone:.1f}"
                print(
                    f"| {charts} | {others} | {told} | {contended} | {taken:.2f} "
                    f"| {alone:.2f} | {ratio} |",
                    flush=True,
                )


if __name__ == "__main__":
    main()
