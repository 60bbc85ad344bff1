"""Single rows: what could stand in their place, why they are in the kit or not, and a search."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kitsolver.page import beside_models, tasks, view_models
from kitsolver.page.everyday import skus_named
from kitsolver.page.service import Service
from kitsolver.page.views.frame import Frame, page

_OTHERS_SHOWN = 3


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/others")
    async def others(request: Request, sku: str) -> HTMLResponse:
        """Show what could stand in the place of a row, and other kits."""
        address = frame.address(request, "sku")
        brief = await service.brief(address)
        context, _ = await frame.context(address, brief.currency)
        address = frame.made_here(address)
        source = service.source(address, brief.currency)
        found = await service.do(tasks.others, source, brief, _OTHERS_SHOWN)
        instead = None
        if found.kits:
            instead = await service.do(tasks.in_place_of, source, brief, found.kits[0], sku)
        context |= view_models.others_context(address, brief, found, instead)
        return page("others.html", context | {"sku": sku})

    @router.get("/why")
    async def why(request: Request, sku: str) -> HTMLResponse:
        """Say why a row is in the best kit, or why not."""
        address = frame.address(request, "sku")
        brief = await service.brief(address)
        context, _ = await frame.context(address, brief.currency)
        address = frame.made_here(address)
        source = service.source(address, brief.currency)
        found = await service.do(tasks.why, source, brief, sku)
        skus = list(skus_named(beside_models.why_sentences(found)))
        names = await service.do(tasks.names_of, source, skus, kind="names")
        listed = await service.do(tasks.is_listed, source, sku, kind="names")
        actions = list(view_models.row_actions(sku, address, brief, listed=listed))
        context |= beside_models.why_context(found, names) | {"row_actions": actions}
        return page("why.html", context)

    @router.get("/shelves")
    async def shelves(request: Request, words: str = "") -> HTMLResponse:
        """Show the rows with some words."""
        address = frame.address(request, "words")
        brief = await service.brief(address)
        context, _ = await frame.context(address, brief.currency)
        address = frame.made_here(address)
        source = service.source(address, brief.currency)
        number, rows = await service.do(tasks.rows_with, source, words, kind=("rows", source))
        context |= {
            "words": words,
            "number": number,
            "rows": [
                (row, list(view_models.row_actions(row.sku, address, brief, listed=row.listed)))
                for row in rows
            ],
            "currency": brief.currency,
        }
        return page("shelves.html", context)

    return router
