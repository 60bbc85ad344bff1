"""Where the page is served, and what from."""

from __future__ import annotations

import socket

from kitsolver.page.page_findings import PortTaken
from kitsolver.shop.findings import BadInput


def opened(port: int) -> socket.socket:
    """Return a socket of this machine only.

    Raises
    ------
    BadInput
        If something else is there.
    """
    # Named as TCP, so that answers are not held back for acknowledgements that come late.
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind(("127.0.0.1", port))
        # Who asks before the page is ready waits, and is not turned away.
        found.listen(128)
    except OSError:
        found.close()
        raise BadInput([PortTaken(file="--port", value=str(port))]) from None
    return found
