"""The line of waiting questions: which place a question has."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse

from kitsolver.page.service import Service
from kitsolver.page.views.frame import Frame
from kitsolver.page.waiting import place_sentence


def routes(service: Service, frame: Frame) -> APIRouter:  # noqa: ARG001 - as all views have it
    """Return these views."""
    router = APIRouter()

    @router.get("/line/{ticket}")
    async def line(ticket: str) -> PlainTextResponse:
        """Say which place in line the question with a ticket has; nothing if it does not wait."""
        return PlainTextResponse(place_sentence(service.pool.place(ticket)))

    return router
