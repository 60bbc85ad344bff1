"""A saved kit that is handed in: whether it stands today, and what would mend it."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, UploadFile
from fastapi.responses import HTMLResponse

from kitsolver.page.for_a_friend import rechecked
from kitsolver.page.page_findings import TooManyBytes
from kitsolver.page.service import Service
from kitsolver.page.views.frame import Frame, page
from kitsolver.shop.findings import BadInput

# No saved kit is nearly as large, in bytes.
_MOST_BYTES = 2 * 2**20


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.post("/saved")
    async def saved(file: UploadFile, was: Annotated[str, Form()] = "") -> HTMLResponse:
        """Show what became of a saved kit, with a button for each kit that is near it."""
        before = frame.address_in(was)
        content = await file.read(_MOST_BYTES + 1)
        if len(content) > _MOST_BYTES:
            detail = f"more than {_MOST_BYTES:,} bytes"
            raise BadInput([TooManyBytes(file="the saved kit", detail=detail)])
        text = content.decode("utf-8-sig", errors="replace")
        found = await service.do(rechecked, service.source(before, None), text)
        context, _ = await frame.context(before, found.brief.currency)
        plain = replace(before, settings={}, held="", way="", copies=1)
        asked = frame.made_here(plain.asking(found.brief))
        context |= {
            "found": found,
            "again": asked.choosing(keep=found.saved).href() if found.stands else "",
            "nearest": asked.choosing(keep=found.nearest).href() if found.nearest else "",
            "best": asked.href() if found.best else "",
        }
        return page("saved.html", context)

    return router
