"""The page stays at work whatever it is sent: real requests to a real process."""

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from urllib.parse import quote, urlsplit

import pytest

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
PLAIN = {"currency": "EUR", "cap": "30.00"}
ASKED = "/?currency=EUR&cap=30.00"
PATIENCE = 120

pytestmark = pytest.mark.skipif(not Path("/proc").exists(), reason="processes are found in /proc")


@pytest.fixture(scope="module")
def page():
    """Give the process of a page of its own, and its address."""
    command = [sys.executable, "-m", "kitsolver", "page", "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as process:
        told = process.stderr.readline()
        yield process.pid, urlsplit(told.split(" at ")[1].split(" ")[0]).netloc
        process.send_signal(signal.SIGINT)
        rest = process.stderr.read()
        assert process.wait(PATIENCE) == 130
    assert "Traceback" not in rest, rest


def asked(netloc, path="/", *, method="GET", body=None, headers=()):
    connection = http.client.HTTPConnection(netloc, timeout=PATIENCE)
    connection.request(method, path, body, dict(headers))
    answer = connection.getresponse()
    text = answer.read().decode()
    connection.close()
    return answer, text


def children(pid):
    """Return the worker processes of a page."""
    found = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    for task in Path(f"/proc/{pid}/task").iterdir():
        found += (task / "children").read_text().split()
    return {int(child) for child in found if "spawn_main" in command_of(child)}


def command_of(pid):
    path = Path(f"/proc/{pid}/cmdline")
    return path.read_text() if path.exists() else ""


def processor_seconds(pid):
    """Return how much processor time a process has taken, which no other process adds to."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


HOSTILE = {
    "a long address": "/?" + "a=" * 30_000,
    "many keys": "/?" + "&".join(f"k{n}=1" for n in range(1_500)),
    "equal signs": "/?" + quote('choose.keep="' + "=" * 14_000, safe="=."),
    "dots": "/?currency=EUR&cap=3&" + "a." * 7_000 + "a=1",
    "nested lists": "/?currency=EUR&cap=3&choose.keep=" + "[" * 14_000,
    "a long number": "/?currency=EUR&cap=" + "9" * 14_000,
    "a long ladder": f"{ASKED}&to=" + "9" * 14_000,
    "an address within": "/change?was=" + quote("a=" * 4_000),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_no_address_holds_up_the_page(page, name):
    pid, netloc = page
    before = processor_seconds(pid)
    answer, _ = asked(netloc, HOSTILE[name])
    assert answer.status in (404, 414, 422, 504)
    # What the page's own process does for it is next to nothing; a worker may do more.
    assert processor_seconds(pid) - before < 1


BODIES = {
    "sets with dots": {"brief": PLAIN, "sets": ["a." * 20_000 + "a=1"]},
    "many sets": {"brief": PLAIN, "sets": ["a=1"] * 50_000},
    "sets with signs": {"brief": PLAIN, "sets": ['choose.keep="' + "=" * 60_000]},
    "a long list": {"brief": PLAIN | {"choose": {"keep": ["x"] * 100_000}}},
}


@pytest.mark.parametrize("name", BODIES)
def test_no_body_holds_up_the_page(page, name):
    pid, netloc = page
    before = processor_seconds(pid)
    body = json.dumps(BODIES[name])
    headers = {"Content-Type": "application/json"}
    answer, text = asked(netloc, "/api/pick", method="POST", body=body, headers=headers)
    assert answer.status in (413, 422, 504), text[:200]
    assert processor_seconds(pid) - before < 2


def test_no_brief_as_text_holds_up_the_page(page):
    pid, netloc = page
    before = processor_seconds(pid)
    headers = {"Content-Type": "application/x-www-form-urlencoded"}
    for text in ("a." * 20_000 + "a = 1", "x = " + "[" * 60_000, "x" * 60_000):
        body = f"text={quote(text)}"
        answer, _ = asked(netloc, "/brief", method="POST", body=body, headers=headers)
        assert answer.status in (413, 422, 504)
    assert processor_seconds(pid) - before < 3


@pytest.mark.parametrize(
    "header",
    [
        "Origin: http://[",
        "Origin: ://",
        "Origin: \xff\xfe",
        "Content-Length: 99999999999999999999999",
        "Content-Length: -1",
        "Content-Type: multipart/form-data",
        "Content-Type: multipart/form-data; boundary=",
        "Content-Type: application/json; charset*=%%%",
        "Sec-Fetch-Site: \xe9",
        "X-Ticket: " + "x" * 5_000,
        "Cookie: =;=;\x01",
        "Transfer-Encoding: nonsense",
    ],
)
@pytest.mark.parametrize(
    "start", ["GET / HTTP/1.1", "POST /api/pick HTTP/1.1", "POST /brief HTTP/1.1"]
)
def test_a_malformed_header_is_answered(page, header, start):
    _, netloc = page
    host, _, port = netloc.partition(":")
    with socket.create_connection((host, int(port)), timeout=PATIENCE) as connection:
        text = f"{start} HTTP/1.1\r\nHost: {netloc}\r\nConnection: close\r\n{header}\r\n\r\n"
        connection.sendall(text.encode("latin-1"))
        connection.shutdown(socket.SHUT_WR)
        answer = connection.makefile("rb").readline()
    status = re.match(rb"HTTP/1.1 (\d+)", answer)
    # A client that has gone before it sent its body needs no answer.
    assert status is None or int(status[1]) < 500, answer


@pytest.mark.slow
def test_killed_workers_are_replaced_without_a_restart(page):
    pid, netloc = page
    asked(netloc, ASKED)
    for _ in range(2):
        before = children(pid)
        for worker in before:
            os.kill(worker, signal.SIGKILL)
        answer, _ = asked(netloc, f"{ASKED}&title=again")
        assert answer.status == 200
    end = time.monotonic() + PATIENCE
    while len(children(pid)) < len(before):
        assert time.monotonic() < end
        time.sleep(0.05)


@pytest.mark.slow
def test_clients_that_have_gone_cost_nothing(page):
    pid, netloc = page
    host, _, port = netloc.partition(":")
    # A shop that is asked for the first time is to be read first.
    for number in range(30):
        with socket.create_connection((host, int(port)), timeout=PATIENCE) as connection:
            path = f"/ladder?currency=EUR&cap={30 + number}.00"
            connection.sendall(f"GET {path} HTTP/1.1\r\nHost: {netloc}\r\n\r\n".encode())
    # Thirty ladders would keep the workers busy for minutes, and the line full.
    answer, _ = asked(netloc, f"/shelves{ASKED[1:]}&words=thread")
    assert answer.status == 200
    end = time.monotonic() + PATIENCE
    while True:
        busy = {child: processor_seconds(child) for child in children(pid)}
        time.sleep(0.5)
        after = {child: processor_seconds(child) for child in children(pid) & busy.keys()}
        if after and all(after[child] == busy[child] for child in after):
            break
        assert time.monotonic() < end


@pytest.mark.slow
def test_twenty_uploads_at_once_are_each_read_or_told_to_come_back(page):
    _, netloc = page
    text = SHOP.read_text(encoding="utf-8")

    def upload(number):
        body = text + "\n" * (number + 1)
        answer, told = asked(netloc, "/api/catalogues", method="POST", body=body.encode())
        if answer.status == 503:
            assert answer.getheader("Retry-After")
            return None
        assert answer.status == 201, told
        digest = json.loads(told)["catalogue"]
        kit, _ = asked(netloc, f"/catalogue?catalogue={digest}&currency=EUR&cap=30")
        return kit.status

    with ThreadPoolExecutor(20) as threads:
        statuses = list(threads.map(upload, range(20)))
    assert set(statuses) <= {200, 503, None}
    assert 200 in statuses


def test_an_address_made_on_another_catalogue_says_so(page):
    _, netloc = page
    _, text = asked(netloc, ASKED)
    link = re.search(r'data-swap href="([^"]+made_on=[^"]+)"', text)[1].replace("&amp;", "&")
    assert "another list of goods" not in asked(netloc, link)[1]
    assert "another list of goods" not in text
    moved = re.sub(r"made_on=\w+", "made_on=0123456789abcdef", link)
    assert "This address was made on another list of goods" in asked(netloc, moved)[1]


def test_a_picking_list_for_more_than_the_stock_makes_is_refused(page):
    _, netloc = page
    answer, text = asked(netloc, f"/sheet{ASKED[1:]}&reader=shop&copies=9999")
    assert answer.status == 422
    assert re.search(r"are needed and \d+ are in stock: order \d+", text)
