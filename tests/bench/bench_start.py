"""How long commands take to start, against what they have to import: pairs of whole processes.

Run ``python tests/bench/bench_start.py --pairs 15`` (a minute). Times are of the processor, and
each ratio is the median of pairs that run one after the other. The package must have its compiled
files: ``python -m compileall -q kitsolver`` writes them, as pip does when it installs.
"""

from __future__ import annotations

import argparse
import resource
import statistics
import subprocess
import sys
from pathlib import Path

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP, BRIEF = str(DEMO / "tormellick-whelk.csv"), str(DEMO / "bundle.toml")
READING = f"pandas.read_csv({SHOP!r})"
CHECKING = f"import pandas, pydantic, typer; {READING}"
PICKING = f"import pandas, ortools.math_opt.python.mathopt; {READING}"
PAIRS = {
    "`--help`": (["--help"], "import typer", "`import typer`", 1.5),
    "`--version`": (["--version"], "import typer", "`import typer`", 1.5),
    "`check`": (
        ["check", SHOP, "--currency", "EUR"],
        CHECKING,
        "importing pandas, pydantic and typer, and reading",
        1.3,
    ),
    "`check` with a brief": (
        ["check", SHOP, BRIEF],
        CHECKING,
        "importing pandas, pydantic and typer, and reading",
        1.3,
    ),
    "`pick`": (["pick", SHOP, BRIEF], PICKING, "importing pandas and MathOpt, and reading", 1.0),
}


def processor_seconds(command: list[str]) -> float:
    """Return the processor's time of a process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=15)
    pairs = parser.parse_args().pairs
    print("| command on the demo | against | limit | measured |\n|---|---|---|---|")
    for name, (arguments, imports, against, limit) in PAIRS.items():
        whole = [sys.executable, "-m", "kitsolver", *arguments]
        heavy = [sys.executable, "-c", imports]
        times = [(processor_seconds(whole), processor_seconds(heavy)) for _ in range(pairs)]
        ratio = statistics.median(mine / other for mine, other in times)
        seconds = statistics.median(mine for mine, _ in times)
        print(f"| {name} | {against} | {limit} × | {ratio:.2f} × ({seconds:.2f} s) |", flush=True)


if __name__ == "__main__":
    main()
