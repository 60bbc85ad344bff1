"""The beginning: one sentence to complete, for each of those who use the page."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.page.address import Address, copies_in
from kitsolver.page.service import Service
from kitsolver.page.views.frame import SEE_OTHER, Frame
from kitsolver.page.wishes.beginning import WAYS, Beginning, address_of
from kitsolver.page.wishes.form_view import fault_of
from kitsolver.shop.findings import BadInput

Text = Annotated[str, Form()]


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/begin")
    async def begin(request: Request) -> HTMLResponse:
        """Show the sentence to complete, begun in the way that was chosen."""
        address = frame.address(request, "start", "goods")
        asked = request.query_params
        if asked.get("start") not in WAYS:
            return await frame.begin_page(address)
        currency = address.settings.get("currency", Beginning.currency)
        goods = "own" if asked.get("goods") == "own" else "here"
        given = Beginning(currency=currency, way=asked["start"], goods=goods)
        return await frame.begin_page(address, given, chosen=True)

    @router.post("/begin")
    async def begun(
        sum_: Annotated[str, Form(alias="sum")] = "",
        currency: Text = "",
        way: Text = "one",
        number: Text = "",
        each: Text = "",
        goods: Text = "here",
        was: Text = "",
        meant: Text = "",
        file: UploadFile | None = None,
    ) -> Response:
        """Go on from a completed sentence: to a kit, or to the goods that were handed in."""
        given = Beginning(meant or sum_, currency, way, number, each, goods)
        before = frame.address_in(was)
        plain = Address(
            {},
            before.catalogue,
            before.skip_bad_rows,
            columns=before.columns,
            home=before.home,
        )
        try:
            asked = address_of(given, plain)
            await service.brief(asked)
        except BadInput as fault:
            faults = {finding.column: fault_of(finding) for finding in fault.findings}
            return await frame.begin_page(before, given, faults)
        if goods == "own":
            if file is not None and file.filename:
                stored = await frame.take(file)
                asked = Address(asked.settings, stored.digest, way=asked.way, copies=asked.copies)
            return RedirectResponse(asked.href("/goods"), SEE_OTHER)
        path = "/several" if way == "several" else "/"
        more = {"kits": str(copies_in(number, 2))} if way == "several" else {}
        return RedirectResponse(frame.made_here(asked).href(path, **more), SEE_OTHER)

    return router
