"""The list of what is at home: handed in as a file, or ticked among the shop's threads."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import Annotated

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kitsolver.page import threads_at_home as tasks
from kitsolver.page.address import Address
from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.service import Service
from kitsolver.page.views.frame import SEE_OTHER, Frame, page
from kitsolver.show.sheet.texts import texts

_MOST_TICKS = 5_000


def routes(service: Service, frame: Frame) -> APIRouter:
    """Return these views."""
    router = APIRouter()

    async def source_of(address: Address) -> CatalogueToRead:
        return service.source(address, await frame.currency(address))

    async def beside(address: Address, digest: str) -> Response:
        """Ask the same beside a home list, whose faults are told now and not with the next kit."""
        with_list = replace(address, home=digest)
        await service.summary(await source_of(with_list))
        if service.store.kept is not None:
            service.store.kept.call_home_list(digest)
        return RedirectResponse(with_list.href("/" if address.settings else "/begin"), SEE_OTHER)

    @router.post("/home")
    async def hand_in(file: UploadFile, was: Annotated[str, Form()] = "") -> Response:
        """Take a home list, and ask the same beside it."""
        stored = await frame.take(file)
        return await beside(frame.address_in(was), stored.digest)

    @router.get("/at-home")
    async def threads(request: Request, words: str = "") -> HTMLResponse:
        """Show the shop's threads, to tick those that are at home."""
        address = frame.address(request, "words")
        context, _ = await frame.context(address, await frame.currency(address))
        found = await service.do(tasks.threads_to_tick, await source_of(address), words)
        shown = sum(len(threads) for _, threads in found.families)
        return page("at_home.html", context | {"found": found, "shown": shown, "words": words})

    @router.post("/at-home")
    async def ticked(
        was: Annotated[str, Form()] = "",
        words: Annotated[str, Form()] = "",
        sku: Annotated[list[str] | None, Form(max_length=_MOST_TICKS)] = None,
    ) -> Response:
        """Make the home list that the ticks stand for, and ask the same beside it."""
        address = frame.address_in(was)
        text = await service.do(tasks.list_with, await source_of(address), words, sku or [])
        content = BytesIO(text.encode())
        name = texts("kitsolver.page").at_home.name
        with service.store.add(await service.copied(name, content)) as stored:
            return await beside(address, stored.digest)

    return router
