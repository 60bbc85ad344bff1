"""Draws briefs without a kit on the demo, and lists those of which it takes long to say why.

Run ``python tests/bench/bench_no_kit.py``, with a seed and a number if others than 1 and 100 are
wanted. Conditions for the whole kit are drawn, and some of them together: limits that ask for much
or allow little, pairs, rows alike, margins, lessons, sizes, and free colours far apart. Times are
of the processor, not of the clock. No test: these machines are noisy.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections.abc import Iterator

from bench_pick import DEMO, SHOP

from kitsolver import pick, read_brief, read_catalogue, why_no_kit

BRIEFS = ("bundle", "gift-card", "class-of-twelve", "letter", "frame")
LIMIT = 1.0
_CATEGORIES = (
    "chart",
    "fabric",
    "thread",
    "needle",
    "scissors",
    "card",
    "needle-minder",
    "thimble",
)
_COLUMNS = ("weight_g", "price", "quality", "skein_m", None)


def limit(draw: random.Random) -> Iterator[str]:
    """Yield a limit that asks for more than most kits have, or allows less."""
    column = draw.choice(_COLUMNS)
    where = draw.sample(_CATEGORIES, draw.randint(1, 5))
    rule: dict[str, object] = {"name": "drawn limit", "where": {"category": where}}
    scale = {"weight_g": 500, "price": 40, "quality": 500, "skein_m": 120, None: 8}[column]
    if column is not None:
        rule |= {"column": column, "blank": 0}
    if draw.random() < 0.6:
        rule["least"] = round(scale * draw.uniform(0.5, 5))
    else:
        rule["most"] = round(scale * draw.uniform(0, 0.2))
    yield f"limits={toml([rule])}"


def pair(draw: random.Random) -> Iterator[str]:
    """Yield a pair that some category is asked for, or barred, by another."""
    asked = draw.choice(_CATEGORIES)
    kind = draw.choice(("with", "never"))
    at_least = {"at_least": {"quality": draw.randint(60, 100)}} if draw.random() < 0.5 else {}
    yield f"pairs={toml([{'name': 'drawn pair', kind: {'category': asked} | at_least}])}"


def alike(draw: random.Random) -> Iterator[str]:
    """Yield that rows are to be of one series, or of one line, blank cells refused."""
    of = draw.sample(_CATEGORIES[:5], draw.randint(2, 5))
    column = draw.choice(("series", "tags"))
    yield f"alike={toml([{'name': 'drawn series', 'column': column, 'of': of, 'blank': 'refuse'}])}"


def margin(draw: random.Random) -> Iterator[str]:
    """Yield a margin that few kits leave."""
    yield f"shop.margin_rate={draw.uniform(0.5, 0.95):.2f}"
    yield f"shop.sell_at={draw.uniform(8, 40):.2f}"
    yield 'shop.uncosted="leave out"'


def lesson(draw: random.Random) -> Iterator[str]:
    """Yield a lesson that is too short for most charts."""
    yield f"lesson.hours_at_most={draw.uniform(0.5, 8):.1f}"


def contrast(draw: random.Random) -> Iterator[str]:
    """Yield free colours that are to be far apart."""
    yield 'shades.mode="free"'
    yield f"shades.contrast={draw.randint(30, 99)}"


def size(draw: random.Random) -> Iterator[str]:
    """Yield a size that few designs have."""
    side = draw.randint(3, 12)
    yield f"size.at_most_cm=[{side}, {side + draw.randint(0, 3)}]"


def condition(draw: random.Random) -> Iterator[str]:
    """Yield a condition of one need."""
    yield draw.choice(
        (
            f"shades.tolerance={draw.uniform(0.2, 3):.1f}",
            f"needs.fabric.max_price={draw.uniform(1, 6):.2f}",
            f"needs.scissors.min_quality={draw.randint(60, 99)}",
            f"needs.chart.at_least.shades={draw.randint(5, 20)}",
            f"needs.thread.min_quality={draw.randint(60, 99)}",
        )
    )


DRAWN = (limit, limit, pair, alike, margin, lesson, contrast, size, condition)


def toml(value: object) -> str:
    """Return a value as it is written in a brief."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value)


def drawn(seed: int) -> Iterator[tuple[str, list[str]]]:
    """Yield briefs of the demo and what is drawn beside them, without end."""
    draw = random.Random(seed)
    while True:
        kinds = draw.sample(DRAWN, draw.choice((1, 1, 2, 3)))
        sets = {one.partition("=")[0]: one for kind in kinds for one in kind(draw)}
        yield draw.choice(BRIEFS), list(sets.values())


def main() -> None:
    """Print how long each explanation takes that takes long, and how many were asked for."""
    seed, number = (int(word) for word in [*sys.argv[1:], "1", "100"][:2])
    catalogue = read_catalogue(SHOP, currency="EUR")
    times: list[float] = []
    for name, sets in drawn(seed):
        brief = read_brief(DEMO / f"{name}.toml", sets=sets)
        if pick(catalogue, brief).kit is not None:
            continue
        start = time.process_time()
        told = why_no_kit(catalogue, brief)
        times.append(time.process_time() - start)
        if times[-1] > LIMIT:
            print(f"{times[-1]:.2f} s  {name}  {'  '.join(sets)}\n    {told.conflict}", flush=True)
        if len(times) == number:
            break
    times.sort()
    above = sum(took > LIMIT for took in times)
    median = times[number // 2]
    print(f"{number} briefs without a kit: {above} above {LIMIT:g} s, median {median:.2f} s")


if __name__ == "__main__":
    main()
