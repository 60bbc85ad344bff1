"""Many people at the page without pause: what they are answered, and how it recovers.

Run ``python tests/bench/bench_load.py`` for 200 people and a minute. Each asks for another kit as
soon as the last is answered. It prints how many got a kit, how many were told that the page is
busy, how many anything else, the median and the 95th percentile of the times by the clock, the
memory before and after, and after how long the page answered a single question within a second
again. It exits 1 if anything but kits and "busy" was answered.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

import httpx
from bench_page import CHARTS, memory, served


def recovered(client: httpx.Client, most: float = 60.0) -> float:
    """Return after how many seconds a new question is answered within a second."""
    begun = time.perf_counter()
    for number in range(int(most)):
        asked = time.perf_counter()
        answer = client.get(f"/?currency=EUR&cap=33.{number:02d}&title=afterwards")
        now = time.perf_counter()
        if answer.status_code == 200 and now - asked < 1:
            return asked - begun
    return most


def main() -> int:
    """Let them in, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--people", type=int, default=200)
    parser.add_argument("--seconds", type=float, default=60.0)
    asked = parser.parse_args()
    with served() as (client, process, _):
        client.get("/?currency=EUR&cap=30.00")
        before = memory(process)
        limits = httpx.Limits(max_connections=asked.people)
        crowd = httpx.Client(base_url=client.base_url, timeout=120, limits=limits)
        until = time.perf_counter() + asked.seconds

        def visit(person: int) -> list[tuple[int | str, float]]:
            found, turn = list[tuple[int | str, float]](), 0
            while time.perf_counter() < until:
                chart = CHARTS[(person + turn) % len(CHARTS)]
                path = (
                    f"/?currency=EUR&cap={20 + (7 * person + turn) % 40}.{person % 100:02d}"
                    f"&choose.keep=%5B%22{chart}%22%5D&fit.margin_cm={3 + person * 0.01:.2f}"
                )
                began = time.perf_counter()
                status: int | str
                try:
                    status = crowd.get(path).status_code
                except httpx.HTTPError as fault:
                    status = f"{type(fault).__name__}, {fault}"
                found.append((status, time.perf_counter() - began))
                turn += 1
            return found

        with crowd, ThreadPoolExecutor(asked.people) as pool:
            found = [each for times in pool.map(visit, range(asked.people)) for each in times]
        back, after = recovered(client), memory(process)
    codes = Counter(status for status, _ in found)
    others = {code: number for code, number in codes.items() if code not in (200, 503)}
    times = sorted(seconds for status, seconds in found if status == 200)
    print(f"{codes[200]} kits, {codes[503]} told that the page is busy, others: {others or 'none'}")
    if times:
        late = times[min(len(times) - 1, int(0.95 * len(times)))]
        print(f"A kit after {statistics.median(times):.2f} s (median), {late:.2f} s (p95)")
    print(f"Memory of all its processes: {before} MB before, {after} MB after")
    print(f"Recovered after {back:.1f} s")
    return int(bool(others))


if __name__ == "__main__":
    raise SystemExit(main())
