"""Times the page against the limits set for it, and looks at what memory it takes.

Run ``python tests/bench/bench_page.py``. No test: these machines are noisy.
"""

from __future__ import annotations

import csv
import io
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import httpx
from shop import shop_text

# The chart of the most colours, a kit that is held, and more copies than the stock makes.
BUSIEST = (
    "/?currency=EUR&choose.keep=%5B%22CH-NETMENDER%22%5D&copies=40&way=bundles"
    "&held=currency%3DEUR%26cap%3D60"
)
CHARTS = ("CH-URCHIN", "CH-LIMPETS", "CH-FISHKITE", "CH-HERMIT", "CH-COCOON")


PROGRAM = ("-m", "kitsolver")


@contextmanager
def served(
    *files: Path, python: Sequence[str] = PROGRAM
) -> Iterator[tuple[httpx.Client, int, float]]:
    """Serve the page; give a client, the process and how long the start took.

    `python` is what Python runs.
    """
    begun = time.perf_counter()
    command = [sys.executable, *python, "page", *map(str, files), "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr
        told = process.stderr.readline()
        while " at http" not in told:
            if process.poll() is not None:
                raise RuntimeError(f"the page ended: {told}")
            told = process.stderr.readline()
        ready = time.perf_counter() - begun
        with httpx.Client(base_url=told.split(" at ")[1].split(" ")[0], timeout=60) as client:
            yield client, process.pid, ready
        process.terminate()


def taken(client: httpx.Client, path: str) -> float:
    """Return how long an answer takes, in seconds."""
    begun = time.perf_counter()
    answer = client.get(path)
    passed = time.perf_counter() - begun
    if answer.status_code != 200:
        raise RuntimeError(f"{answer.status_code} for {path}")
    return passed


def briefs(number: int, seed: int) -> list[str]:
    """Return addresses of briefs with a fixed chart, none like another."""
    return [
        f"/?currency=EUR&cap={20 + each % 40}.{seed:02d}&fit.margin_cm={3 + each * 0.01:.2f}"
        f"&choose.keep=%5B%22{CHARTS[each % len(CHARTS)]}%22%5D"
        for each in range(number)
    ]


def own_memory(process: int) -> int:
    """Return what a process holds itself, in MB; 0 once it has ended."""
    try:
        status = Path(f"/proc/{process}/status").read_text(encoding="utf-8")
    except OSError:
        return 0
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    return int(found[1]) // 1024 if found else 0


def memory(process: int) -> int:
    """Return what a process and all that it started hold, in MB."""
    return own_memory(process) + sum(map(memory, children(process)))


def children(process: int) -> list[int]:
    """Return the processes that a process has started, from whichever of its threads."""
    told = Path(f"/proc/{process}/task").glob("*/children")
    return [int(child) for each in told for child in each.read_text(encoding="utf-8").split()]


def row(what: str, times: Sequence[float], limit: float | None) -> None:
    """Print a row of the table."""
    ordered = sorted(times)
    late = ordered[min(len(ordered) - 1, int(len(ordered) * 0.95))]
    told = f"{limit * 1000:.0f}" if limit else ""
    print(
        f"| {what} | {statistics.median(times) * 1000:.0f} | {late * 1000:.0f} | {told} |",
        flush=True,
    )


def processor_seconds(process: int) -> float:
    """Return the processor time of a process and all that runs below it, in seconds."""
    fields = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    # Its own, and what its children took that have ended.
    own = sum(map(int, fields[11:15])) / os.sysconf("SC_CLK_TCK")
    return own + sum(map(processor_seconds, children(process)))


def crowd(client: httpx.Client, process: int, people: int, seconds: float) -> None:
    """Print how long a change takes where many people each make one every ten seconds.

    Whoever is told that the page is busy has met an error.
    """
    every = 10.0
    limits = httpx.Limits(max_connections=people)
    shared = httpx.Client(base_url=client.base_url, timeout=60, limits=limits)
    # Opening two hundred connections at once is no part of what is measured.
    begun, used = time.perf_counter() + 1, processor_seconds(process)

    def visit(person: int) -> list[float | None]:
        times: list[float | None] = []
        for turn in range(int(seconds / every)):
            due = begun + every * (turn + person / people)
            time.sleep(max(0.0, due - time.perf_counter()))
            chart = CHARTS[(person + turn) % len(CHARTS)]
            path = (
                f"/?currency=EUR&cap={20 + (7 * person + turn) % 40}.{person % 100:02d}"
                f"&choose.keep=%5B%22{chart}%22%5D&fit.margin_cm={3 + person * 0.01:.2f}"
            )
            try:
                times.append(taken(shared, path))
            except (RuntimeError, httpx.HTTPError):
                times.append(None)
        return times

    with shared, ThreadPoolExecutor(people) as pool:
        found = [each for times in pool.map(visit, range(people)) for each in times]
    times = [each for each in found if each is not None]
    row(f"a change, {people} people for {seconds:.0f} s", times, 2.0)
    spent = 1000 * (processor_seconds(process) - used) / len(found)
    errors = len(found) - len(times)
    print(f"\n{len(found)} changes, {errors} errors, {spent:.0f} ms of processor each\n")


def workbook(path: Path, text: str) -> None:
    """Write a catalogue as a workbook."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for line in csv.reader(io.StringIO(text)):
        sheet.append(line)
    book.save(path)


def handed_in(client: httpx.Client, process: int, path: Path) -> tuple[float, float]:
    """Hand a workbook in; return the seconds to its first view, and those of processor."""
    begun, used = time.perf_counter(), processor_seconds(process)
    with path.open("rb") as content:
        answer = client.post(
            "/catalogue",
            files={"file": (path.name, content)},
            data={"was": "currency=EUR&cap=30.00"},
            follow_redirects=True,
        )
    passed = time.perf_counter() - begun
    if answer.status_code != 200:
        raise RuntimeError(f"{answer.status_code} for {path.name}")
    return passed, processor_seconds(process) - used


def main() -> None:
    """Print the tables."""
    number = 20 if "--quick" in sys.argv else 100
    print("| the page | median, ms | p95, ms | limit, ms |\n|---|---|---|---|")
    with served() as (client, process, ready):
        row("from start to ready", [ready], None)
        row("first view", [taken(client, "/begin")], 0.3)
        client.get("/page.css")
        row("a change, chart fixed", [taken(client, path) for path in briefs(number, 1)], 0.1)
        with ThreadPoolExecutor(20) as pool:
            times = list(pool.map(lambda path: taken(client, path), briefs(number, 2)))
        row("the same, 20 at once", times, 0.6)
        ladder = "?currency=EUR&cap=40.00&to=80.00"
        client.get(f"/ladder{ladder}")
        moves = [f"/{ladder.replace('40.00', f'{cap / 100:.2f}')}" for cap in range(1500, 7900, 64)]
        row("a move of the slider", [taken(client, path) for path in moves], 0.03)
        busiest = [f"{BUSIEST}&cap={100 + each}.{each:02d}" for each in range(number // 2)]
        row("the view that shows most", [taken(client, path) for path in busiest], 0.3)
        crowd(client, process, 200 if number == 100 else 20, 60.0)
        held = [memory(process)]
        for seed in range(3, 7):
            for path in briefs(5 * number, seed):
                client.get(path)
            held.append(memory(process))
    with tempfile.TemporaryDirectory() as folder:
        large = Path(folder) / "large.csv"
        large.write_text(shop_text(charts=1_000, others=3_000), encoding="utf-8")
        with served(large) as (client, _, _):
            client.get("/?currency=EUR&cap=30.00")
            paths = [f"/?currency=EUR&cap={20 + each}.50" for each in range(number // 5)]
            row("an open chart among 1,000", [taken(client, path) for path in paths], 1.5)
        book = Path(folder) / "twenty-thousand.xlsx"
        workbook(book, shop_text(charts=2_000, others=18_000))
        with served() as (client, process, _):
            client.get("/begin")
            passed, spent = handed_in(client, process, book)
            row("first view of a workbook of 20,000 rows", [passed], 3.0)
            print(f"\nThe workbook took {spent:.2f} s of processor")
    steps = ", ".join(map(str, held))
    print(f"\nMemory of all its processes after 0 to {20 * number} briefs, MB: {steps}")


if __name__ == "__main__":
    main()
