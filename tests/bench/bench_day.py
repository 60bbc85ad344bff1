"""Plays a day of use at the page, and looks at whether its memory stays flat.

Run ``python tests/bench/bench_day.py --minutes 60``. A few people at once tell the stories of
``day.py``, in a random order that ``--seed`` fixes, with little pause: eight hours' use in one. A
line a minute says how many requests there were, how many errors, and what is held: the memory of
the page's own process and of its workers, its open files, and its folder. In the end the growth of
memory is printed, by a straight line through the second half, when all caches are full. It exits 1
if there was an error.

With ``--again --pause 0`` workers give the same answers again (``page_again.py``), so that the
page's own process handles days of use in minutes. A view that does not fit its answer is an error
then, and no wonder.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))

import httpx
import numpy as np
from bench_page import PROGRAM, children, memory, own_memory, served
from day import STORIES, Visitor

SHOWN = 20


class Held(NamedTuple):
    """What the page holds after some seconds: MB, and numbers of files and workers."""

    seconds: float
    page: int
    workers: int
    most: int
    files: int
    folder: int


def held(process: int, begun: float, folder: Path) -> Held:
    """Return what a page holds now."""
    below = [memory(child) for child in children(process)]
    files = len(list(Path(f"/proc/{process}/fd").iterdir()))
    size = sum(file.stat().st_size for file in folder.rglob("*") if file.is_file()) >> 20
    most = max(below, default=0)
    return Held(time.monotonic() - begun, own_memory(process), sum(below), most, files, size)


def play(visitor: Visitor, until: float, pause: float) -> None:
    """Tell stories until the day is over, with a pause of so many seconds at most between two."""
    while time.monotonic() < until:
        try:
            visitor.draw.choice(STORIES)(visitor)
        except Exception as fault:
            visitor.errors.append(f"the visitor itself: {type(fault).__name__}: {fault}")
        time.sleep(visitor.draw.uniform(0, pause))


def growth(kept: list[Held], part: str) -> float:
    """Return by how many MB an hour memory grew in the second half."""
    late = kept[len(kept) // 2 :]
    hours = [one.seconds / 3600 for one in late]
    return float(np.polyfit(hours, [getattr(one, part) for one in late], 1)[0])


def main() -> int:
    """Play the day, and print what it took."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--people", type=int, default=3, help="at once")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--pause", type=float, default=1.0, help="between two stories, at most")
    parser.add_argument("--again", action="store_true", help="workers repeat their answers")
    parser.add_argument("--every", type=float, default=60.0, help="seconds between two lines")
    asked = parser.parse_args()
    rng = random.Random(asked.seed)
    with tempfile.TemporaryDirectory() as place:
        os.environ["TMPDIR"] = place
        again = [str(Path(__file__).with_name("page_again.py"))]
        with served(python=again if asked.again else PROGRAM) as (client, process, _):
            begun = time.monotonic()
            until = begun + 60 * asked.minutes
            shared = httpx.Client(base_url=client.base_url, timeout=120, follow_redirects=True)
            visitors = [Visitor(shared, rng.randrange(2**32)) for _ in range(asked.people)]
            people = [
                threading.Thread(target=play, args=(one, until, asked.pause)) for one in visitors
            ]
            for one in people:
                one.start()
            print(
                "| minute | requests | errors | page, MB | workers, MB | largest | files | folder |"
            )
            print("|---|---|---|---|---|---|---|---|", flush=True)
            kept: list[Held] = []
            while any(one.is_alive() for one in people):
                time.sleep(asked.every)
                now = held(process, begun, Path(place))
                kept.append(now)
                number = sum(visitor.answers.total() for visitor in visitors)
                wrong = sum(len(visitor.errors) for visitor in visitors)
                told = f"{now.page} | {now.workers} | {now.most} | {now.files} | {now.folder}"
                print(f"| {now.seconds / 60:.0f} | {number} | {wrong} | {told} |", flush=True)
            shared.close()
    answers = sum((visitor.answers for visitor in visitors), Counter[int]())
    errors = [error for visitor in visitors for error in visitor.errors]
    codes = ", ".join(f"{number} × {code}" for code, number in sorted(answers.items()))
    print(f"\n{answers.total()} requests: {codes}; {len(errors)} errors")
    page, workers = growth(kept, "page"), growth(kept, "workers")
    print(f"Growth in the second half, MB an hour: page {page:+.1f}, workers {workers:+.1f}")
    for error, number in Counter(errors).most_common(SHOWN):
        print(f"{number} × {error}", file=sys.stderr)
    return int(bool(errors) and not asked.again)


if __name__ == "__main__":
    raise SystemExit(main())
