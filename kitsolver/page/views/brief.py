"""Another brief: from the form, or as text."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from kitsolver.page import tasks
from kitsolver.page.address import COPIES, WAY, copies_in
from kitsolver.page.service import Service
from kitsolver.page.views.frame import SEE_OTHER, Frame
from kitsolver.shop.findings import BadInput


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/change")
    async def change(request: Request) -> Response:
        """Go to the address of a form that was filled in, or show what is wrong with it."""
        parameters = request.query_params
        address = frame.address_in(parameters.get("was", ""))
        before = await service.brief(address) if address.settings else None
        _, summary = await frame.context(address, before.currency if before else None)
        values = {name: parameters.getlist(name) for name in parameters}
        copies = copies_in(parameters.get(COPIES, ""), address.copies)
        plain = replace(address, settings={}, to="", way=parameters.get(WAY, ""), copies=copies)
        try:
            brief = await service.read(tasks.brief_of_form, values, before, summary)
            await service.check(plain.asking(brief), brief)
        except BadInput as fault:
            if before is None:
                return await frame.ask_again(plain, fault, values)
            return await frame.kit_page(address, before, values, fault.findings)
        return RedirectResponse(frame.made_here(plain.asking(brief)).href(), SEE_OTHER)

    @router.post("/brief")
    async def take_brief(
        text: Annotated[str, Form()], was: Annotated[str, Form()] = ""
    ) -> Response:
        """Go to the address of a brief that was handed in as text."""
        address = frame.address_in(was)
        brief = await service.read(tasks.brief_of_text, text)
        plain = replace(address, settings={}, to="")
        return RedirectResponse(frame.made_here(plain.asking(brief)).href(), SEE_OTHER)

    return router
