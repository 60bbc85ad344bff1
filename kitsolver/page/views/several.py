"""Several kits from one stock, and the best kit of which the stock makes enough."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.page import beside_models, view_models
from kitsolver.page import several as tasks
from kitsolver.page.address import Address
from kitsolver.page.everyday import category_word, everyday
from kitsolver.page.guard import SHEET_POLICY
from kitsolver.page.service import Service
from kitsolver.page.several import KitAsked, SeveralAsked
from kitsolver.page.views.frame import BAD_INPUT, SEE_OTHER, Frame, page
from kitsolver.shop.findings import BadInput
from kitsolver.shop.money import to_text
from kitsolver.show.sheet.locale_style import style_of
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.texts import texts


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    def asked(request: Request) -> tuple[Address, SeveralAsked]:
        pairs = request.query_params.multi_items()
        own = SeveralAsked.own_keys(key for key, _ in pairs)
        return frame.address(request, *own), SeveralAsked.read(pairs)

    @router.get("/several")
    async def several(request: Request) -> HTMLResponse:
        """Show several kits side by side."""
        address, kits = asked(request)
        brief = await service.brief(address)
        context, summary = await frame.context(address, brief.currency)
        context |= {
            "kits": kits,
            "brief": brief,
            "cap": to_text(brief.total_cap, brief.currency),
            "categories": [
                (name, category_word(name))
                for name in brief.holds
                if name in dict(summary.categories_rows)
            ],
            "shown": (),
            "says": (),
            "findings": (),
            "sheet": "/several/sheet?" + frame.query(address, kits.pairs),
        }
        status = 200
        try:
            source = service.source(address, brief.currency)
            found = await service.do(tasks.several, source, brief, kits)
            context |= beside_models.several_context(address, kits, found)
        except BadInput as fault:
            context["findings"], status = fault.findings, BAD_INPUT
        return page("several.html", context, status)

    @router.get("/several/sheet")
    async def sheet(request: Request) -> Response:
        """Give the picking list of all kits together."""
        address, kits = asked(request)
        brief = await service.brief(address)
        style = style_of(request.headers.get("accept-language", ""))
        paper = Paper(style=style, day=datetime.now(tz=UTC).astimezone().date())
        source = service.source(address, brief.currency)
        text = await service.do(tasks.several_sheet, source, brief, kits, paper)
        return HTMLResponse(text, headers={"Content-Security-Policy": SHEET_POLICY})

    @router.get("/enough")
    async def enough(request: Request) -> Response:
        """Go to the best kit of which the stock makes as many copies as are asked for."""
        address = frame.address(request)
        brief = await service.brief(address)
        one = SeveralAsked((KitAsked(brief.title or view_models.NO_TITLE, copies=address.copies),))
        source = service.source(address, brief.currency)
        found = await service.do(tasks.several, source, brief, one)
        if not found.kits:
            context, _ = await frame.context(address, brief.currency)
            most = await service.do(tasks.most_copies, source, brief, address.copies)
            t = texts("kitsolver.page").copies
            fewer = replace(address, copies=most).href("/enough")
            context |= {
                "heading": t.none.format(copies=address.copies),
                "told": t.most.format(most=most) if most else t.no_other,
                "enough": {"href": fewer, "copies": most} if most else None,
                # The first says what the heading says.
                "sentences": [everyday(told, found.facts.names) for told in found.says[1:]],
            }
            return page("enough.html", context)
        kept = address.choosing(keep=[line.sku for line in found.kits[0].lines])
        return RedirectResponse(frame.made_here(kept).href(), SEE_OTHER)

    return router
