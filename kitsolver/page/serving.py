"""Serves the page on this machine, until it is stopped."""

from __future__ import annotations

import socket

import uvicorn
from starlette.types import ASGIApp

from kitsolver.page.page_findings import PortTaken
from kitsolver.shop.findings import BadInput

# How long open connections may last once the page is told to stop, in seconds.
_CLOSING_SECONDS = 1

# How long a connection without requests stays open, in seconds. A request that is on its way as a
# connection is closed is lost, and browsers keep connections for minutes.
_IDLE_SECONDS = 75


def open_socket(port: int) -> socket.socket:
    """Return a socket that only this machine can reach.

    Raises
    ------
    BadInput
        If something else is served there.
    """
    # Named as TCP, so that asyncio sends small answers without waiting for acknowledgements.
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind(("127.0.0.1", port))
        # A request that comes before the page is ready waits, and is not refused.
        found.listen(128)
    except OSError:
        found.close()
        raise BadInput([PortTaken(file="--port", value=str(port))]) from None
    return found


def serve(app: ASGIApp, where: socket.socket) -> None:
    """Serve the page until it is stopped, by Ctrl-C or otherwise.

    Raises
    ------
    KeyboardInterrupt
        If it was stopped by Ctrl-C.
    """
    config = uvicorn.Config(
        app,
        # Its own messages are of no use to who runs the page.
        log_level="critical",
        access_log=False,
        lifespan="on",
        timeout_graceful_shutdown=_CLOSING_SECONDS,
        timeout_keep_alive=_IDLE_SECONDS,
    )
    uvicorn.Server(config).run(sockets=[where])
