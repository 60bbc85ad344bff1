"""The page as a reader: raw requests to a page that is served by a process of its own."""

from __future__ import annotations

import json
import re
import socket
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

# By the clock: how long an answer may take on a busy machine, and after how long a client hangs up
# whose request may have no end.
SECONDS, LINGERS = 120, 2
# Busy, and out of time: answers, and no faults.
ANSWERS = {503, 504}
ADDRESS = (
    b"currency=EUR&cap=30.00&heads=2&needs.chart.max_price=6.00&extras.spend=together"
    b"&shades.mode=free&choose.leave_out=%5B'T9'%5D&seen=12.00+C1"
)
HEADERS = (
    b"GET /kit.json?currency=EUR&cap=30 HTTP/1.1\r\nHost: {host}\r\nAccept-Language: de;q=0.5\r\n"
    b"Cookie: a=b\r\nX-Ticket: abc\r\nOrigin: http://{host}\r\nContent-Length: 0\r\n"
    b"Connection: close\r\n\r\n"
)
VIEWS = (
    *("", "ladder", "others?sku=T1", "why?sku=T1", "several", "sheet", "shelves", "begin"),
    *("goods", "change"),
    *("friend", "enough", "at-home", "kit.json", "kit.csv", "ladder.json", "brief.toml", "line/1"),
    *("catalogue", "several/sheet", "api/catalogues/page"),
)
# The forms that take a saved kit, and those that take goods and other fields.
FORMS = {
    "saved": ("saved",),
    "form": ("catalogue", "home", "brief", "goods", "begin", "keep", "at-home"),
}
QUESTIONS = ("pick", "others", "why", "ladder", "recheck", "catalogues")


def form_of(file: str, **fields: str) -> bytes:
    """Return a form with a file."""
    parts = [f'name="{name}"\r\n\r\n{value}' for name, value in fields.items()]
    parts.append(f'name="file"; filename="handed in"\r\n\r\n{file}')
    said = [f"--x\r\nContent-Disposition: form-data; {part}\r\n" for part in parts]
    return "".join([*said, "--x--\r\n"]).encode()


def questions(brief: str, goods: str, kit: object) -> bytes:
    """Return the bodies of the API's questions, by the end of their paths."""
    asked = {"brief": tomllib.loads(brief), "skip_bad_rows": True}
    bodies = {
        "pick": asked | {"sets": ["heads=2"], "cap": "40.00"},
        "others": asked | {"count": 2, "apart": 1, "tied": False, "beyond": "1.00", "lines": True},
        "why": asked | {"sku": "T1"},
        "ladder": asked | {"from": "10.00", "to": "60.00"},
        "recheck": {"kit": kit},
        "catalogues": goods,
    }
    return json.dumps(bodies).encode()


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
    end = f"HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n"
    if name == "address":
        view = VIEWS[seed % len(VIEWS)]
        start = f"GET /{view}{'&' if '?' in view else '?'}"
        return start.encode() + content.replace(b" ", b"%20") + f" {end}\r\n".encode()
    if name == "question":
        asked = QUESTIONS[seed % len(QUESTIONS)]
        path, kind = f"/api/{asked}", "application/json"
        with suppress(ValueError, KeyError, TypeError, RecursionError):
            body = json.loads(content)[asked]
            content = (body if isinstance(body, str) else json.dumps(body)).encode()
    else:
        path, kind = f"/{FORMS[name][seed % len(FORMS[name])]}", "multipart/form-data; boundary=x"
    head = f"POST {path} {end}Content-Type: {kind}\r\nContent-Length: {len(content)}\r\n\r\n"
    return head.encode() + content


def status_of(answer: bytes) -> int | None:
    """Return the status of an answer by its first bytes; None if it has none."""
    found = re.match(rb"HTTP/1.1 (\d+)", answer)
    return int(found[1]) if found else None


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
    if whole and not answer:
        return f"no answer to {sent[:2000]!r}"
    status = status_of(answer)
    if status is not None and status >= 500 and status not in ANSWERS:
        return f"{answer!r} to {sent[:2000]!r}"
    return ""
