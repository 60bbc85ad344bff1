"""A saved kit that is handed in: whether it stands today, and what would mend it."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, HTTPException, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.page import record_tasks
from kitsolver.page.address import Address
from kitsolver.page.for_a_friend import rechecked
from kitsolver.page.page_findings import TooManyBytes
from kitsolver.page.service import Service
from kitsolver.page.views.frame import SEE_OTHER, Frame, page
from kitsolver.shop.findings import BadInput
from kitsolver.show.json_record import json_text

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
        return await saved_page(before, text)

    @router.get("/kept")
    async def kept_kit(request: Request, name: str) -> HTMLResponse:
        """Show what became of a kit that is kept."""
        kept = service.store.kept
        text = kept.kit(name) if kept is not None else None
        if text is None:
            raise HTTPException(404, "There is no such kit.")
        return await saved_page(frame.address(request, "name"), text)

    @router.post("/keep")
    async def keep(was: Annotated[str, Form()] = "") -> Response:
        """Keep the best kit of an address."""
        address = frame.address_in(was)
        brief = await service.brief(address)
        record = await service.do(
            record_tasks.kit_json, service.source(address, brief.currency), brief
        )
        if service.store.kept is not None and record["lines"]:
            told = f"{record['payable']} {record['currency']}"
            title = brief.title or record["lines"][0]["name"]
            service.store.kept.keep_kit(json_text(record), title, told)
        return RedirectResponse(address.href("/begin"), SEE_OTHER)

    async def saved_page(before: Address, text: str) -> HTMLResponse:
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
