"""Open charts, chart by chart against the one model: ratios, side by side in one run.

Run ``python tests/bench/bench_charts.py``; ``--limit`` is what the one model is given at most. No
test: these machines are noisy.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from shop import shop_text

from kitsolver import Engine, Solver, brief_of, pick, read_catalogue
from kitsolver.solve.time_limit import OutOfTime

SIZES = ((1, 3_000), (20, 3_000), (200, 3_000), (1_000, 3_000))


def seconds(catalogue, brief, **how):
    """Return how long a pick takes, and its kit's figures."""
    start = time.perf_counter()
    try:
        outcome = pick(catalogue, brief, **how)
    except OutOfTime:
        return time.perf_counter() - start, None
    return time.perf_counter() - start, outcome.kit and (str(outcome.status), outcome.kit.figures)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--limit", type=float, default=60.0)
    limit = parser.parse_args().limit
    brief = brief_of({"currency": "EUR", "cap": "30.00"})
    print(
        "| charts | other rows | chart by chart, s | one model (SCIP), s | one model (HiGHS), s |"
    )
    print("|---|---|---|---|---|")
    for charts, others in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            shop = Path(folder) / "shop.csv"
            shop.write_text(shop_text(charts, others), encoding="utf-8", newline="")
            catalogue = read_catalogue(shop, currency="EUR")
        fast, kit = seconds(catalogue, brief)
        cells = [f"{fast:.2f}"]
        for solver in (Solver.SCIP, Solver.HIGHS):
            how = {"engine": Engine.ONE_SHOT, "solver": solver, "seconds": limit}
            slow, other = seconds(catalogue, brief, **how)
            proven = other is not None and other[0] == "best"
            if proven and other != kit:
                raise SystemExit(f"the engines disagree: {kit} and {other}")
            cells.append(f"{slow:.1f}{'' if proven else ' no proof'} ({slow / fast:.0f} ×)")
        print(f"| {charts} | {others} | {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    main()
