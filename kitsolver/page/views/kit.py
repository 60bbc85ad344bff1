"""The kit, and the ladder around it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kitsolver.page import ladder_models, view_models
from kitsolver.page.service import Service
from kitsolver.page.views.frame import Frame, page
from kitsolver.shop.findings import BadInput


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/")
    async def kit(request: Request) -> HTMLResponse:
        """Show the best kit, or why there is none, or ask what it may cost."""
        address = frame.address(request)
        if not address.settings:
            return await frame.begin_page(address)
        try:
            brief = await service.brief(address)
            return await frame.kit_page(address, brief)
        except BadInput as fault:
            return await frame.ask_again(address, fault)

    @router.get("/ladder")
    async def ladder(request: Request) -> HTMLResponse:
        """Show the ladder alone: it takes longer than the kit, and is asked for afterwards."""
        address = frame.address(request)
        brief = await service.brief(address)
        found = await service.ladder(address, brief)
        context, _ = await frame.context(address, brief.currency)
        address = frame.made_here(address)
        shown = ladder_models.ladder_context(
            address, brief, found, service.next_ladder(address, brief)
        )
        return page("ladder.html", context | shown | {"title": brief.title or view_models.NO_TITLE})

    return router
