"""The goods: what was found in them, other goods handed in, and how their columns are matched."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from io import BytesIO
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.page import view_models
from kitsolver.page.address import Address
from kitsolver.page.catalogue_store import MOST_BYTES
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.goods_match import GoodsMatch, corrected, grouped, match_of
from kitsolver.page.service import Service
from kitsolver.page.views.frame import BAD_INPUT, MAP_NAME, SEE_OTHER, Frame, page
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.show.sheet.texts import texts

_GROUPS_SHOWN = 40


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    @router.get("/catalogue")
    async def catalogue(request: Request) -> HTMLResponse:
        """Show what was found in a catalogue."""
        address = frame.address(request)
        return await findings_page(address, await frame.currency(address))

    @router.post("/catalogue")
    async def hand_in(file: UploadFile, was: Annotated[str, Form()] = "") -> Response:
        """Take goods that are handed in: those in our own columns at once, others to be matched."""
        before = frame.address_in(was)
        stored = await frame.take(file)
        address = Address(before.settings, stored.digest, way=before.way, copies=before.copies)
        summary, findings = await read(address, await frame.currency(before))
        if summary is not None and not any(not finding.warning for finding in findings):
            return RedirectResponse(address.href("/" if address.settings else "/begin"), SEE_OTHER)
        match = await service.do(match_of, service.source(address, None))
        if any(one.target and one.target != one.header.casefold() for one in match.headers):
            return RedirectResponse(address.href("/goods"), SEE_OTHER)
        return await findings_page(address, await frame.currency(before), BAD_INPUT)

    @router.get("/goods")
    async def goods(request: Request) -> HTMLResponse:
        """Show how the columns of goods are matched with ours."""
        return await match_page(frame.address(request))

    @router.post("/goods")
    async def correct(request: Request) -> Response:
        """Take what the columns of goods are said to be, and read the goods by it."""
        form = await request.form()
        texts = {name: str(value) for name, value in form.multi_items() if isinstance(value, str)}
        address = frame.address_in(texts.get("was", ""))
        chosen = [(texts.get(f"h{n}", ""), texts.get(f"m{n}", "")) for n in range(_most(texts))]
        try:
            text = texts.get("map", "")
            if "as_text" not in texts:
                text = await service.read(corrected, text, chosen)
            content = BytesIO(text.encode())
            with service.store.add(await service.copied(MAP_NAME, content)) as kept:
                address = replace(address, columns=kept.digest)
            matched = await service.do(match_of, service.source(address, None), text)
            if service.store.kept is not None:
                headers = [one.header for one in matched.headers]
                service.store.kept.keep_map(headers, address.columns)
            summary, findings = await read(address, await frame.currency(address))
        except BadInput as fault:
            return await match_page(address, fault.findings, chosen)
        if summary is not None and not any(not finding.warning for finding in findings):
            on = address.href("/" if address.settings else "/begin")
            return RedirectResponse(on, SEE_OTHER)
        return RedirectResponse(address.href("/catalogue"), SEE_OTHER)

    async def read(
        address: Address, currency: str | None
    ) -> tuple[CatalogueSummary | None, tuple[Finding, ...]]:
        """Return what the goods hold, if they can be used, and every finding in them."""
        try:
            summary = await service.summary(service.source(address, currency))
        except BadInput as fault:
            return None, fault.findings
        return summary, summary.findings

    async def findings_page(
        address: Address, currency: str | None, status: int = 200
    ) -> HTMLResponse:
        whole = replace(address, skip_bad_rows=False)
        summary, findings = await read(whole, currency)
        rest = None
        with suppress(BadInput):
            skipping = replace(address, skip_bad_rows=True)
            rest = await service.summary(service.source(skipping, currency))
        stored = service.store.get(address.catalogue)
        context = view_models.frame(frame.made_here(address), stored.name, summary or rest)
        errors = sum(not finding.warning for finding in findings)
        on = replace(address, skip_bad_rows=bool(errors))
        context |= {
            "groups": grouped(findings)[:_GROUPS_SHOWN],
            "number": len(findings),
            "errors": errors,
            "sound": rest.rows if rest else 0,
            "all_rows": rest.row_counts.of_source if rest else 0,
            "on": on.href("/" if address.settings else "/begin"),
            "match": address.href("/goods"),
            "most": MOST_BYTES // 2**20,
        }
        return page("catalogue.html", context, status)

    async def match_page(
        address: Address, findings: tuple[Finding, ...] = (), chosen: Any = ()
    ) -> HTMLResponse:
        stored = service.store.get(address.catalogue)
        text = None
        if address.columns:
            text = service.store.get(address.columns).path.read_text(encoding="utf-8")
        source = service.source(address, None)
        match: GoodsMatch = await service.do(match_of, source, text)
        remembered = False
        if text is None and service.store.kept is not None:
            # Goods with the same headers were read before: they are read in the same way.
            known = service.store.kept.map_for([one.header for one in match.headers])
            if known is not None:
                text = service.store.get(known).path.read_text(encoding="utf-8")
                match, remembered = await service.do(match_of, source, text), True
        context = view_models.frame(frame.made_here(address), stored.name, None)
        context |= {
            "match": match,
            "remembered": remembered,
            "names": {target: _name(target) for target in match.targets},
            "chosen": dict(chosen),
            "faults": {finding.column: finding for finding in findings},
            "findings": findings,
            "sure": sum(bool(one.target) and not one.unsure for one in match.headers),
        }
        return page("goods.html", context, BAD_INPUT if findings else 200)

    return router


def _most(texts: dict[str, str]) -> int:
    """Return how many columns a form has."""
    return sum(name[:1] == "h" and name[1:].isdigit() for name in texts)


def _name(target: str) -> str:
    """Return what people read for a column of ours, or for several in one cell."""
    t = texts("kitsolver.page").match
    if not target:
        return str(t.nothing)
    kind, _, ours = target.rpartition(":")
    names = [str(getattr(t.columns, name, name)) for name in ours.split(",")]
    if kind == "split":
        # Whether they are centimetres or inches is said by the header or the cell.
        sizes = all(name.startswith(("width_", "height_")) for name in ours.split(","))
        names = [str(t.size)] if sizes else names
        return str(t.split.format(columns=" × ".join(names)))
    return str(t.join.format(column=names[0])) if kind == "join" else names[0]
