"""Coverage-guided fuzzing of the parsers, each by the command that reads its input.

Run ``pip install atheris``, then ``python tests/fuzz/guided.py --seconds 140``. For each reader,
libFuzzer keeps the inputs that reach new lines of the program, and mutates them further, half by
its own changes and half by those of ``mutate.py``. It begins with the sound input of ``corpus.py``,
and what it gathers is thrown away. A run is a fault as in ``fuzz.py``; the 1 GB is that of the
process, which does thousands of runs. The first fault of a reader ends it: it is printed, its input
is kept in ``--faults``, and the command exits 1.
"""

from __future__ import annotations

import argparse
import importlib
import os
import pkgutil
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

# One more is an input's options, which name commands: it is no parser.
PARSERS = (
    *("catalogue", "guess", "theirs", "found", "map", "brief", "range", "kit", "home", "settings"),
    *("source", "workbook", "ods", "xls", "parquet", "sqlite"),
)
MEGABYTES = 1024
MOST_BYTES = 200_000


def guided(name: str, seconds: int, faults: Path, folder: Path) -> None:
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

    reader = lay_out(folder)[name]
    (folder / "gathered").mkdir()
    (folder / "gathered" / "sound").write_bytes(reader.content)

    def run(content: bytes) -> None:
        began = time.process_time()
        fault = command_fault(reader, content, random.Random(content), folder)
        if not fault and time.process_time() - began > WORKED:
            fault = f"{time.process_time() - began:.0f} s of processor time"
        if fault:
            print(fault, flush=True)
            raise AssertionError(f"a fault of {name}")
        if time.process_time() > until:
            os.kill(os.getpid(), signal.SIGUSR1)  # by which libFuzzer ends in good order

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
        "artifact_prefix": f"{faults}/{name}-",
        "print_final_stats": 1,
    }
    given = [f"-{key}={value}" for key, value in options.items()]
    atheris.Setup([name, *given, str(folder / "gathered")], run, custom_mutator=changed)
    atheris.Fuzz()


def main() -> int:
    """Fuzz one reader after the other, each in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--reader", choices=PARSERS, help="one of them; else all")
    parser.add_argument("--seconds", type=int, default=140, help="of the processor, each")
    parser.add_argument("--faults", type=Path, default=Path(), help="where inputs are kept")
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.folder:
        guided(asked.reader, asked.seconds, asked.faults.absolute(), asked.folder)
        return 0
    wrong = 0
    for name in [asked.reader] if asked.reader else PARSERS:
        given = ["--reader", name, "--seconds", str(asked.seconds), "--faults", str(asked.faults)]
        with tempfile.TemporaryDirectory() as folder:
            command = [sys.executable, __file__, *given, "--folder", folder]
            ended = subprocess.run(command, capture_output=True, text=True, check=False)
        said = ended.stdout + ended.stderr
        runs = re.findall(r"number_of_executed_units: *(\d+)", said)
        reached = re.findall(r"cov: (\d+)", said) or ["0"]
        peak = re.findall(r"peak_rss_mb: *(\d+)", said)
        end = "no fault" if not ended.returncode else f"exit {ended.returncode}"
        told = f"{''.join(runs)} runs, {reached[0]} to {reached[-1]} edges, {''.join(peak)} MB"
        print(f"{name}: {told}, {end}", flush=True)
        if ended.returncode:
            wrong += 1
            print(said[-4000:], flush=True)
    return int(wrong > 0)


if __name__ == "__main__":
    raise SystemExit(main())
