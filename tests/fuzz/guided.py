"""Coverage-guided fuzzing of the parsers, each by the command that reads its input.

Run ``pip install atheris``, then ``python tests/fuzz/guided.py FOLDER``. The readers take turns of
``--turn`` seconds until each has had ``--seconds`` of the processor. For each reader, libFuzzer
keeps the inputs that reach new lines of the program, and mutates them further, half by its own
changes and half by those of ``mutate.py``. It begins with the sound input of ``corpus.py``.

FOLDER holds what was gathered for each reader, the inputs of faults, and ``log.csv`` with a line
for each turn. So the command can be stopped at any time, which loses a turn at most, and goes on
where it was; ``--table`` adds up the log. A run is a fault as in ``fuzz.py``; the 1 GB is that of
the process, which does thousands of runs. A fault ends the reader's turns until the command is run
again: it is printed, and the command exits 1.
"""

from __future__ import annotations

import argparse
import csv
import importlib
import os
import pkgutil
import random
import re
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1]))

# Those first that most people's input goes through. One more reader takes an input for options,
# which name commands: it is no parser.
PARSERS = (
    *("brief", "map", "catalogue", "home", "range", "kit", "workbook", "source", "parquet"),
    *("sqlite", "guess", "theirs", "found", "settings", "ods", "xls"),
)
MEGABYTES = 1024
MOST_BYTES = 200_000


class Turn(NamedTuple):
    """What a turn of a reader did: a line of the log."""

    reader: str
    day: str
    seconds: int  # of the processor, without the start of the process
    runs: int
    first: int  # edges reached by what was gathered before
    last: int
    peak: int  # MB
    fault: str  # empty if there was none


def fuzz(name: str, seconds: int, folder: Path, scratch: Path) -> None:
    """Fuzz a reader in this process, which libFuzzer ends."""
    import atheris

    with atheris.instrument_imports(include=["kitsolver"]):
        import kitsolver

        # The instruments cannot be put in while a command runs: they want the streams that it has
        # replaced, and take longer than a run may.
        for module in pkgutil.walk_packages(kitsolver.__path__, "kitsolver."):
            if not module.name.endswith("__main__"):
                importlib.import_module(module.name)
    from fuzz.corpus import lay_out
    from fuzz.fuzz import SECONDS, WORKED, command_fault
    from fuzz.mutate import mutated

    reader = lay_out(scratch)[name]
    gathered = folder / "gathered" / name
    gathered.mkdir(parents=True, exist_ok=True)
    (gathered / "sound").write_bytes(reader.content)

    def run(content: bytes) -> None:
        began = time.process_time()
        fault = command_fault(reader, content, random.Random(content), scratch)
        if not fault and time.process_time() - began > WORKED:
            fault = f"{time.process_time() - began:.0f} s of processor time"
        if fault:
            print(fault, flush=True)
            raise AssertionError(f"a fault of {name}")
        if time.process_time() > until:
            os.kill(os.getpid(), signal.SIGUSR1)  # by which libFuzzer ends in good order

    print(f"began: {time.process_time():.0f}", flush=True)
    until = time.process_time() + seconds
    run(reader.content)

    def changed(content: bytes, most: int, seed: int) -> bytes:
        rng = random.Random(seed)
        if rng.random() < 0.5:
            return bytes(atheris.Mutate(content, most))
        return mutated(content, rng)[:most]

    options = {
        "timeout": SECONDS,
        "rss_limit_mb": MEGABYTES,
        "max_len": MOST_BYTES,
        "artifact_prefix": f"{folder}/faults/{name}-",
        "print_final_stats": 1,
    }
    given = [f"-{key}={value}" for key, value in options.items()]
    atheris.Setup([name, *given, str(gathered)], run, custom_mutator=changed)
    atheris.Fuzz()


def turn_of(name: str, seconds: int, folder: Path) -> tuple[Turn, str]:
    """Fuzz a reader in a process of its own; return what it did and what it printed."""
    before = _seconds_of_children()
    given = [str(folder), "--reader", name, "--turn", str(seconds)]
    with tempfile.TemporaryDirectory() as scratch:
        command = [sys.executable, __file__, *given, "--scratch", scratch]
        ended = subprocess.run(command, capture_output=True, text=True, check=False)
    said = ended.stderr + ended.stdout

    def figures(pattern: str) -> list[int]:
        return [int(figure) for figure in re.findall(pattern, said)] or [0]

    edges = figures(r"cov: (\d+)")
    done = Turn(
        name,
        f"{date.today()}",
        round(_seconds_of_children() - before) - figures(r"began: (\d+)")[0],
        figures(r"number_of_executed_units: *(\d+)")[0],
        edges[0],
        edges[-1],
        figures(r"peak_rss_mb: *(\d+)")[0],
        f"exit {ended.returncode}" if ended.returncode else "",
    )
    return done, said


def _seconds_of_children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def turns(folder: Path) -> list[Turn]:
    """Return the turns that a folder's log holds, in their order."""
    log = folder / "log.csv"
    if not log.exists():
        return []
    with log.open(newline="", encoding="utf-8") as lines:
        return [
            Turn(name, day, *(int(figure) for figure in figures), fault)
            for name, day, *figures, fault in csv.reader(lines)
        ]


def table(done: Sequence[Turn]) -> str:
    """Return the sums of each reader, as a table of Markdown."""
    lines = [
        "| parser | processor, s | runs | edges, first and last | peak, MB | faults |",
        "|---|---|---|---|---|---|",
    ]
    for name in PARSERS:
        if own := [turn for turn in done if turn.reader == name]:
            seconds, runs = sum(turn.seconds for turn in own), sum(turn.runs for turn in own)
            edges = f"{own[0].first:,}, {max(turn.last for turn in own):,}"
            peak, faults = max(turn.peak for turn in own), sum(bool(turn.fault) for turn in own)
            lines.append(f"| {name} | {seconds:,} | {runs:,} | {edges} | {peak} | {faults} |")
    return "\n".join(lines)


def main() -> int:
    """Give the readers their turns."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path, help="what is gathered, the faults and the log")
    parser.add_argument("--reader", choices=PARSERS, help="one of them; else all")
    parser.add_argument("--seconds", type=int, default=3600, help="of the processor, each in all")
    parser.add_argument("--turn", type=int, default=300, help="seconds of a turn")
    parser.add_argument("--table", action="store_true", help="print what the log holds")
    parser.add_argument("--scratch", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    folder: Path = asked.folder.absolute()
    if asked.table:
        print(table(turns(folder)))
        return 0
    if asked.scratch:
        fuzz(asked.reader, asked.turn, folder, asked.scratch)
        return 0
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # which ends the reader's process, too
    (folder / "faults").mkdir(parents=True, exist_ok=True)
    had = dict.fromkeys([asked.reader] if asked.reader else PARSERS, 0)
    for turn in turns(folder):
        if turn.reader in had:
            had[turn.reader] += turn.seconds
    wrong = 0
    while waiting := [name for name, seconds in had.items() if seconds < asked.seconds]:
        # The first of those that had the fewest turns.
        name = min(waiting, key=lambda name: round(had[name] / asked.turn))
        done, said = turn_of(name, min(asked.turn, asked.seconds - had[name]), folder)
        with (folder / "log.csv").open("a", newline="", encoding="utf-8") as log:
            csv.writer(log).writerow(done)
        had[name] += max(done.seconds, 1)
        print(", ".join(f"{part}" for part in done), flush=True)
        if done.fault:
            wrong += 1
            del had[name]
            print(said[-4000:], flush=True)
    return int(wrong > 0)


if __name__ == "__main__":
    raise SystemExit(main())
