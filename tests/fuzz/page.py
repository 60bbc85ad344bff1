"""The page as a reader: raw requests to a page that is served by a process of its own."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

# By the clock: how long an answer may take on a busy machine, and after how long a client hangs up
# whose request may have no end.
SECONDS, LINGERS = 120, 2
# Busy, and out of time: answers, and no faults.
ANSWERS = {503, 504}
ADDRESS = (
    b"?currency=EUR&cap=30.00&heads=2&needs.chart.max_price=4.00&extras.spend=together"
    b"&shades.mode=free&choose.leave_out=%5B'T1'%5D&seen=12.00+C1"
)
HEADERS = (
    b"GET /kit.json?currency=EUR&cap=30 HTTP/1.1\r\nHost: {host}\r\nAccept-Language: de;q=0.5\r\n"
    b"Cookie: a=b\r\nX-Ticket: abc\r\nOrigin: http://{host}\r\nContent-Length: 0\r\n"
    b"Connection: close\r\n\r\n"
)
QUESTION = (
    b'{"brief": {"currency": "EUR", "cap": "40.00", "needs": {"fabric": {"weight": 2, "only": '
    b'{"count": [14]}}}, "extras": {"most": 1}}, "sets": ["heads=2"], "cap": "30", '
    b'"catalogue": "page", "skip_bad_rows": false, "sku": "T1", "count": 2}'
)
FORM = (
    b'--x\r\nContent-Disposition: form-data; name="file"; filename="goods.csv"\r\n\r\n'
    b"sku,name,category,price,quality\r\nA1,One,case,1.00,50\r\n--x\r\n"
    b'Content-Disposition: form-data; name="brief"\r\n\r\ncurrency = "EUR"\r\n--x--\r\n'
)
VIEWS = (
    *("", "ladder", "others", "why", "several", "sheet", "shelves", "begin", "goods", "change"),
    *("friend", "enough", "kept", "kit.json", "kit.csv", "ladder.json", "brief.toml", "line/1"),
    *("catalogue", "several/sheet", "api/catalogues/page"),
)
FORMS = ("catalogue", "home", "saved", "brief", "goods", "begin", "keep")
POSTS = ("/api/pick", "/api/others", "/api/why", "/api/ladder", "/api/recheck", "/api/catalogues")


@contextmanager
def served(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """Serve the sound files of a folder; give the host, and at the end what it complained of."""
    command = [sys.executable, "-m", "kitsolver", "page", "sound.csv", "sound.toml", "--port", "0"]
    told: list[str] = []
    with (folder / "page.txt").open("w+", encoding="utf-8") as log:
        page = subprocess.Popen(command, cwd=folder, stderr=log, stdout=log)
        try:
            while not (found := re.search(r"http://([^/ ]+)", (folder / "page.txt").read_text())):
                assert page.poll() is None, (folder / "page.txt").read_text()
            yield found[1], told
        finally:
            page.terminate()
            page.wait(SECONDS)
        text = (folder / "page.txt").read_text(encoding="utf-8")
        if "Traceback" in text:
            told.append(text[-3000:])


def request(name: str, content: bytes, host: str, seed: int) -> bytes:
    """Return the request that a mutated input makes."""
    if name == "headers":
        return content.replace(b"{host}", host.encode())
    end = f"HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n".encode()
    if name == "address":
        view = VIEWS[seed % len(VIEWS)].encode()
        return b"GET /" + view + content.replace(b" ", b"%20") + b" " + end + b"\r\n"
    path, kind = POSTS[seed % len(POSTS)].encode(), b"application/json"
    if name == "form":
        path = b"/" + FORMS[seed % len(FORMS)].encode()
        kind = b"multipart/form-data; boundary=x"
    length = str(len(content)).encode()
    return (
        b"POST " + path + b" " + end + b"Content-Type: " + kind + b"\r\n"
        b"Content-Length: " + length + b"\r\n\r\n" + content
    )


def answer_fault(sent: bytes, host: str, *, whole: bool) -> str:
    """Send a request; return what is wrong with the answer, empty if nothing is.

    The page waits for the rest of a request that is not `whole`, and gives those no answer who have
    hung up.
    """
    name, port = host.split(":")
    with socket.create_connection((name, int(port)), SECONDS if whole else LINGERS) as link:
        try:
            link.sendall(sent)
            answer = link.recv(64)
        except TimeoutError:
            return f"no answer within {SECONDS} s: {sent[:500]!r}" * whole
        except OSError:
            return ""  # hung up before all was read: it was too long, or no HTTP
    status = re.match(rb"HTTP/1.1 (\d+)", answer)
    if whole and not answer:
        return f"no answer to {sent[:2000]!r}"
    if status and int(status[1]) >= 500 and int(status[1]) not in ANSWERS:
        return f"{answer!r} to {sent[:2000]!r}"
    return ""
