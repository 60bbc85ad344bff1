"""The catalogue: what was found in it, and another one to be uploaded."""

from __future__ import annotations

from contextlib import suppress
from typing import Annotated

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.page import view_models
from kitsolver.page.address import Address
from kitsolver.page.catalogue_store import MOST_BYTES
from kitsolver.page.service import Service
from kitsolver.page.views.frame import BAD_INPUT, SEE_OTHER, Frame, page
from kitsolver.shop.findings import BadInput

_FINDINGS_SHOWN = 200
_LONGEST_NAME = 80


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/catalogue")
    async def catalogue(request: Request) -> HTMLResponse:
        """Show what was found in a catalogue."""
        address = frame.address(request)
        context, summary = await frame.context(address, await frame.currency(address))
        context |= view_models.findings_context(summary.findings, _FINDINGS_SHOWN)
        return page("catalogue.html", context | _numbers(summary.rows))

    @router.post("/catalogue")
    async def hand_in(file: UploadFile, was: Annotated[str, Form()] = "") -> Response:
        """Take an uploaded catalogue, and ask the same of it."""
        before = frame.address_in(was)
        name = (file.filename or "the file")[:_LONGEST_NAME]
        currency = await frame.currency(before)
        with service.store.add(await service.copied(name, file.file)) as stored:
            address = Address(before.settings, stored.digest)
            try:
                await service.summary(service.source_of(stored, currency))
            except BadInput as fault:
                sound = 0
                with suppress(BadInput):
                    rest = service.source_of(stored, currency, skip_bad_rows=True)
                    sound = (await service.summary(rest)).rows
                context = view_models.frame(address, stored.name, None)
                context |= view_models.findings_context(fault.findings, _FINDINGS_SHOWN)
                go_on = Address(before.settings, stored.digest, skip_bad_rows=True).href()
                return page("catalogue.html", context | _numbers(sound) | {"on": go_on}, BAD_INPUT)
        return RedirectResponse(address.href(), SEE_OTHER)

    return router


def _numbers(sound_rows: int) -> view_models.Context:
    return {"sound": sound_rows, "most": MOST_BYTES // 2**20}
