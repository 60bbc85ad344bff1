"""Times a batch on one worker process and on two: a ratio, side by side in one run.

Run ``python tests/bench/bench_batch.py``. No test: these machines are noisy.
"""

from __future__ import annotations

import argparse
import resource
import statistics
import time
from pathlib import Path

from kitsolver import read_brief, read_catalogue
from kitsolver.batch.work import Task, WorkerContext
from kitsolver.batch.worker_pool import cores, in_processes

DEMO = Path(__file__).parents[2] / "catalogues"


def tasks_of(number: int) -> list[Task]:
    """Return briefs for one fixed chart, at caps from 16.00 to 36.00."""
    brief = DEMO / "bundle.toml"
    chart = 'choose.keep=["CH-HERMIT"]'
    caps = (f"{1600 + 2000 * n // number:04}" for n in range(number))
    return [
        Task(cap, str(brief), read_brief(brief, sets=[chart], cap=f"{cap[:2]}.{cap[2:]}"))
        for cap in caps
    ]


def times(
    context: WorkerContext, tasks: list[Task], workers: int
) -> tuple[float, float, float, list[str]]:
    """Return the time until the first result, that of the whole, the workers' own, and all results.

    The workers' own is processor time, of all together: it tells a machine that is busy with
    something else from workers that are in each other's way.
    """
    start, cpu = time.perf_counter(), own_time()
    first, texts = 0.0, {}
    for done in in_processes(context, tasks, workers):
        first = first or time.perf_counter() - start
        texts[done.name] = done.text
    whole = time.perf_counter() - start
    return first, whole, own_time() - cpu, [texts[task.name] for task in tasks]


def own_time() -> float:
    """Return the processor time of all processes that this one started and saw end."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--briefs", type=int, default=400)
    parser.add_argument("--runs", type=int, default=5)
    asked = parser.parse_args()
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")
    context, tasks = WorkerContext({"EUR": catalogue}), tasks_of(asked.briefs)
    print(f"{asked.briefs} briefs, one chart, {cores()} cores; all workers start anew in every run")
    print(
        "| run | one worker, s | its start | own time | two workers, s | start | own time |", end=""
    )
    print(" ratio | without start | cores free |\n|---|---|---|---|---|---|---|---|---|---|")
    ratios = []
    for run in range(asked.runs):
        one, two = times(context, tasks, 1), times(context, tasks, 2)
        if one[-1] != two[-1]:
            raise SystemExit("the results depend on the number of workers")
        free = 2 * one[2] / two[2]
        ratios.append((one[1] / two[1], (one[1] - one[0]) / (two[1] - two[0]), free))
        figures = (one[1], one[0], one[2], two[1], two[0], two[2], *ratios[-1])
        print(f"| {run + 1} | {' | '.join(f'{figure:.2f}' for figure in figures)} |", flush=True)
    whole, work, free = (statistics.median(column) for column in zip(*ratios, strict=True))
    print(f"\nmedian: {whole:.2f} × with the workers' start counted, {work:.2f} × without")
    print(f"by own time, were both cores free for the workers alone: {free:.2f} ×")


if __name__ == "__main__":
    main()
