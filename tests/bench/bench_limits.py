"""What sizes were tried at the limits, and what happened: end, processor time, peak memory.

Run ``python tests/bench/bench_limits.py``, or with the names of some limits. Each is a command in a
process of its own, with ``--seconds 300`` where it searches. It prints a table.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))

from shop import shop_text

SECONDS = "300"  # by the clock: enough on a machine that other work keeps busy
BRIEF = 'currency = "EUR"\ncap = "{cap}"\nheads = {heads}\n'
ROWS = 1_000_000


class Tried(NamedTuple):
    """A limit: what is tried, and the function that writes its files and gives its commands."""

    what: str
    commands: Callable[[Path], list[list[str]]]


def written(folder: Path, charts: int, others: int, *, cap: str = "60.00", heads: int = 1) -> None:
    """Write a shop without stock limits, and a brief."""
    text = shop_text(charts, others)
    (folder / "shop.csv").write_text(text, encoding="utf-8")
    (folder / "brief.toml").write_text(BRIEF.format(cap=cap, heads=heads), encoding="utf-8")


def pick(*options: str) -> list[str]:
    """Return a pick of the files that were written."""
    return ["pick", "shop.csv", "brief.toml", "--seconds", SECONDS, "--json", "-", *options]


def rows(folder: Path) -> list[list[str]]:
    """Write a million rows, nearly all of them of a thousand extra goods' copies."""
    lines = shop_text(1000, 9000).splitlines()
    header, places = lines[0], lines[0].count(",")
    extras = (
        f"X{n:07d},Goods {n},gift{n % 50},{1 + n % 900 / 100:.2f},{n % 101}{',' * (places - 4)}\n"
        for n in range(ROWS - len(lines) + 1)
    )
    # Line by line, because a process that is started counts what this one holds as its own peak.
    with (folder / "shop.csv").open("w", encoding="utf-8") as shop:
        shop.writelines(f"{line}\n" for line in (header, *lines[1:]))
        shop.writelines(extras)
    (folder / "brief.toml").write_text(BRIEF.format(cap="60.00", heads=1), encoding="utf-8")
    return [["check", "shop.csv"], pick()]


def charts(folder: Path) -> list[list[str]]:
    """Write 10,000 charts."""
    written(folder, 10_000, 3_000)
    return [pick()]


def colours(folder: Path) -> list[list[str]]:
    """Write charts of 100 colours each, with threads that match them."""
    shades = [(37 * n % 256, 91 * n % 256, 53 * n % 256) for n in range(200)]
    lines = ["sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count"]
    lines[0] += ",width_cm,height_cm,needle_sizes"
    for n in range(5):
        entries = ";".join(
            f"#{r:02x}{g:02x}{b:02x}:90" for r, g, b in shades[20 * n : 20 * n + 100]
        )
        lines.append(f"C{n},Chart {n},chart,8.00,{60 + n},100,90,{entries},,,,,")
    for n, (r, g, b) in enumerate(shades):
        lines.append(
            f"T{n},Thread {n},thread,1.{n % 90:02d},{50 + n % 50},,,#{r:02x}{g:02x}{b:02x}"
        )
        lines[-1] += ",,,,,"
    lines += [f"F{n},Fabric {n},fabric,9.{n:02d},{50 + n},,,,aida,14,50,60," for n in range(20)]
    lines += ["N1,Needle,needle,1.00,60,,,,,,,,24;26", "S1,Scissors,scissors,5.00,60,,,,,,,,"]
    (folder / "shop.csv").write_text("\n".join(lines), encoding="utf-8")
    (folder / "brief.toml").write_text(BRIEF.format(cap="200.00", heads=1), encoding="utf-8")
    return [pick()]


def categories(folder: Path) -> list[list[str]]:
    """Write 500 categories of extras, three rows each."""
    written(folder, 100, 400, cap="120.00")
    with (folder / "shop.csv").open("a", encoding="utf-8") as shop:
        places = shop_text(0, 10).splitlines()[0].count(",")
        for n in range(1500):
            cells = f"X{n},Goods {n},kind{n % 500},{1 + n % 97 / 10:.2f},{n % 101}"
            shop.write(cells + "," * (places - 4) + "\n")
    return [pick()]


def caps(folder: Path) -> list[list[str]]:
    """Ask under caps from 0 to a thousand million."""
    written(folder, 100, 400)
    return [pick("--cap", cap) for cap in ("0", "0.01", "60", "1000", "1000000", "1000000000")]


def heads(folder: Path) -> list[list[str]]:
    """Ask for 10,000 heads, of a shop without limited stock."""
    written(folder, 100, 400, cap="1000000", heads=10_000)
    text = (folder / "shop.csv").read_text(encoding="utf-8").splitlines()
    column = text[0].split(",").index("stock")
    kept = [line.split(",") for line in text]
    unlimited = [[*cells[:column], "", *cells[column + 1 :]] for cells in kept[1:]]
    lines = [",".join(cells) for cells in (kept[0], *unlimited)]
    (folder / "shop.csv").write_text("\n".join(lines), encoding="utf-8")
    return [pick()]


def ranges(folder: Path) -> list[list[str]]:
    """Ask for ranges of 20 kits, in order and together, no chart twice."""
    written(folder, 200, 800)
    for plan in ("in order", "together"):
        text = f'currency = "EUR"\nplan = "{plan}"\ndistinct = ["chart"]\n'
        for n in range(20):
            text += f'[[kits]]\nname = "kit {n}"\ncopies = 2\ncap = "{30 + 2 * n}.00"\n'
        (folder / f"{plan.split()[-1]}.toml").write_text(text, encoding="utf-8")
    ending = ["--seconds", SECONDS, "--json", "-"]
    return [["range", "shop.csv", f"{name}.toml", *ending] for name in ("order", "together")]


LIMITS = {
    "rows": Tried("1,000,000 rows", rows),
    "charts": Tried("10,000 charts, 3,000 other rows", charts),
    "colours": Tried("charts of 100 colours, 200 threads", colours),
    "categories": Tried("500 categories of extras", categories),
    "caps": Tried("caps of 0, 0.01, 60, 1000, 10^6, 10^9", caps),
    "heads": Tried("10,000 heads", heads),
    "ranges": Tried("ranges of 20 kits, in order and together", ranges),
}


def run(command: list[str], folder: Path) -> tuple[int, float, int, str]:
    """Run a command; return its exit code, processor time, MB at its peak, and its last line.

    Time and memory are those of the process and of what it started.
    """
    child = subprocess.Popen(
        [sys.executable, "-m", "kitsolver", *command],
        cwd=folder,
        stdout=subprocess.DEVNULL,
        stderr=(folder / "told.txt").open("w"),
    )
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    told = (folder / "told.txt").read_text(encoding="utf-8").strip().splitlines()
    return child.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss >> 10, (told or [""])[-1]


def main() -> int:
    """Try the limits that are named, or all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help=f"of limits: {', '.join(LIMITS)}; all if none")
    names = parser.parse_args().names or list(LIMITS)
    if unknown := set(names) - set(LIMITS):
        parser.error(f"no such limit: {', '.join(sorted(unknown))}")
    print("| tried | command | exit | processor, s | by the clock, s | peak, MB |")
    print("|---|---|---|---|---|---|")
    for name in names:
        tried = LIMITS[name]
        with tempfile.TemporaryDirectory() as place:
            for command in tried.commands(Path(place)):
                begun = time.monotonic()
                code, seconds, peak, told = run(command, Path(place))
                clock = time.monotonic() - begun
                asked = " ".join(part for part in command if part not in ("--json", "-"))
                print(
                    f"| {tried.what} | `{asked}` | {code} | {seconds:.1f} | {clock:.0f} | {peak} |"
                )
                if code not in (0, 1, 3):
                    print(f"  {told}", file=sys.stderr)
                sys.stdout.flush()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
