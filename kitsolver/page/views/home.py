"""The list of what is at home, handed in."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, UploadFile
from fastapi.responses import RedirectResponse, Response

from kitsolver.page.service import Service
from kitsolver.page.views.frame import SEE_OTHER, Frame


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.post("/home")
    async def hand_in(file: UploadFile, was: Annotated[str, Form()] = "") -> Response:
        """Take a home list, and ask the same beside it."""
        stored = await frame.take(file)
        address = replace(frame.address_in(was), home=stored.digest)
        # What is wrong with it is told now, and not with the next kit.
        await service.summary(service.source(address, await frame.currency(address)))
        return RedirectResponse(address.href("/" if address.settings else "/begin"), SEE_OTHER)

    return router
