"""The web application: views and API behind the guard, and the answers to what goes wrong."""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from starlette.exceptions import HTTPException

from kitsolver.page import view_models
from kitsolver.page.address import Address
from kitsolver.page.api import UPLOAD_PATH, api, error_record
from kitsolver.page.catalogue_store import MOST_BYTES, CatalogueStore
from kitsolver.page.client_gone import StopForGoneClients
from kitsolver.page.guard import Guard, TooLarge
from kitsolver.page.kept_folder import KeptFolder
from kitsolver.page.page_findings import CatalogueForgotten, NotUnderstood
from kitsolver.page.service import Service
from kitsolver.page.views import views
from kitsolver.page.waiting import RETRY_AFTER, busy_sentence
from kitsolver.page.worker import Fault
from kitsolver.page.worker_pool import Busy, TookTooLong
from kitsolver.page.worker_slot import WorkerSlot
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.theme import stylesheet, type_file, type_files, typeface
from kitsolver.solve.time_limit import OutOfTime

# Beside the file itself the form of an upload carries the address that it was sent from.
_MOST_UPLOAD = MOST_BYTES + 2**18
_UPLOADS = ("/begin", "/catalogue", "/goods", "/saved", "/home", UPLOAD_PATH)
_ERRORS_SHOWN = 100
# The answers to what may be asked again: too much at once, and out of time.
_UNFINISHED = (503, 504)


def application(
    name: str,
    content: bytes,
    start: Address,
    ready: Callable[[], None] = lambda: None,
    example: Address | None = None,
    kept: KeptFolder | None = None,
    home: tuple[str, bytes] | None = None,
    first: WorkerSlot | None = None,
) -> FastAPI:
    """Return the page of a catalogue.

    Parameters
    ----------
    name : str
        What findings call the catalogue.
    content : bytes
        Of its CSV file.
    start : Address
        What is asked at the beginning; asks for nothing if there is no brief yet.
    ready : callable
        Called once the first view has been worked out, or could not be.
    example : Address, optional
        A kit to look at from the beginning.
    kept : KeptFolder, optional
        Where goods, maps and kits are kept when the page is stopped.
    home : tuple of str and bytes, optional
        Name and bytes of the list of what is at home with which the page begins.
    first : WorkerSlot, optional
        The place of the first worker, which may run already.
    """
    app = FastAPI(
        title="kitsolver",
        version=version("kitsolver"),
        description="The provably best counted cross-stitch kit under a cap.",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
    )

    @asynccontextmanager
    async def running(app: FastAPI) -> AsyncIterator[None]:
        with tempfile.TemporaryDirectory(prefix="kitsolver-") as folder:
            store = CatalogueStore(name, content, Path(folder), kept)
            digest = store.keep_own(*home).digest if home is not None else ""
            begun, shown = replace(start, home=digest), example and replace(example, home=digest)
            service = Service(store, begun, shown, first)
            app.include_router(views(service))
            app.include_router(api(service))
            # The first view needs one worker, and is there sooner if no others start beside it.
            service.pool.start(1)
            # Not waited for: so the page can be stopped at once while it begins.
            view = asyncio.ensure_future(_answer_first_view(service, ready))
            try:
                yield
            finally:
                view.cancel()
                with suppress(asyncio.CancelledError):
                    await view
                service.pool.stop()

    app.router.lifespan_context = running
    app.add_middleware(Guard, most_upload=_MOST_UPLOAD, uploads=_UPLOADS)
    app.add_middleware(StopForGoneClients)
    _add_static_files(app)
    _add_error_answers(app)
    return app


async def _answer_first_view(service: Service, ready: Callable[[], None]) -> None:
    """Work out what the first view shows, so that whoever opens the page need not wait."""
    start = service.start
    # What cannot be answered now is told to who asks for it.
    with suppress(BadInput, OutOfTime, TookTooLong, Busy, Fault):
        if start.settings:
            brief = await service.brief(start)
            await service.summary(service.source(start, brief.currency))
            await service.answer(start, brief)
            await service.ladder(start, brief)
        else:
            await service.summary(service.source(start, None))
    service.pool.start()
    ready()


@cache
def _styles() -> str:
    own = (files("kitsolver.page") / "static" / "page.css").read_text(encoding="utf-8")
    return f"{typeface('/type')}\n{stylesheet()}\n{own}"


@cache
def _script() -> str:
    return (files("kitsolver.page") / "static" / "page.js").read_text(encoding="utf-8")


def _add_static_files(app: FastAPI) -> None:
    """Add the stylesheet and the script of the views."""

    @app.get("/page.css", include_in_schema=False)
    async def styles() -> Response:
        return Response(_styles(), media_type="text/css")

    @app.get("/type/{name}", include_in_schema=False)
    async def letters(name: str) -> Response:
        if name not in type_files():
            raise HTTPException(404)
        kept = {"Cache-Control": "max-age=86400"}
        return Response(type_file(name), media_type="font/woff2", headers=kept)

    @app.get("/favicon.ico", include_in_schema=False)
    async def icon() -> Response:
        # Browsers ask for one unasked.
        return Response(status_code=204)

    @app.get("/page.js", include_in_schema=False)
    async def script() -> Response:
        return Response(_script(), media_type="text/javascript")


def _told() -> Any:
    """Return the texts of what went wrong."""
    return texts("kitsolver.page").trouble


def _add_error_answers(app: FastAPI) -> None:
    """Answer what goes wrong: as findings to programs, in sentences to people."""

    def answer(
        request: Request,
        status: int,
        sentence: str,
        findings: tuple[Finding, ...] = (),
        headers: dict[str, str] | None = None,
    ) -> Response:
        if request.url.path.startswith("/api"):
            return JSONResponse(error_record(sentence, findings), status, headers)
        context = view_models.frame(Address({}), "", None)
        t = _told()
        title = t.not_usable if findings else sentence
        sentences = [] if findings else [sentence]
        if status == 404 and not findings:
            title, sentences = t.no_such_page, [t.no_such_page_says]
        # What was stopped is not known, and may be asked again.
        again = request.url.path + f"?{request.url.query}" * bool(request.url.query)
        may_ask = status in _UNFINISHED and request.method == "GET"
        context |= {"title": title, "sentences": sentences, "findings": findings}
        context["again"] = again if may_ask else ""
        # Goods that are not at hand can be handed in there; what was asked stays.
        lost = any(isinstance(finding, CatalogueForgotten) for finding in findings)
        context["hand_in"] = lost and request.method == "GET"
        context |= {"was": request.url.query, "most": MOST_BYTES // 2**20}
        return HTMLResponse(view_models.page_of("trouble.html", context), status, headers)

    @app.exception_handler(BadInput)
    async def bad_input(request: Request, fault: BadInput) -> Response:
        forgotten = any(isinstance(finding, CatalogueForgotten) for finding in fault.findings)
        sentence = _told().handed_in
        return answer(request, 404 if forgotten else 422, sentence, fault.findings)

    @app.exception_handler(RequestValidationError)
    async def not_understood(request: Request, fault: RequestValidationError) -> Response:
        found = tuple(
            NotUnderstood(
                file="the request",
                column=".".join(str(part) for part in error["loc"][1:]) or None,
                detail=str(error["msg"]).rstrip("."),
            )
            for error in fault.errors()[:_ERRORS_SHOWN]
        )
        return answer(request, 422, _told().not_understood, found)

    @app.exception_handler(Busy)
    async def busy(request: Request, fault: Busy) -> Response:
        headers = {"Retry-After": str(RETRY_AFTER)}
        return answer(request, 503, busy_sentence(fault.place), headers=headers)

    @app.exception_handler(TookTooLong)
    async def too_long(request: Request, _: TookTooLong) -> Response:
        return answer(request, 504, _told().nothing_known)

    @app.exception_handler(OutOfTime)
    async def out_of_time(request: Request, _: OutOfTime) -> Response:
        return answer(request, 504, _told().no_kit_so_far)

    @app.exception_handler(TooLarge)
    async def too_large(request: Request, fault: TooLarge) -> Response:
        return answer(request, 413, _told().too_large.format(most=fault.most))

    @app.exception_handler(Fault)
    async def at_fault(request: Request, fault: Fault) -> Response:
        return answer(request, 500, _told().fault.format(fault=fault))

    @app.exception_handler(HTTPException)
    async def http_error(request: Request, fault: HTTPException) -> Response:
        sentence, found = str(fault.detail), tuple[Finding, ...]()
        if fault.status_code == 400:
            found = (NotUnderstood(file="the request", detail=sentence.rstrip(".")),)
        return answer(request, fault.status_code, sentence, found, dict(fault.headers or {}))
