"""Mutates the corpus and runs commands on it: no fault, no traceback, no hang.

Run ``python tests/fuzz/fuzz.py --runs 20000`` for more than CI does. It exits 1 if anything was
found, and names each by reader and seed; ``--reader NAME --first SEED --runs 1`` runs it again. A
run may take 20 s of processor time and a process 1 GB of memory. ``--log F`` writes down which
seeds are done, and passes over those that F holds.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import re
import resource
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator, Sequence
from concurrent.futures import TimeoutError as TooLong
from contextlib import ExitStack, nullcontext
from pathlib import Path
from typing import IO

sys.path.insert(0, str(Path(__file__).parents[1]))

from pebble import ProcessExpired, ProcessPool
from typer.testing import CliRunner

from fuzz.corpus import Reader, lay_out
from fuzz.mutate import mutated
from fuzz.page import answer_fault, request, served
from kitsolver.cli import app

# What a run may take: time by the clock, of which a busy machine takes most, time of the processor,
# and memory that is there.
SECONDS, WORKED, MEMORY = 180, 20, 1 << 30
CODES = {0, 1, 2, 3}
PAGE = ("address", "headers", "form", "saved", "question")
# Names that would leave the folder, and commands that do not end.
ELSEWHERE = re.compile(r"^/|^~|\.\.|^page$|^--out|^--port")


def fault_of(reader: Reader, seed: int, folder: Path, host: str) -> str:
    """Run a reader on its input, mutated by a seed; return what is wrong, empty if nothing is.

    `host` is where the page is served for the readers that ask it.
    """
    rng = random.Random(f"{reader.name} {seed}")
    content = mutated(reader.content, rng)
    if reader.name in PAGE:
        sent = request(reader.name, content, host, seed)
        return answer_fault(sent, host, whole=reader.name != "headers")
    began = time.process_time()
    fault = command_fault(reader, content, rng, folder)
    if not fault and time.process_time() - began > WORKED:
        fault = f"{time.process_time() - began:.0f} s of processor time"
    # Linux gives kilobytes.
    if not fault and (peak := resource.getrusage(resource.RUSAGE_SELF).ru_maxrss << 10) > MEMORY:
        fault = f"{peak >> 20} MB of memory"
    return fault


def command_fault(reader: Reader, content: bytes, rng: random.Random, folder: Path) -> str:
    path = folder / f"{os.getpid()}-{reader.file}"
    path.write_bytes(content)
    command = [part.replace("{}", path.name) for part in reader.command]
    # An argument holds no NUL. What cannot be decoded is shown by the program's own streams, which
    # this runner does not have: a test of its own sees to that.
    lines = content.replace(b"\0", b"").decode("utf-8", "replace").split("\n")
    if reader.name == "settings":
        command += [part for line in lines for part in ("--set", line)]
    if reader.name == "options":
        command += ["sound" if ELSEWHERE.search(line) else line for line in lines]
    if reader.name == "source":
        command.append(rng.choice(lines))
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
    """Make a worker ready: a corpus of its own."""
    own = folder / str(os.getpid())
    own.mkdir()
    _readers.update(lay_out(own))


def _run(name: str, seed: int, folder: Path, host: str) -> str:
    return fault_of(_readers[name], seed, folder / str(os.getpid()), host)


def faults(
    asked: Sequence[tuple[str, int]], *, workers: int = 1, log: IO[str] | None = None
) -> Iterator[tuple[str, int, str]]:
    """Yield the reader, the seed and the fault of each run that went wrong."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        (folder / "page").mkdir()
        lay_out(folder / "page")
        host, complaints = stack.enter_context(served(folder / "page"))
        pool = stack.enter_context(
            ProcessPool(workers, max_tasks=500, initializer=_begin, initargs=[folder])
        )
        for part in range(0, len(asked), 500):
            runs = [
                (name, seed, pool.schedule(_run, args=[name, seed, folder, host], timeout=SECONDS))
                for name, seed in asked[part : part + 500]
            ]
            for name, seed, run in runs:
                try:
                    fault = run.result()
                except TooLong:
                    fault = f"no end within {SECONDS} s"
                except ProcessExpired as ended:
                    fault = f"the process died: {ended.exitcode}"
                if log:
                    log.write(f"{name} {seed} {len(fault)}\n")
                if fault:
                    yield name, seed, fault
            if log:
                log.flush()
    for complaint in complaints:
        yield "page", 0, complaint


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
    "home",
    "options",
    "source",
    *PAGE,
]


def main() -> int:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=1000, help="over all readers")
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--reader", choices=NAMES, help="one of them; else all")
    parser.add_argument("--log", type=Path, help="which runs are done, to go on another time")
    asked = parser.parse_args()
    names = [asked.reader] if asked.reader else NAMES
    seeds = range(asked.first, asked.first + -(-asked.runs // len(names)))
    runs = [(name, seed) for seed in seeds for name in names]
    done: set[tuple[str, int]] = set()
    if asked.log and asked.log.exists():
        parts = (line.split() for line in asked.log.read_text(encoding="utf-8").splitlines())
        done = {(part[0], int(part[1])) for part in parts if len(part) == 3}
    found = 0
    with asked.log.open("a", encoding="utf-8") if asked.log else nullcontext() as log:
        for name, seed, fault in faults([run for run in runs if run not in done], log=log):
            found += 1
            print(f"--- {name}, seed {seed}\n{fault}", flush=True)
    print(f"{len(runs)} runs, {len(done)} of them before, {found} with a fault")
    return int(found > 0)


if __name__ == "__main__":
    raise SystemExit(main())
