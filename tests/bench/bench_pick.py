"""Times picks on the demo: ratios, side by side in one run.

Run ``python tests/bench/bench_pick.py``. No test: these machines are noisy.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

from kitsolver import pick, read_brief, read_catalogue

DEMO = Path(__file__).parents[2] / "catalogues"
# Each with its chart fixed.
FIXED = {
    "bundle": "CH-HERMIT",
    "class-of-twelve": "CH-FISHKITE",
    "gift-card": "CH-NETMENDER",
}


def seconds_of(command: list[str], runs: int = 7) -> float:
    """Return the median time of a whole process."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the tables."""
    print("| brief, chart fixed | everything from offers to audit, s (median of 15) |")
    print("|---|---|")
    for name, chart in FIXED.items():
        brief = read_brief(DEMO / f"{name}.toml", sets=[f'choose.keep=["{chart}"]'])
        catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency=brief.currency)
        times = []
        for _ in range(15):
            start = time.perf_counter()
            pick(catalogue, brief)
            times.append(time.perf_counter() - start)
        print(f"| {name} | {statistics.median(times):.3f} |")
    typer = seconds_of([sys.executable, "-c", "import typer"])
    help_ = seconds_of([sys.executable, "-m", "kitsolver", "--help"])
    print(f"\n`--help` takes {help_ / typer:.2f} × `import typer` ({typer:.3f} s)")
    # What any pick has to import: pandas and MathOpt.
    heavy = seconds_of([sys.executable, "-c", "import pandas, ortools.math_opt.python.mathopt"])
    files = [str(DEMO / "tormellick-whelk.csv"), str(DEMO / "bundle.toml")]
    whole = seconds_of([sys.executable, "-m", "kitsolver", "pick", *files])
    print(f"`pick` on the demo takes {whole / heavy:.2f} × the two imports ({heavy:.3f} s)")


if __name__ == "__main__":
    main()
