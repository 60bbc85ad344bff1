"""Killed without a word: `pick` while it writes, and the page in the middle of a request."""

import http.client
import re
import signal
import subprocess
import sys
import time
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP, BRIEF = str(DEMO / "tormellick-whelk.csv"), str(DEMO / "bundle.toml")
PATIENCE = 60
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="SIGKILL is POSIX's"),
]

# Stops when its file is written and not yet in its place, and says so: then the test kills it.
STOPPED = """
import pathlib, sys, time
from kitsolver.cli import main

def stop(*_, **__):
    print("stopped", file=sys.stderr, flush=True)
    time.sleep(600)

pathlib.Path.replace = stop
sys.argv = ["kitsolver", "pick", {shop!r}, {brief!r}, "--json", {target!r}]
main()
"""


def test_a_pick_that_is_killed_leaves_the_old_file_and_can_be_run_again(tmp_path):
    target = tmp_path / "kit.json"
    target.write_text("before")
    program = STOPPED.format(shop=SHOP, brief=BRIEF, target=str(target))
    with subprocess.Popen([sys.executable, "-c", program], stderr=subprocess.PIPE) as killed:
        while (line := killed.stderr.readline()) != b"stopped\n":
            assert line, "it ended before"
        killed.send_signal(signal.SIGKILL)
        killed.wait(PATIENCE)
    assert target.read_text() == "before"
    again = [sys.executable, "-m", "kitsolver", "pick", SHOP, BRIEF, "--json", str(target)]
    assert subprocess.run(again, check=False, capture_output=True).returncode == 0
    assert target.read_text().startswith("{")


def asked(host):
    return closing(http.client.HTTPConnection(host, timeout=PATIENCE))


def children_of(pid):
    told = subprocess.run(
        ["ps", "-o", "pid=", "--ppid", str(pid)], capture_output=True, text=True, check=False
    )
    return [int(line) for line in told.stdout.split()]


def lives(pid):
    try:
        return "Z" not in Path(f"/proc/{pid}/stat").read_text().split(")")[1].split()[0]
    except FileNotFoundError:
        return False


@contextmanager
def served():
    """Start the page; give its process and its host, and leave nothing running."""
    command = [sys.executable, "-m", "kitsolver", "page", SHOP, BRIEF, "--port", "0"]
    page = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    with page:
        try:
            line = page.stderr.readline()
            while line and " at http" not in line:
                line = page.stderr.readline()
            yield page, re.search(r"http://([^/ ]+)", line)[1]
        finally:
            page.kill()


@pytest.mark.skipif(not Path("/proc").exists(), reason="children are looked up as on Linux")
def test_a_page_that_is_killed_takes_its_workers_along_and_can_be_started_again():
    with served() as (page, host), asked(host) as link, asked(host) as asking:
        link.request("POST", "/api/catalogues", Path(SHOP).read_bytes())
        answer = link.getresponse()
        assert (answer.status, bool(answer.read())) == (201, True)
        workers = children_of(page.pid)
        assert workers
        # A question that is being worked out when the page is killed.
        asking.request("GET", "/ladder.json?currency=EUR&cap=90")
        page.send_signal(signal.SIGKILL)
        page.wait(PATIENCE)
        with pytest.raises((http.client.HTTPException, ConnectionError)):
            asking.getresponse()
    end = time.monotonic() + PATIENCE
    while any(lives(pid) for pid in workers):
        assert time.monotonic() < end, "workers outlive the page"
        time.sleep(0.05)
    with served() as (_, host), asked(host) as link:
        link.request("GET", "/kit.json?currency=EUR&cap=30.00")
        assert link.getresponse().status == 200
