"""The kit, and the ladder around it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kitsolver.brief.brief_text import toml_of
from kitsolver.page import form, view_models
from kitsolver.page.form_fields import groups_of
from kitsolver.page.service import Service
from kitsolver.page.views.files import file_links
from kitsolver.page.views.frame import BAD_INPUT, Frame, page
from kitsolver.shop.findings import BadInput


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/")
    async def kit(request: Request) -> HTMLResponse:
        """Show the best kit, or why there is none, or ask what it may cost."""
        address = frame.address(request)
        if not address.settings:
            return await frame.ask_again(address)
        try:
            brief = await service.brief(address)
        except BadInput as fault:
            return await frame.ask_again(address, fault)
        context, summary = await frame.context(address, brief.currency)
        address = frame.made_here(address)
        groups = groups_of(brief.holds, summary)
        values = form.values_of(brief, groups, summary)
        try:
            answer = await service.answer(address, brief)
        except BadInput as fault:
            context |= view_models.form_context(values, groups, fault.findings)
            return page("start.html", context, BAD_INPUT)
        context |= view_models.kit_context(address, brief, answer)
        context |= view_models.form_context(values, groups)
        ladder = service.known_ladder(address, brief)
        context |= view_models.ladder_context(address, brief, ladder)
        context |= {"files": file_links(address), "toml": toml_of(brief)}
        return page("kit.html", context)

    @router.get("/ladder")
    async def ladder(request: Request) -> HTMLResponse:
        """Show the ladder alone: it takes longer than the kit, and is asked for afterwards."""
        address = frame.address(request)
        brief = await service.brief(address)
        found = await service.ladder(address, brief)
        context, _ = await frame.context(address, brief.currency)
        address = frame.made_here(address)
        return page("ladder.html", context | view_models.ladder_context(address, brief, found))

    return router
