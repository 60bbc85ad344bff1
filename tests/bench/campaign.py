"""A large campaign: chart by chart against the one model on random instances, once and resumable.

Run ``python tests/bench/campaign.py LEDGER --first 1000000 --number 50000``. The ledger gets a line
a block; blocks that it holds are not drawn again. Exits 1 if the two ever differed.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from instances import instance, to_toml

from kitsolver import Engine, Solver, read_brief, read_catalogue
from kitsolver.solve.pick import search
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

BLOCK = 500


def differs(seed: int, folder: Path) -> bool:
    """Tell whether the two ways give another choice, or prove another bound."""
    text, asked = instance(seed)
    shop, brief = folder / "shop.csv", folder / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    brief.write_text(to_toml(asked), encoding="utf-8")
    read = read_brief(brief)
    catalogue = read_catalogue(shop, currency=read.currency)
    fast = search(
        Engine.BY_CHART, find_candidates(catalogue, read, thin=True), Solver.SCIP, TimeLimit()
    )
    model = search(Engine.ONE_SHOT, find_candidates(catalogue, read), Solver.SCIP, TimeLimit())
    answers = [found and (found.selection, found.bound, found.proven) for found in (fast, model)]
    return answers[0] != answers[1]


def main() -> int:
    """Run the blocks that the ledger does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("ledger", type=Path)
    parser.add_argument("--first", type=int, default=1_000_000)
    parser.add_argument("--number", type=int, default=50_000)
    asked = parser.parse_args()
    lines = asked.ledger.read_text(encoding="utf-8").split("\n") if asked.ledger.exists() else []
    # A line that was cut off has no end, and is left out.
    done = {int(line.split()[0]): line.split()[2:] for line in lines[:-1]}
    with tempfile.TemporaryDirectory() as folder:
        for start in range(asked.first, asked.first + asked.number, BLOCK):
            if start in done:
                continue
            differing = [str(n) for n in range(start, start + BLOCK) if differs(n, Path(folder))]
            done[start] = differing
            with asked.ledger.open("a", encoding="utf-8") as ledger:
                ledger.write(" ".join([str(start), str(BLOCK), *differing]) + "\n")
    every = [seed for differing in done.values() for seed in differing]
    print(f"{len(done) * BLOCK} instances, {len(every)} differ: {' '.join(every)}")
    return 1 if every else 0


if __name__ == "__main__":
    raise SystemExit(main())
