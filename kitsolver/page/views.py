"""The page's views: each reads an address, asks the service, and fills a template."""

from __future__ import annotations

from contextlib import suppress
from typing import Annotated, Any
from urllib.parse import parse_qsl

from fastapi import APIRouter, Form, Query, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import toml_of
from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.brief.reading import brief_from_text
from kitsolver.page import form, tasks, view_models
from kitsolver.page.address import Address
from kitsolver.page.catalogue_store import MOST_BYTES
from kitsolver.page.guard import SHEET_POLICY
from kitsolver.page.service import Service
from kitsolver.page.tasks import Look
from kitsolver.shop.findings import BadInput
from kitsolver.show.json_record import json_text
from kitsolver.show.sheet.sheet import Reader
from kitsolver.show.why import why_not_sentences

_FINDINGS_SHOWN = 200
_MOST_COPIES = 10_000
SEE_OTHER, BAD_INPUT = 303, 422


def views(service: Service) -> APIRouter:
    """Return the page's views."""
    router = APIRouter(include_in_schema=False)

    def address_of(request: Request) -> Address:
        address = Address.read(request.query_params.multi_items())
        # An address that asks for nothing gets what the page was started with.
        if not address.settings and not address.catalogue and not address.skip_bad_rows:
            return service.start
        return address

    def page(template: str, context: view_models.Context, status: int = 200) -> HTMLResponse:
        return HTMLResponse(view_models.page_of(template, context), status)

    async def framed(address: Address, currency: str | None) -> tuple[view_models.Context, Look]:
        look = await service.look(service.shelf(address, currency))
        return view_models.frame(address, service.stock.get(address.catalogue).name, look), look

    async def asking(address: Address, fault: BadInput | None = None) -> HTMLResponse:
        """Return the form alone: nothing is asked yet, or what is asked cannot be used."""
        context, look = await framed(address, None)
        groups = form.groups_of(DEFAULT_NEEDS, look) if fault else ()
        values = {field.name: [""] for group in (form.sums(), *groups) for field in group.fields}
        for key, text in address.settings.items():
            values[key] = [text]
        context |= view_models.asked(values, groups, fault.findings if fault else ())
        return page("start.html", context, BAD_INPUT if fault else 200)

    @router.get("/")
    async def kit(request: Request) -> HTMLResponse:
        address = address_of(request)
        if not address.settings:
            return await asking(address)
        try:
            brief = address.brief
        except BadInput as fault:
            return await asking(address, fault)
        context, look = await framed(address, brief.currency)
        groups = form.groups_of(brief.holds, look)
        values = form.values_of(brief, groups, look)
        try:
            answer = await service.answer(address, brief)
        except BadInput as fault:
            context |= view_models.asked(values, groups, fault.findings)
            return page("start.html", context, BAD_INPUT)
        context |= view_models.answered(address, brief, answer) | view_models.asked(values, groups)
        climb = service.known_climb(address, brief)
        context |= view_models.climbed(address, brief, climb) | _files(address)
        context["toml"] = toml_of(brief)
        return page("kit.html", context)

    @router.get("/ladder")
    async def ladder(request: Request) -> HTMLResponse:
        address = address_of(request)
        brief = address.brief
        climb = await service.climb(address, brief)
        context, _ = await framed(address, brief.currency)
        return page("ladder.html", context | view_models.climbed(address, brief, climb))

    @router.get("/change")
    async def change(request: Request) -> Response:
        parameters = request.query_params
        address = Address.read(_pairs(parameters.get("was", "")))
        before = address.brief if address.settings else None
        currency = before.currency if before else None
        context, look = await framed(address, currency)
        values = {name: parameters.getlist(name) for name in parameters}
        try:
            brief = form.brief_from(values, before, look)
        except BadInput as fault:
            groups = form.groups_of(before.holds, look) if before else ()
            blank = {f.name: [""] for group in (form.sums(), *groups) for f in group.fields}
            context |= view_models.asked(blank | values, groups, fault.findings)
            return page("start.html", context, BAD_INPUT)
        asked = Address(
            address.settings, address.catalogue, skip_bad_rows=address.skip_bad_rows
        ).asking(brief)
        return RedirectResponse(asked.href(), SEE_OTHER)

    @router.get("/others")
    async def others(request: Request, sku: str) -> HTMLResponse:
        address = Address.read(_but(request, "sku"))
        brief = address.brief
        context, _ = await framed(address, brief.currency)
        shelf = service.shelf(address, brief.currency)
        found = await service.do(tasks.others, shelf, brief, 3)
        context |= {"sku": sku, "instead": None, "others": [], "complete": found.complete}
        if found.kits:
            best, *rest = found.kits
            instead = await service.do(tasks.in_place_of, shelf, brief, best, sku)
            context["others"] = [view_models.compared(address, brief, best, one) for one in rest]
            context["instead"] = instead and {
                "name": instead.line.name,
                "replaced": instead.replaced
                and view_models.compared(address, brief, best, instead.replaced),
                "given_up": instead.given_up
                and view_models.compared(address, brief, best, instead.given_up, instead.line),
            }
        return page("others.html", context | {"currency": brief.currency})

    @router.get("/why")
    async def why(request: Request, sku: str) -> HTMLResponse:
        address = Address.read(_but(request, "sku"))
        brief = address.brief
        context, _ = await framed(address, brief.currency)
        found = await service.do(tasks.why, service.shelf(address, brief.currency), brief, sku)
        told = [*why_not_sentences(found), *(found.why.because if found.why else ())]
        acts = list(view_models.row_acts(sku, address, brief))
        return page("why.html", context | {"sku": sku, "told": told, "row_acts": acts})

    @router.get("/shelves")
    async def shelves(request: Request, words: str = "") -> HTMLResponse:
        address = Address.read(_but(request, "words"))
        brief = address.brief
        context, _ = await framed(address, brief.currency)
        shelf = service.shelf(address, brief.currency)
        number, rows = await service.do(tasks.rows_with, shelf, words, heavy=False)
        context |= {
            "words": words,
            "number": number,
            "rows": [(row, list(view_models.row_acts(row.sku, address, brief))) for row in rows],
            "currency": brief.currency,
        }
        return page("shelves.html", context)

    @router.get("/catalogue")
    async def catalogue(request: Request) -> HTMLResponse:
        address = address_of(request)
        currency = _currency(address)
        context, look = await framed(address, currency)
        context |= view_models.by_row(look.findings, _FINDINGS_SHOWN)
        return page("catalogue.html", context | {"most": MOST_BYTES // 2**20, "sound": look.rows})

    @router.post("/catalogue")
    async def hand_in(file: UploadFile, was: Annotated[str, Form()] = "") -> Response:
        before = Address.read(_pairs(was))
        name = (file.filename or "the file")[:80]
        held = service.stock.add(name, await file.read())
        address = Address(before.settings, held.digest)
        currency = _currency(before)
        try:
            await service.look(service.shelf_of(held, currency))
        except BadInput as fault:
            sound = 0
            with suppress(BadInput):
                rest = service.shelf_of(held, currency, skip_bad_rows=True)
                sound = (await service.look(rest)).rows
            context = view_models.frame(address, held.name, None)
            context |= view_models.by_row(fault.findings, _FINDINGS_SHOWN)
            on = Address(before.settings, held.digest, skip_bad_rows=True)
            context |= {"sound": sound, "most": MOST_BYTES // 2**20, "on": on.href()}
            return page("catalogue.html", context, BAD_INPUT)
        return RedirectResponse(address.href(), SEE_OTHER)

    @router.post("/brief")
    async def take_brief(
        text: Annotated[str, Form()], was: Annotated[str, Form()] = ""
    ) -> Response:
        address = Address.read(_pairs(was))
        brief = brief_from_text(text, "the brief")
        return RedirectResponse(
            Address({}, address.catalogue, address.skip_bad_rows).asking(brief).href(), SEE_OTHER
        )

    @router.get("/sheet")
    async def sheet(request: Request, reader: Reader = Reader.CUSTOMER, copies: Copies = 1) -> Any:
        address = Address.read(_but(request, "reader", "copies"))
        brief = address.brief
        shelf = service.shelf(address, brief.currency)
        text = await service.do(tasks.sheet, shelf, brief, reader, copies)
        return HTMLResponse(text, headers={"Content-Security-Policy": SHEET_POLICY})

    @router.get("/kit.json")
    async def kit_json(request: Request) -> Response:
        _, brief, shelf = _asked(request)
        record = await service.do(tasks.kit_record, shelf, brief)
        return _file(json_text(record), "application/json", "kit.json")

    @router.get("/ladder.json")
    async def ladder_json(request: Request) -> Response:
        _, brief, shelf = _asked(request)
        record = await service.do(tasks.climb_record, shelf, brief, None, None)
        return _file(json_text(record), "application/json", "ladder.json")

    @router.get("/kit.csv")
    async def kit_csv(request: Request) -> Response:
        _, brief, shelf = _asked(request)
        text = await service.do(tasks.bought, shelf, brief)
        return _file(text, "text/csv", "kit.csv")

    @router.get("/brief.toml")
    async def brief_toml(request: Request) -> Response:
        return _file(toml_of(address_of(request).brief), "application/toml", "brief.toml")

    def _asked(request: Request) -> tuple[Address, Brief, Any]:
        address = address_of(request)
        brief = address.brief
        return address, brief, service.shelf(address, brief.currency)

    return router


Copies = Annotated[int, Query(ge=1, le=_MOST_COPIES)]


def _files(address: Address) -> view_models.Context:
    """Return the addresses of what can be taken along."""
    paths = ("/sheet", "/kit.json", "/kit.csv", "/brief.toml", "/ladder.json")
    return {"files": {path: address.href(path) for path in paths}}


def _currency(address: Address) -> str | None:
    """Return the currency that an address asks in, if it asks for anything sound."""
    try:
        return address.brief.currency if address.settings else None
    except BadInput:
        return None


def _but(request: Request, *names: str) -> list[tuple[str, str]]:
    """Return the parameters that belong to the address itself."""
    return [pair for pair in request.query_params.multi_items() if pair[0] not in names]


def _pairs(query: str) -> list[tuple[str, str]]:
    return parse_qsl(query, keep_blank_values=True)


def _file(text: str, kind: str, name: str) -> Response:
    """Return text as a file to be kept."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text, media_type=f"{kind}; charset=utf-8", headers=headers)
