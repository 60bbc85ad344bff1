"""A large campaign: chart by chart against the one model on random instances, once and resumable.

Run ``python tests/bench/campaign.py LEDGER --first 1000000 --number 50000``. The ledger gets a line
a block; blocks that it holds are not drawn again. Exits 1 if the two ever differed. With ``--home``
goods at home and rules of one's own are drawn onto the instances, with ``--rules`` such rules
alone, and the naive twin has to give the same kit, too.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from instances import instance, to_toml
from instances.home import instance_with_home
from naive import best

from kitsolver import Brief, Catalogue, Engine, Solver, read_brief, read_catalogue
from kitsolver.brief.home_source import with_home_list
from kitsolver.solve.kit import kit_of
from kitsolver.solve.pick import search
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.search_result import SearchResult
from kitsolver.solve.time_limit import TimeLimit

BLOCK = 500


def differs(
    seed: int, folder: Path, *, with_goods_at_home: bool = False, with_rules: bool = False
) -> bool:
    """Tell whether the ways give another choice, or prove another bound."""
    home = ""
    if with_goods_at_home:
        text, asked, home = instance_with_home(seed, further=seed % 3 == 0, rules=seed % 3 == 1)
    else:
        text, asked = instance(seed, rules=with_rules, further=with_rules and seed % 4 == 0)
    shop, brief = folder / "shop.csv", folder / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    brief.write_text(to_toml(asked), encoding="utf-8")
    read = read_brief(brief)
    catalogue = read_catalogue(shop, currency=read.currency)
    if home:
        (folder / "home.csv").write_text(home, encoding="utf-8")
        read, catalogue, _ = with_home_list(catalogue, read, folder=folder)
    fast = search(
        Engine.BY_CHART, find_candidates(catalogue, read, thin=True), Solver.SCIP, TimeLimit()
    )
    model = search(Engine.ONE_SHOT, find_candidates(catalogue, read), Solver.SCIP, TimeLimit())
    answers = [found and (found.selection, found.bound, found.proven) for found in (fast, model)]
    told = with_goods_at_home or with_rules
    if told and _lines(fast, read, catalogue) != _of_twin(best(text, asked, home)):
        return True
    return answers[0] != answers[1]


def _lines(found: SearchResult | None, brief: Brief, catalogue: Catalogue) -> object:
    """Return the figures and lines of what was found, as the twin gives them."""
    if found is None:
        return None
    kit = kit_of(found.selection, find_candidates(catalogue, brief, thin=True), catalogue)
    lines = sorted((line.sku, line.units, line.role) for line in kit.lines)
    return kit.figures.quality, kit.figures.extras, kit.receipt.payable, lines


def _of_twin(kit: dict[str, Any] | None) -> object:
    if kit is None:
        return None
    return kit["quality"], kit["extras"], kit["payable"], kit["lines"]


def main() -> int:
    """Run the blocks that the ledger does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("ledger", type=Path)
    parser.add_argument("--first", type=int, default=1_000_000)
    parser.add_argument("--number", type=int, default=50_000)
    parser.add_argument("--home", action="store_true")
    parser.add_argument("--rules", action="store_true")
    asked = parser.parse_args()
    lines = asked.ledger.read_text(encoding="utf-8").split("\n") if asked.ledger.exists() else []
    # A line that was cut off has no end, and is left out.
    done = {int(line.split()[0]): line.split()[2:] for line in lines[:-1]}
    with tempfile.TemporaryDirectory() as folder:
        for start in range(asked.first, asked.first + asked.number, BLOCK):
            if start in done:
                continue
            differing = [
                str(seed)
                for seed in range(start, start + BLOCK)
                if differs(
                    seed, Path(folder), with_goods_at_home=asked.home, with_rules=asked.rules
                )
            ]
            done[start] = differing
            with asked.ledger.open("a", encoding="utf-8") as ledger:
                ledger.write(" ".join([str(start), str(BLOCK), *differing]) + "\n")
    every = [seed for differing in done.values() for seed in differing]
    print(f"{len(done) * BLOCK} instances, {len(every)} differ: {' '.join(every)}")
    return 1 if every else 0


if __name__ == "__main__":
    raise SystemExit(main())
