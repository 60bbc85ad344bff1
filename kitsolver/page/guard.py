"""What every request is checked for, whatever it asks: where it comes from, and how large it is."""

from __future__ import annotations

import logging
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from kitsolver.page.worker_pool import TICKET

HOSTS = ("127.0.0.1", "localhost", "[::1]")
# The longest address with all that a brief says, and the largest body that is no file, in bytes.
MOST_ADDRESS = 16 * 2**10
MOST_BODY = 2**20

# A page takes nothing from elsewhere, and is shown in no other page.
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src {styles}; img-src 'self' data:; "
    "font-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
POLICY = _POLICY.format(styles="'self'")
# The sheet carries its styles within itself, so that it can be kept and sent.
SHEET_POLICY = _POLICY.format(styles="'unsafe-inline'")
_HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
_MOST_DIGITS = 18
_LOG = logging.getLogger(__name__)
_MOST_TICKET = 40


class TooLarge(Exception):
    """The body of a request is larger than allowed; `most` is how many bytes are."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.most = most


class Guard:
    """Lets through what this machine's own browser asks of this page, and adds headers.

    A page of another site can make a browser send requests here: those carry the other site's
    origin, and are refused, as is any request under another host's name.

    Parameters
    ----------
    app : ASGI application
        What is guarded.
    most_upload : int
        The largest body of an upload, in bytes.
    uploads : iterable of str
        The paths that take uploads.
    hosts : iterable of str
        The names, without ports, under which the page may be asked.
    """

    def __init__(
        self,
        app: ASGIApp,
        most_upload: int,
        uploads: Iterable[str],
        hosts: Iterable[str] = HOSTS,
    ) -> None:
        self.app, self.most_upload = app, most_upload
        self.uploads, self.hosts = frozenset(uploads), frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or hand it on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = False

        async def with_headers(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        headers = Headers(scope=scope)
        most = self.most_upload if scope["path"] in self.uploads else MOST_BODY
        refusal = self._refusal(scope, headers, most)
        if refusal is not None:
            await refusal(scope, receive, with_headers)
            return
        TICKET.set(headers.get("x-ticket", "")[:_MOST_TICKET])
        try:
            await self.app(scope, _bounded(receive, most), with_headers)
        except Exception as fault:
            message = f"A fault of the program, {type(fault).__name__}: {fault}"
            # One line, for it is read by who runs the page.
            _LOG.log(logging.ERROR, "%s", message)
            if started:
                raise
            await PlainTextResponse(f"{message}\n", 500)(scope, receive, with_headers)

    def _refusal(self, scope: Scope, headers: Headers, most: int) -> PlainTextResponse | None:
        """Return the answer to a request that is not let through."""
        host = headers.get("host", "")
        if _name(host) not in self.hosts:
            return PlainTextResponse("This page answers to its own address only.\n", 421)
        origin = headers.get("origin")
        if origin is not None and origin not in (f"http://{host}", f"https://{host}"):
            return PlainTextResponse("Another site's page may not ask this.\n", 403)
        # Following a link from another site is allowed; anything else from there is not.
        visit = scope["method"] == "GET" and headers.get("sec-fetch-mode") == "navigate"
        if headers.get("sec-fetch-site") in ("cross-site", "same-site") and not visit:
            return PlainTextResponse("Another site's page may not ask this.\n", 403)
        if len(scope["raw_path"]) + len(scope["query_string"]) > MOST_ADDRESS:
            return PlainTextResponse(f"An address has at most {MOST_ADDRESS} bytes.\n", 414)
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit() and len(length) <= _MOST_DIGITS):
            return PlainTextResponse("The request says no sound length.\n", 400)
        if int(length) > most:
            answer = f"At most {most} bytes are taken.\n"
            return PlainTextResponse(answer, 413, headers={"Connection": "close"})
        return None


def _name(host: str) -> str:
    """Return a host without its port."""
    return host if host.endswith("]") else host.rpartition(":")[0] or host


def _bounded(receive: Receive, most: int) -> Receive:
    """Return what reads a request until it is larger than it may be."""
    left = most

    async def read() -> Message:
        nonlocal left
        message = await receive()
        left -= len(message.get("body", b""))
        if left < 0:
            raise TooLarge(most)
        return message

    return read
