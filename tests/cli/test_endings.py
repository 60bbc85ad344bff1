"""How commands end: Ctrl-C, a reader that goes away, a full disk, an output without ``×``.

All of it happens to real processes, by real signals and pipes.
"""

import json
import os
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")
BUNDLE = str(DEMO / "bundle.toml")
PROGRAM = (sys.executable, "-m", "kitsolver")
# How long a process may take until it is where a test waits for it; no test waits this long.
PATIENCE = 120

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals and pipes are POSIX's here")


@pytest.fixture
def small(tmp_path):
    """Give a shop of one good that has a finding, and a brief for it."""
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(
        "sku,name,category,price,quality\nS1,Stork × 2,scissors,5.00,60\nS2,=a,scissors,8.00,6\n",
        encoding="utf-8",
    )
    brief.write_text('currency = "EUR"\ncap = "10.00"\nholds = ["scissors"]\n', encoding="utf-8")
    return str(shop), str(brief)


def quiet(told):
    assert "Traceback" not in told, told
    assert "Exception ignored" not in told, told


COMMANDS = {
    "pick": ("pick", "SHOP", "BRIEF"),
    "no kit": ("pick", "SHOP", "BRIEF", "--cap", "1.00"),
    "json": ("pick", "SHOP", "BRIEF", "--json", "-"),
    "csv": ("pick", "SHOP", "BRIEF", "--csv", "-"),
    "check": ("check", "SHOP", "BRIEF"),
    "ladder": ("ladder", "SHOP", "BRIEF"),
    "others": ("others", "SHOP", "BRIEF"),
    "why": ("why", "SHOP", "BRIEF", "S2"),
    "schema": ("schema",),
    "help": ("--help",),
}
CODES = dict.fromkeys(COMMANDS, 0) | {"no kit": 1}


def command(name, small):
    words = {"SHOP": small[0], "BRIEF": small[1]}
    return [*PROGRAM, *(words.get(word, word) for word in COMMANDS[name])]


# Each starts a process: a few by default, the others with the slow tests.
over_commands = pytest.mark.parametrize(
    "name",
    [
        pytest.param(name, marks=[] if name in ("check", "pick", "json") else pytest.mark.slow)
        for name in COMMANDS
    ],
)


@over_commands
def test_a_reader_that_goes_away_is_nothing_to_tell(name, small):
    """As in ``kitsolver check … | head -1``: the exit code is the command's own."""
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as output:
        ended = subprocess.run(
            command(name, small), stdout=output, stderr=subprocess.PIPE, text=True, check=False
        )
    quiet(ended.stderr)
    assert ended.returncode == CODES[name]
    assert "BrokenPipe" not in ended.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no /dev/full here")
@over_commands
@pytest.mark.slow
def test_a_full_output_is_told_like_a_full_disk(name, small):
    with Path("/dev/full").open("wb") as output:
        ended = subprocess.run(
            command(name, small), stdout=output, stderr=subprocess.PIPE, text=True, check=False
        )
    quiet(ended.stderr)
    assert ended.returncode == 2
    assert "error (unwritable) standard output" in ended.stderr
    assert "no space left on device" in ended.stderr


@pytest.mark.parametrize("name", ["pick", "json", "help"])
@pytest.mark.slow
def test_a_closed_output_is_told_likewise(name, small):
    shell = ["sh", "-c", 'exec "$@" >&-', "sh", *command(name, small)]
    ended = subprocess.run(shell, stderr=subprocess.PIPE, text=True, check=False)
    quiet(ended.stderr)
    assert ended.returncode == 2
    assert "error (unwritable) standard output" in ended.stderr
    assert "it is closed" in ended.stderr


def test_what_goes_to_a_file_needs_no_standard_error(small, tmp_path):
    target = str(tmp_path / "kit.json")
    shell = ["sh", "-c", 'exec "$@" 2>&- >/dev/null', "sh", *command("pick", small)]
    ended = subprocess.run([*shell, "--json", target], check=False)
    assert ended.returncode == 0
    assert json.loads(Path(target).read_text(encoding="utf-8"))["status"] == "best"


ENCODINGS = {
    "asked for": {"PYTHONIOENCODING": "ascii"},
    "of the locale": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
}


@pytest.mark.parametrize("how", ENCODINGS)
@pytest.mark.slow
def test_an_encoding_without_the_sign_gets_a_plain_one(how, small):
    environment = {key: held for key, held in os.environ.items() if not key.startswith("PYTHON")}
    ended = subprocess.run(
        command("pick", small), capture_output=True, env=environment | ENCODINGS[how], check=False
    )
    quiet(ended.stderr.decode())
    assert ended.returncode == 0
    assert b"1 x" in ended.stdout
    assert b"Stork x 2" in ended.stdout
    assert ended.stdout.isascii()


@pytest.mark.parametrize("how", ENCODINGS)
@pytest.mark.slow
def test_data_is_the_same_bytes_in_any_encoding(how, small, tmp_path):
    ended = subprocess.run(
        [*command("json", small)], capture_output=True, env=os.environ | ENCODINGS[how], check=False
    )
    target = tmp_path / "kit.json"
    subprocess.run(
        [*command("pick", small), "--json", str(target)], capture_output=True, check=True
    )
    assert ended.stdout == target.read_bytes()
    assert "×".encode() in ended.stdout


# A library that is slow to import, and drops the interrupt as those written in C may.
SLOW_TO_IMPORT = """
import pathlib, time
pathlib.Path({marker!r}).touch()
while True:
    try:
        time.sleep(60)
    except BaseException:
        pass
"""


def until(holds, process):
    """Wait until something holds, while a process is running."""
    end = time.monotonic() + PATIENCE
    while not holds():
        assert process.poll() is None, process.communicate()
        assert time.monotonic() < end
        time.sleep(0.01)


def interrupted(process):
    """Press Ctrl-C, and return what the process says in the end."""
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=PATIENCE)
    assert process.returncode == 130, told
    quiet(told)
    return told


@contextmanager
def started(*words, **how):
    """Start a process, which ends with the block: one that hangs fails its test, and no other."""
    piped = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(words, **piped, **how) as process:
        try:
            yield process
        finally:
            process.kill()


@pytest.mark.parametrize(
    ("library", "words"),
    [
        ("typer", ("--help",)),
        ("numpy", ("check", SHOP)),
        ("rich", ("pick", SHOP, BUNDLE)),
        ("ortools", ("pick", SHOP, BUNDLE, "--engine", "oneshot")),
        ("uvicorn", ("page", "--port", "0")),
    ],
)
def test_it_can_be_interrupted_while_imports_run(library, words, tmp_path):
    marker = tmp_path / "marker"
    (tmp_path / f"{library}.py").write_text(SLOW_TO_IMPORT.format(marker=str(marker)))
    environment = os.environ | {"PYTHONPATH": str(tmp_path)}
    with started(*PROGRAM, *words, env=environment) as process:
        until(marker.exists, process)
        assert interrupted(process) == ""


@pytest.mark.parametrize(
    "command",
    [
        "pick",
        *(pytest.param(c, marks=pytest.mark.slow) for c in ("ladder", "others", "why", "check")),
    ],
)
def test_it_can_be_interrupted_while_it_reads(command, tmp_path):
    """A pipe that nobody writes to keeps it there."""
    os.mkfifo(tmp_path / "pipe.toml")
    with started(*PROGRAM, command, SHOP, str(tmp_path / "pipe.toml")) as process:
        holding = f"/proc/{process.pid}/wchan"
        if Path(holding).exists():
            until(lambda: "fifo" in Path(holding).read_text() or _waits(process), process)
        assert interrupted(process) == ""


def _waits(process):
    """Tell whether a process sleeps with its libraries loaded."""
    status = Path(f"/proc/{process.pid}/status").read_text()
    maps = Path(f"/proc/{process.pid}/maps").read_text()
    return "State:\tS" in status and "pydantic_core" in maps


IN_C = """
import hashlib
from kitsolver.cli import interrupts
interrupts.install()
interrupts.watch()
print("ready", flush=True)
hashlib.pbkdf2_hmac("sha256", b"", b"", 2_000_000_000)
"""
SWALLOWED = """
import time
from contextlib import contextmanager
from kitsolver.cli import interrupts
interrupts.install()
interrupts.watch()
with interrupts.cleaning_up(0.2):
    ready = False
    while True:
        try:
            ready = ready or print("ready", flush=True) or True
            time.sleep(60)
        except KeyboardInterrupt:
            pass
"""


@pytest.mark.parametrize("program", [IN_C, SWALLOWED], ids=["in C", "swallowed"])
@pytest.mark.slow
def test_an_interrupt_is_never_lost(program):
    """Neither a solver that keeps the main thread, nor a library that drops it, holds it up."""
    with started(sys.executable, "-c", program) as process:
        assert process.stdout.readline() == "ready\n"
        assert interrupted(process) == ""


def test_an_interrupt_that_was_dropped_shows_in_the_exit_code():
    program = """
import os, signal, sys
import kitsolver.cli as cli
from kitsolver.cli import interrupts
import kitsolver.cli.program as program

def app():
    with interrupts.cleaning_up(60):
        try:
            os.kill(os.getpid(), signal.SIGINT)
            signal.pause()
        except KeyboardInterrupt:
            pass

program.app = app
cli.main()
"""
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert (ended.returncode, ended.stderr) == (130, b"")


def test_interrupted_while_it_writes_it_leaves_no_draft(tmp_path, small):
    program = f"""
import os, pathlib, signal, sys
from kitsolver.cli import main

pathlib.Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGINT)
sys.argv = ["kitsolver", "pick", *{small!r}, "--json", {str(tmp_path / "kit.json")!r}]
main()
"""
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    quiet(ended.stderr.decode())
    assert ended.returncode == 130
    assert {path.name for path in tmp_path.iterdir()} == {"brief.toml", "shop.csv"}


def test_what_puts_ctrl_c_off_is_done_first():
    code = (
        "import os, signal\n"
        "from kitsolver.cli import interrupts\n"
        "interrupts.install()\n"
        "with interrupts.putting_off():\n"
        "    os.kill(os.getpid(), signal.SIGINT)\n"
        "    os.write(1, b'done')\n"
        "os.write(1, b' and more')\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"done", b"")
