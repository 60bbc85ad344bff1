"""Stops answering a client that has gone."""

from __future__ import annotations

import asyncio
from contextlib import suppress

from starlette.types import ASGIApp, Message, Receive, Scope, Send


class StopForGoneClients:
    """Cancels the answer to a request as soon as its client has closed the connection.

    Parameters
    ----------
    app : ASGI application
        What answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or stop doing so."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        # One message at a time: what the application has not read is not read from the client.
        messages: asyncio.Queue[Message] = asyncio.Queue(1)
        answer = asyncio.ensure_future(self.app(scope, messages.get, send))
        gone = asyncio.ensure_future(_pass_on(receive, messages))
        try:
            await asyncio.wait({answer, gone}, return_when=asyncio.FIRST_COMPLETED)
            if not answer.done():
                answer.cancel()
                with suppress(asyncio.CancelledError):
                    await answer
            else:
                await answer
        finally:
            gone.cancel()
            answer.cancel()


async def _pass_on(receive: Receive, messages: asyncio.Queue[Message]) -> None:
    """Pass on the messages of a request until its client has gone."""
    while (message := await receive())["type"] != "http.disconnect":
        await messages.put(message)
