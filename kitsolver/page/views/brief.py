"""Another brief: from the form, or as text."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from kitsolver.page import tasks, view_models
from kitsolver.page.address import Address
from kitsolver.page.form_fields import groups_of, sum_group
from kitsolver.page.service import Service
from kitsolver.page.views.frame import BAD_INPUT, SEE_OTHER, Frame, page
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
        context, summary = await frame.context(address, before.currency if before else None)
        values = {name: parameters.getlist(name) for name in parameters}
        try:
            brief = await service.read(tasks.brief_of_form, values, before, summary)
        except BadInput as fault:
            groups = groups_of(before.holds, summary) if before else ()
            fields = [field for group in (sum_group(), *groups) for field in group.fields]
            blank = {field.name: [""] for field in fields}
            context |= view_models.form_context(blank | values, groups, fault.findings)
            return page("start.html", context, BAD_INPUT)
        plain = Address({}, address.catalogue, address.skip_bad_rows)
        return RedirectResponse(frame.made_here(plain.asking(brief)).href(), SEE_OTHER)

    @router.post("/brief")
    async def take_brief(
        text: Annotated[str, Form()], was: Annotated[str, Form()] = ""
    ) -> Response:
        """Go to the address of a brief that was handed in as text."""
        address = frame.address_in(was)
        brief = await service.read(tasks.brief_of_text, text)
        plain = Address({}, address.catalogue, address.skip_bad_rows)
        return RedirectResponse(frame.made_here(plain.asking(brief)).href(), SEE_OTHER)

    return router
