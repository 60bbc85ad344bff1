"""The campaign: kitsolver's answers on random instances against two judges, once and resumable.

Run ``python tests/bench/campaign.py LOG --number 100000``. The log gets a line an instance, and
instances that it holds are not drawn again, so the command can be stopped and given again at any
time; those that differed are judged again, and the last verdict counts. ``--minutes`` stops it by
itself, ``--table`` only prints what the log holds. Exits 1 if an answer differs. ``tests/campaign``
says what is drawn and who judges.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from campaign.drawn import BRIEFS, shop
from campaign.features import FEATURES, all_pairs, pairs_of
from campaign.judged import Verdict, verdicts

FIRST = 20_261_126
ENOUGH = 100  # instances with a kit for each pair of features


def line_of(verdict: Verdict) -> str:
    """Return a verdict as a line of the log, its features as the bits of one number."""
    bits = sum(1 << FEATURES.index(name) for name in verdict.features)
    flags = f"{'kit' if verdict.has_kit else '-'}\t{'greedy' if verdict.greedy_is_best else '-'}"
    wrong = " | ".join(verdict.wrong).replace("\n", " / ").replace("\t", " ")
    return f"{verdict.seed}\t{flags}\t{bits:x}\t{wrong}\n"


def read_log(path: Path) -> Iterator[Verdict]:
    """Read a log; a line that was cut off has no end, and is left out."""
    if not path.exists():
        return
    for line in path.read_text(encoding="utf-8").split("\n")[:-1]:
        if line.startswith("#"):
            continue
        seed, kit, greedy, bits, wrong = line.split("\t")
        names = [name for at, name in enumerate(FEATURES) if int(bits, 16) >> at & 1]
        yield Verdict(int(seed), kit == "kit", greedy == "greedy", names, [wrong] if wrong else [])


def table(path: Path) -> int:
    """Print what a log comes to; return how many instances differ."""
    every = list(read_log(path))
    found = list({verdict.seed: verdict for verdict in every}.values())
    kits = [verdict for verdict in found if verdict.has_kit]
    wrong = [verdict for verdict in found if verdict.wrong]
    single, pairs = Counter(), Counter()
    for verdict in kits:
        single.update(verdict.features)
        pairs.update(pairs_of(verdict.features))
    if not kits:
        print(f"{len(found)} instances")
        return len(wrong)
    beaten = sum(not verdict.greedy_is_best for verdict in kits)
    before = {verdict.seed for verdict in every if verdict.wrong}
    print(f"{len(found)} instances, {len(wrong)} with a difference, {len(before)} at first")
    print(f"{len(kits)} with a kit ({len(kits) / len(found):.1%})")
    print(f"{beaten} in which the greedy kit is not the best ({beaten / len(kits):.1%} of these)")
    for name in FEATURES:
        print(f"{single[name]:8}  {name}")
    ranked = sorted(all_pairs(), key=lambda pair: pairs[pair])
    rare = [pair for pair in ranked if pairs[pair] < ENOUGH]
    print(f"{len(ranked)} pairs of features, {len(rare)} of them in fewer than {ENOUGH} instances")
    for pair in ranked[:10]:
        print(f"{pairs[pair]:8}  {' and '.join(pair)}")
    for verdict in wrong:
        print(f"{verdict.seed}: {verdict.wrong[0][:300]}")
    return len(wrong)


def commit() -> str:
    """Return the commit that is judged."""
    here = Path(__file__).parent
    asked = ["git", "-C", str(here), "rev-parse", "--short", "HEAD"]
    return subprocess.run(asked, capture_output=True, text=True, check=False).stdout.strip()


def main() -> int:
    """Judge the instances that the log does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("log", type=Path)
    parser.add_argument("--first", type=int, default=FIRST, help="the first seed of a shop")
    parser.add_argument("--number", type=int, default=100_000, help="of instances")
    parser.add_argument("--minutes", type=float, help="stop after so long")
    parser.add_argument("--table", action="store_true", help="only print what the log holds")
    asked = parser.parse_args()
    if asked.table:
        return int(table(asked.log) > 0)
    verdict_of = {verdict.seed: verdict for verdict in read_log(asked.log)}
    done = {seed for seed, verdict in verdict_of.items() if not verdict.wrong}
    end = time.monotonic() + 60 * (asked.minutes or 10**6)
    with tempfile.TemporaryDirectory() as folder, asked.log.open("a", encoding="utf-8") as log:
        log.write(f"# {commit()}\n")
        for seed in range(asked.first, asked.first + asked.number // BRIEFS):
            if done.issuperset(range(BRIEFS * seed, BRIEFS * seed + BRIEFS)):
                continue
            if time.monotonic() > end:
                break
            for verdict in verdicts(shop(seed), Path(folder)):
                if verdict.seed not in done:
                    log.write(line_of(verdict))
            log.flush()
    return int(table(asked.log) > 0)


if __name__ == "__main__":
    raise SystemExit(main())
