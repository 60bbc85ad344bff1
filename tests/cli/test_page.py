"""``kitsolver page`` from its start to its end."""

import signal
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
PAGE = [sys.executable, "-m", "kitsolver", "page"]


def run(*arguments):
    return CliRunner().invoke(app, ["page", *map(str, arguments)])


@contextmanager
def started(*arguments):
    """Start the page, give its process and its address, and leave nothing running."""
    process = subprocess.Popen(
        [*PAGE, *map(str, arguments), "--port", "0"], stderr=subprocess.PIPE, text=True
    )
    with process:
        try:
            told = process.stderr.readline()
            while told and " at http" not in told:
                told = process.stderr.readline()
            yield process, told.split(" at ")[1].split(" ")[0]
        finally:
            process.kill()


@pytest.mark.parametrize(
    "end", [signal.SIGINT, pytest.param(signal.SIGTERM, marks=pytest.mark.slow)]
)
def test_it_serves_what_it_was_started_with_and_ends_when_told(end):
    with started(SHOP, DEMO / "gift-card.toml") as (process, address):
        assert address.startswith("http://127.0.0.1:")
        with urllib.request.urlopen(address) as answer:
            text = answer.read().decode()
        assert "A gift card and a window" in text
        process.send_signal(end)
        assert process.wait(60) == (130 if end is signal.SIGINT else -signal.SIGTERM)
        assert "Traceback" not in process.stderr.read()


@pytest.mark.slow
def test_it_can_be_interrupted_while_it_begins():
    """Its workers are there, and the first view is being worked out."""
    process = subprocess.Popen([*PAGE, "--port", "0"], stderr=subprocess.PIPE, text=True)
    with process:
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children")
        if children.exists():
            tasks = children.parents[1]
            while not any((task / "children").read_text() for task in tasks.iterdir()):
                assert process.poll() is None
                time.sleep(0.01)
        process.send_signal(signal.SIGINT)
        told = process.stderr.read()
        assert process.wait(60) == 130
    assert "Traceback" not in told


@pytest.mark.slow
def test_with_a_catalogue_alone_it_asks_for_the_sum():
    with started(SHOP) as (_, address), urllib.request.urlopen(address) as answer:
        assert "What should the kit be?" in answer.read().decode()


def test_bad_input_is_told_before_anything_is_served(tmp_path):
    for arguments, told in (
        ((tmp_path / "none.csv",), "There is no such file."),
        ((SHOP, tmp_path / "none.toml"), "brief"),
    ):
        done = run(*arguments)
        assert done.exit_code == 2
        assert told in done.stderr
        assert "The page is at" not in done.stderr


def test_a_port_that_is_taken_is_a_finding_with_a_hint():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        done = run("--port", other.getsockname()[1])
    assert done.exit_code == 2
    assert "port-taken" in done.stderr
    assert "--port 0" in done.stderr
