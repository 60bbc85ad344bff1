"""What every request is held to, whatever it asks for: where it comes from, and how large it is."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOSTS = ("127.0.0.1", "localhost", "[::1]")

# A page takes nothing from elsewhere, and is shown in no other page.
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src {styles}; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
POLICY = _POLICY.format(styles="'self'")
# The sheet carries its looks within itself, so that it can be kept and sent.
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


class TooLarge(Exception):
    """The body of a request is larger than allowed."""


class Guard:
    """Lets through what this machine's own browser asks of this page, and adds headers.

    A page of another site can make a browser send requests here: those carry the other site's
    origin, and are refused, as is any request under another host's name.

    Parameters
    ----------
    app : ASGI application
        What is guarded.
    most_bytes : int
        The largest body that is read.
    hosts : iterable of str
        The names, without ports, under which the page may be asked.
    """

    def __init__(self, app: ASGIApp, most_bytes: int, hosts: Iterable[str] = HOSTS) -> None:
        self.app, self.most_bytes, self.hosts = app, most_bytes, frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or hand it on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        refusal = self._refusal(scope["method"], Headers(scope=scope))
        if refusal is not None:
            await refusal(scope, receive, with_headers)
            return
        await self.app(scope, _bounded(receive, self.most_bytes), with_headers)

    def _refusal(self, method: str, headers: Headers) -> PlainTextResponse | None:
        """Return the answer to a request that is not let through."""
        host = headers.get("host", "")
        if _name(host) not in self.hosts:
            return PlainTextResponse("This page answers to its own address only.\n", 421)
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc != host:
            return PlainTextResponse("Another site's page may not ask this.\n", 403)
        # What a link brings here is a visit; anything else from another site is not.
        visit = method == "GET" and headers.get("sec-fetch-mode") == "navigate"
        if headers.get("sec-fetch-site") in ("cross-site", "same-site") and not visit:
            return PlainTextResponse("Another site's page may not ask this.\n", 403)
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > self.most_bytes:
            told = f"At most {self.most_bytes} bytes are taken.\n"
            return PlainTextResponse(told, 413, headers={"Connection": "close"})
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
            raise TooLarge
        return message

    return read
