"""Mutates the corpus and runs commands on it: no fault, no traceback, no hang.

Run ``python tests/fuzz/fuzz.py --runs 5000`` for more than CI does. It exits 1 if anything was
found, and names each by reader and seed; ``--reader NAME --first SEED --runs 1`` runs it again.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import resource
import sys
import tempfile
import traceback
from collections.abc import Iterator
from concurrent.futures import TimeoutError as TooLong
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from pebble import ProcessExpired, ProcessPool
from typer.testing import CliRunner

from fuzz.corpus import Reader, lay_out
from fuzz.mutate import mutated
from kitsolver.cli import app

# What a run may take: far more than any takes on a busy machine.
SECONDS, MEMORY = 120, 6 << 30
CODES = {0, 1, 2, 3}


def fault_of(reader: Reader, seed: int, folder: Path) -> str:
    """Run a reader on its input, mutated by a seed; return what is wrong, empty if nothing is."""
    rng = random.Random(f"{reader.name} {seed}")
    content = mutated(reader.content, rng)
    path = folder / f"{os.getpid()}-{reader.file}"
    path.write_bytes(content)
    command = [part.replace("{}", path.name) for part in reader.command]
    if reader.name == "settings":
        # An argument holds no NUL, and comes as the system decodes it.
        lines = content.replace(b"\0", b"").decode("utf-8", "surrogateescape").split("\n")
        command += [part for line in lines for part in ("--set", line)]
    with contextlib.chdir(folder):
        done = CliRunner().invoke(app, command)
    for left in folder.glob(f"{path.name}*"):
        left.unlink()
    output = done.output + done.stderr
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        return "".join(traceback.format_exception(done.exception))[-3000:]
    if done.exit_code not in CODES or "Traceback" in output:
        return f"exit {done.exit_code}: {output[-2000:]}"
    return ""


_readers: dict[str, Reader] = {}


def _begin(folder: Path) -> None:
    """Make a worker ready: its own corpus, and no more memory than it needs."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    own = folder / str(os.getpid())
    own.mkdir()
    _readers.update(lay_out(own))


def _run(name: str, seed: int, folder: Path) -> str:
    return fault_of(_readers[name], seed, folder / str(os.getpid()))


def faults(names: list[str], seeds: range, *, workers: int = 2) -> Iterator[tuple[str, int, str]]:
    """Yield the reader, the seed and the fault of each run that went wrong."""
    with (
        tempfile.TemporaryDirectory() as folder,
        ProcessPool(workers, max_tasks=500, initializer=_begin, initargs=[Path(folder)]) as pool,
    ):
        asked = [(name, seed) for seed in seeds for name in names]
        runs = [
            (name, seed, pool.schedule(_run, args=[name, seed, Path(folder)], timeout=SECONDS))
            for name, seed in asked
        ]
        for done, (name, seed, run) in enumerate(runs):
            if done and done % 500 == 0:
                print(f"{done} runs so far", file=sys.stderr, flush=True)
            try:
                fault = run.result()
            except TooLong:
                fault = f"no end within {SECONDS} s"
            except ProcessExpired as ended:
                fault = f"the process died: {ended.exitcode}"
            if fault:
                yield name, seed, fault


NAMES = [
    "catalogue",
    "picked",
    "guess",
    "theirs",
    "found",
    "ods",
    "xls",
    "map",
    "brief",
    "range",
    "kit",
    "workbook",
    "parquet",
    "sqlite",
    "settings",
]


def main() -> int:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=1000, help="over all readers")
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--reader", choices=NAMES, help="one of them; else all")
    asked = parser.parse_args()
    names = [asked.reader] if asked.reader else NAMES
    seeds = range(asked.first, asked.first + -(-asked.runs // len(names)))
    found = 0
    for name, seed, fault in faults(names, seeds):
        found += 1
        print(f"--- {name}, seed {seed}\n{fault}", flush=True)
    print(f"{len(seeds) * len(names)} runs, {found} with a fault")
    return int(found > 0)


if __name__ == "__main__":
    raise SystemExit(main())
