"""Requests as no browser makes them: none is a fault, and no answer gives away a place or a secret.

``KITSOLVER_SEED`` draws others than the day's; ``KITSOLVER_REQUESTS`` says how many.
"""

import os
import random
import re
import socket
import sys
import tempfile
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit

import pytest

PATIENCE = 120
FIRST = 1000 * int(os.environ.get("KITSOLVER_SEED", date.today().toordinal()))
NUMBER = int(os.environ.get("KITSOLVER_REQUESTS", 150))
# Busy, and out of time.
DOCUMENTED = {503, 504}
# Of this machine, and of the program's inside.
GIVEN_AWAY = (
    *(str(Path(__file__).parents[2]), str(Path.home()), sys.prefix, tempfile.gettempdir() + "/"),
    *("kitsolver-", "site-packages", "Traceback", '.py"', "root:", "PATH="),
)
VIEWS = (
    *("/", "/begin", "/sheet", "/kit.json", "/kit.csv", "/ladder.json", "/brief.toml", "/friend"),
    *("/shelves", "/why", "/others", "/several", "/several/sheet", "/change", "/enough", "/kept"),
    *("/catalogue", "/goods", "/at-home", "/line/x", "/page.css", "/page.js", "/type/x"),
    *("/api/openapi.json", "/api/catalogues/page", "/api/pick", "/api/why", "/saved", "/keep"),
)
SOUND = "?currency=EUR&cap=30.00"


@pytest.fixture(scope="module")
def netloc(served):
    return urlsplit(served).netloc


def answer_to(netloc, sent, *, whole):
    """Return the status and the text of the answer to a raw request; 0 if there is none.

    The page waits for the rest of what is not `whole`, until its client has gone.
    """
    host, _, port = netloc.partition(":")
    with socket.create_connection((host, int(port)), timeout=PATIENCE) as link:
        got = b""
        try:
            link.sendall(sent)
            if not whole:
                link.shutdown(socket.SHUT_WR)
            while part := link.recv(2**16):
                got += part
        except ConnectionError:
            pass  # hung up before all was read: it was too long, or no HTTP
    status = re.match(rb"HTTP/1.1 (\d+)", got)
    return int(status[1]) if status else 0, got.decode("utf-8", "replace")


def raw(netloc, line, *headers, body=b""):
    """Return a request to the page's own host, unless the headers name another."""
    if not any(header.lower().startswith(b"host:") for header in headers):
        headers = (b"Host: " + netloc.encode(), *headers)
    return b"\r\n".join([line + b" HTTP/1.1", b"Connection: close", *headers, b"", body])


def hold(netloc, sent, *, statuses=None, whole=True):
    """Hold what every answer must be."""
    status, text = answer_to(netloc, sent, whole=whole)
    assert status < 500 or status in DOCUMENTED, (sent[:500], text[:500])
    told = [word for word in GIVEN_AWAY if word in text]
    assert not told, (told, sent[:500], text[:1000])
    if statuses:
        assert status in statuses, (sent[:500], text[:500])
    return status, text


LANGUAGES = ("*", ";;;q=", "de;q=nan", "x" * 4000, "de-" * 900, "\xff\xfe", "zh-Hant-TW;q=1e9")
ASKED = SOUND.encode()
# By what they are: the first line, the headers, the body, and which statuses answer them.
REQUESTS = {
    "no host": (b"GET /", [b"Host:"], b"", {400, 421}),
    "two hosts": (b"GET /", [b"Host: 127.0.0.1", b"Host: shop.example"], b"", {400, 421}),
    "a host with a path": (b"GET /", [b"Host: 127.0.0.1/../x"], b"", {400, 421}),
    "a host with a user": (b"GET /", [b"Host: me@127.0.0.1:80"], b"", {400, 421}),
    "a host of bytes": (b"GET /", [b"Host: \xff\xfe"], b"", {400, 421}),
    "a long host": (b"GET /", [b"Host: " + b"a." * 5_000], b"", {400, 421}),
    "a host without end": (b"GET /", [b"Host: [::1"], b"", {400, 421}),
    "another host in the line": (b"GET http://shop.example/", [], b"", {200, 400, 404, 421}),
    "no length": (b"POST /api/pick", [], b"{}", {400, 422}),
    "a length too long": (b"POST /api/pick", [b"Content-Length: 900"], b"{}", {0, 400, 422}),
    "a length of words": (b"POST /api/pick", [b"Content-Length: ten"], b"{}", {400}),
    "a length with a sign": (b"POST /api/pick", [b"Content-Length: +2"], b"{}", {400}),
    "two lengths": (
        b"POST /api/pick", [b"Content-Length: 2", b"Content-Length: 3"], b"{}", {400},
    ),
    "length and chunks": (
        b"POST /api/pick",
        [b"Content-Length: 2", b"Transfer-Encoding: chunked"],
        b"0\r\n\r\n",
        {400, 422},
    ),
    "a chunk of no size": (b"POST /api/pick", [b"Transfer-Encoding: chunked"], b"zz\r\n", {0, 400}),
    "packed": (
        b"POST /api/pick",
        [b"Content-Encoding: gzip", b"Content-Length: 2"],
        b"\x1f\x8b",
        {400, 422},
    ),
    "a huge header": (b"GET /", [b"X-Much: " + b"x" * 100_000], b"", {0, 200, 400, 431}),
    "many headers": (b"GET /begin", [b"X-%d: 1" % n for n in range(900)], b"", {0, 200, 400, 431}),
    "a header of a thousand cookies": (b"GET /begin", [b"Cookie: " + b"a=b;" * 900], b"", {200}),
    "a header without a name": (b"GET /", [b": x"], b"", {400}),
    "a header in two lines": (b"GET /", [b"X-A: 1", b" 2"], b"", {200, 400}),
    "a null byte in a header": (b"GET /", [b"X-A: a\0b"], b"", {400}),
    "an answer put into a header": (b"GET /?a=%0d%0aSet-Cookie:x=y", [], b"", {422}),
    "accepts nothing": (b"GET /" + ASKED, [b"Accept: image/png"], b"", {200}),
    "a range": (b"GET /sheet" + ASKED, [b"Range: bytes=0-10"], b"", {200, 206}),
    "a range of nothing": (b"GET /page.css", [b"Range: bytes=99-1,-,x"], b"", {200, 416}),
    "since a day that is none": (b"GET /page.js", [b"If-Modified-Since: x"], b"", {200}),
    "another protocol": (
        b"GET /", [b"Upgrade: websocket", b"Connection: Upgrade", b"Sec-WebSocket-Key: x"],
        b"", {0, 200, 400, 403, 404, 426},
    ),
    "waiting to be asked": (
        b"POST /api/pick", [b"Expect: 100-continue", b"Content-Length: 2"], b"{}", {0, 100, 422},
    ),
    "a null byte": (b"GET /%00", [], b"", {404}),
    "a null byte in a question": (b"GET /?currency=EUR&cap=3%00", [], b"", {422}),
    "a null byte in a digest": (b"GET /?catalogue=%00&currency=EUR&cap=3", [], b"", {404}),
    "a null byte in a name": (b"GET /type/%00", [], b"", {404}),
    "half a character": (b"GET /?currency=EUR&cap=3&title=%ed%a0%80", [], b"", {200, 422}),
    "no UTF-8": (b"GET /%ff%fe?%ff=%fe", [], b"", {404}),
    "broken percents": (b"GET /?%&%z=%1&cap=%", [], b"", {422}),
    "bytes in the line": (b"GET /\xff\xfe", [], b"", {400, 404}),
    "up and up": (b"GET /../../../etc/passwd", [], b"", {400, 404}),
    "up in percents": (b"GET /type/%2e%2e%2f%2e%2e%2fetc%2fpasswd", [], b"", {404}),
    "up with backslashes": (b"GET /type/..%5c..%5cpyproject.toml", [], b"", {404}),
    "up in a digest": (b"GET /?catalogue=../../etc/passwd&currency=EUR&cap=3", [], b"", {404}),
    "up in a home list": (b"GET /?home_list=../x&currency=EUR&cap=3", [], b"", {404}),
    "up in a map": (b"GET /?columns=..%2fx&currency=EUR&cap=3", [], b"", {404}),
    "up in a kept kit": (b"GET /kept?name=..%2f..%2fx", [], b"", {404}),
    "a file to be read": (b"GET /?currency=EUR&cap=3&home.from=/etc/passwd", [], b"", {422}),
    "two slashes": (b"GET //shop.example/" + ASKED, [], b"", {404}),
    "a slash too many": (b"GET /sheet/" + ASKED, [], b"", {307}),
    "a long address": (b"GET /?" + b"a=1&" * 8_000, [], b"", {0, 400, 414}),
    "a long path": (b"GET /" + b"a/" * 8_000, [], b"", {404, 414}),
    "a long key": (b"GET /?currency=EUR&cap=3&" + b"a" * 16_000 + b"=1", [], b"", {414, 422}),
    "the same key again and again": (b"GET /?" + b"cap=3&" * 2_600, [], b"", {422}),
    "no method": (b" /", [], b"", {400}),
    "a method that is none": (b"FETCH /", [], b"", {400, 405}),
    "a trace": (b"TRACE /", [], b"", {400, 405}),
    "a tunnel": (b"CONNECT 127.0.0.1:22", [], b"", {0, 400, 404, 405}),
    "put": (b"PUT /kit.json", [b"Content-Length: 1"], b"x", {405}),
    "delete": (b"DELETE /api/catalogues/page", [], b"", {405}),
    "a head": (b"HEAD /" + ASKED, [], b"", {200, 405}),
    "options": (b"OPTIONS /api/pick", [b"Origin: null"], b"", {403, 405}),
    "a body with a question": (b"GET /begin", [b"Content-Length: 3"], b"abc", {200}),
    "the wrong kind of body": (
        b"POST /api/pick", [b"Content-Type: text/xml", b"Content-Length: 4"], b"<a/>", {422},
    ),
    "a form without a part": (
        b"POST /saved",
        [b"Content-Type: multipart/form-data; boundary=x", b"Content-Length: 5"],
        b"--x--",
        {400, 422},
    ),
    "a brief of another encoding": (
        b"POST /api/pick",
        [b"Content-Type: application/json; charset=utf-7", b"Content-Length: 12"],
        b'{"brief":{}}',
        {422},
    ),
    **{
        f"a sheet in {language[:9]!r}": (
            b"GET /sheet" + ASKED, [b"Accept-Language: " + language.encode("latin-1")], b"", {200},
        )
        for language in LANGUAGES
    },
}  # fmt: skip


CUT_OFF = ("a length too long", "a chunk of no size", "another protocol")


@pytest.mark.slow
@pytest.mark.parametrize("name", REQUESTS)
def test_an_odd_request_is_answered_or_refused(netloc, name):
    line, headers, body, statuses = REQUESTS[name]
    hold(
        netloc,
        raw(netloc, line, *headers, body=body),
        statuses=statuses,
        whole=100 not in statuses and name not in CUT_OFF,
    )


@pytest.mark.slow
@pytest.mark.parametrize("method", ["HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"])
@pytest.mark.parametrize("view", VIEWS)
def test_no_method_is_a_fault_of_a_view(netloc, view, method):
    line = f"{method} {view}{SOUND}&sku=CH-URCHIN&name=x".encode()
    hold(netloc, raw(netloc, line, b"Content-Length: 0"))


ODD = (
    *(b"", b"\0", b"%00", b"%0d%0a", b"..", b"../" * 40, b"%2e%2e%2f", b"..%5c", b"\xff\xfe"),
    *(b"%ed%a0%80", b"%", b"%zz", b"'", b'"', b"<script>", b"{{7*7}}", b"${x}", b"$(id)", b";"),
    *(b"-1", b"0", b"1e999", b"nan", b"9" * 400, b"[" * 200, b"{}", b"null", b"None", b"\xc2\xa0"),
    *(b"a" * 3_000, b"/etc/passwd", b"file:///etc/passwd", b"sqlite:///x#y", b"C:\\x", b"~"),
)
KEYS = (
    *(b"currency", b"cap", b"cap_per_head", b"heads", b"title", b"holds", b"needs.fabric.only"),
    *(b"needs.chart.max_price", b"extras.most", b"shades.mode", b"choose.keep", b"home_list"),
    *(b"catalogue", b"skip_bad_rows", b"to", b"made_on", b"way", b"copies", b"columns", b"held"),
    *(b"seen", b"sku", b"words", b"reader", b"size", b"shelf", b"full", b"kits", b"k1.cap", b"was"),
    *(b"k1.copies", b"distinct", b"name", b"start", b"goods", b"limits", b"home.from", b"pairs"),
)
NAMES = (
    *(b"Accept", b"Accept-Language", b"Accept-Encoding", b"Range", b"If-None-Match", b"Origin"),
    *(b"Content-Type", b"Content-Length", b"Transfer-Encoding", b"Content-Encoding", b"Referer"),
    *(b"X-Ticket", b"X-Forwarded-For", b"Sec-Fetch-Site", b"Sec-Fetch-Mode", b"Cookie", b"Host"),
    *(b"Authorization", b"Forwarded", b"Expect", b"TE", b"Upgrade", b"X-HTTP-Method-Override"),
)
# These say where a request ends: with an odd one of them it may have no end.
FRAMING = (b"Content-Length", b"Transfer-Encoding", b"Upgrade", b"Expect")


def drawn(netloc, seed):
    """Return a request of odd parts where sound ones could stand, and whether it is whole."""
    rng = random.Random(seed)
    view = rng.choice(VIEWS).encode() + rng.choice([b"", b"", b"", b"/", b"/" + rng.choice(ODD)])
    given = [(b"currency", b"EUR"), (b"cap", b"30.00"), (b"sku", b"CH-URCHIN"), (b"name", b"x")]
    given += [(rng.choice(KEYS), rng.choice(ODD)) for _ in range(rng.randrange(4))]
    rng.shuffle(given)
    query = b"&".join(key + b"=" + value for key, value in given)
    headers = [rng.choice(NAMES) + b": " + rng.choice(ODD) for _ in range(rng.randrange(4))]
    headers += rng.sample(headers, min(len(headers), rng.randrange(2)))
    method = rng.choices([b"GET", b"POST", b"HEAD", b"PUT"], [8, 3, 1, 1])[0]
    line = method + b" " + (view + b"?" + query).replace(b" ", b"+")
    body = rng.choice(ODD) if method in (b"POST", b"PUT") else b""
    whole = not any(header.startswith(FRAMING) for header in headers)
    if whole:
        headers.append(b"Content-Length: %d" % len(body))
    return raw(netloc, line, *headers, body=body), whole


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(FIRST, FIRST + NUMBER))
def test_no_drawn_request_is_a_fault(netloc, seed):
    sent, whole = drawn(netloc, seed)
    status, _ = hold(netloc, sent, whole=whole)
    assert status or not whole, sent[:500]
