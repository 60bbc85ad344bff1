"""What can be taken along: the sheet to print, and the kit, the ladder and the brief as files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import toml_of
from kitsolver.page import record_tasks, tasks
from kitsolver.page.address import MOST_COPIES
from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.for_a_friend import friend_html
from kitsolver.page.guard import SHEET_POLICY
from kitsolver.page.page_findings import NotEnoughInStock
from kitsolver.page.service import Service
from kitsolver.page.views.frame import BAD_INPUT, Frame, page
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.show.json_record import json_text
from kitsolver.show.sheet.locale_style import style_of
from kitsolver.show.sheet.paper import Paper, Size
from kitsolver.show.sheet.sheet import Reader
from kitsolver.show.sheet.texts import texts

# The parameters of a sheet, beside those of the address.
_SHEET = ("reader", "copies", "full", "shelf", "size")

Column = Annotated[str, Query(max_length=80)]
Copies = Annotated[int, Query(ge=1, le=MOST_COPIES)]


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    async def asked(request: Request, *others: str) -> tuple[CatalogueToRead, Brief]:
        address = frame.address(request, *others)
        brief = await service.brief(address)
        return service.source(address, brief.currency), brief

    @router.get("/sheet")
    async def sheet(
        request: Request,
        reader: Reader = Reader.CUSTOMER,
        copies: Copies = 1,
        full: bool = False,
        shelf: Column = "shelf",
        size: Size = "A4",
    ) -> Any:
        """Give the sheet to print."""
        source, brief = await asked(request, *_SHEET)
        style = style_of(request.headers.get("accept-language", ""))
        today = datetime.now(tz=UTC).astimezone().date()
        paper = Paper(full=full, shelf=shelf, style=style, day=today, size=size)
        # Only the shop picks several at once.
        picked = copies if reader is Reader.SHOP else 1
        try:
            text = await service.do(tasks.sheet, source, brief, reader, picked, paper)
        except BadInput as fault:
            if not all(isinstance(one, NotEnoughInStock) for one in fault.findings):
                raise
            return await refused(request, brief, picked, fault.findings)
        return HTMLResponse(text, headers={"Content-Security-Policy": SHEET_POLICY})

    async def refused(
        request: Request, brief: Brief, copies: int, findings: Sequence[Finding]
    ) -> Response:
        """Tell what is lacking for a picking list, beside the kit of which there is enough."""
        address = replace(frame.address(request, *_SHEET), copies=copies)
        context, _ = await frame.context(address, brief.currency)
        heading = texts("kitsolver.page").copies.refused.format(copies=copies)
        context |= {
            "heading": heading,
            "told": "",
            "enough": {"href": address.href("/enough"), "copies": copies},
            "sentences": [f"{finding.detail}." for finding in findings],
        }
        return page("enough.html", context, BAD_INPUT)

    @router.get("/friend")
    async def friend(request: Request) -> Response:
        """Give the kit in one file that can be sent, without what is the shop's own business."""
        source, brief = await asked(request)
        style = style_of(request.headers.get("accept-language", ""))
        text = await service.do(friend_html, source, brief, Paper(style=style))
        return _file(text, "text/html", "kit-for-a-friend.html")

    @router.get("/kit.json")
    async def kit_json(request: Request) -> Response:
        """Give what ``pick --json`` writes."""
        record = await service.do(record_tasks.kit_json, *await asked(request))
        return _file(json_text(record), "application/json", "kit.json")

    @router.get("/ladder.json")
    async def ladder_json(request: Request) -> Response:
        """Give what ``ladder --json`` writes."""
        source, brief = await asked(request)
        record = await service.do(record_tasks.ladder_json, source, brief, None, None)
        return _file(json_text(record), "application/json", "ladder.json")

    @router.get("/kit.csv")
    async def kit_csv(request: Request) -> Response:
        """Give what ``pick --csv`` writes."""
        text = await service.do(tasks.buying_list_of, *await asked(request))
        return _file(text, "text/csv", "kit.csv")

    @router.get("/brief.toml")
    async def brief_toml(request: Request) -> Response:
        """Give the brief as a TOML file."""
        brief = await service.brief(frame.address(request))
        return _file(toml_of(brief), "application/toml", "brief.toml")

    return router


def _file(text: str, kind: str, name: str) -> Response:
    """Return text as a file that a browser saves."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text, media_type=f"{kind}; charset=utf-8", headers=headers)
