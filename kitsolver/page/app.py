"""The web application: views and API under one guard."""

from __future__ import annotations

import tempfile
from collections.abc import AsyncIterator, Callable
from concurrent.futures import TimeoutError as TookTooLong
from contextlib import asynccontextmanager
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from starlette.exceptions import HTTPException

from kitsolver.page import view_models
from kitsolver.page.address import Address
from kitsolver.page.api import api, trouble_record
from kitsolver.page.catalogue_store import MOST_BYTES, Stock
from kitsolver.page.guard import Guard, TooLarge
from kitsolver.page.page_findings import CatalogueForgotten, NotUnderstood
from kitsolver.page.service import Service
from kitsolver.page.views import views
from kitsolver.page.work import Fault
from kitsolver.page.worker_pool import Busy
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.show.sheet.theme import stylesheet
from kitsolver.solve.time_limit import OutOfTime

# Beside the file itself a form carries the address that it was sent from.
_MOST_BODY = MOST_BYTES + 2**18


def application(
    name: str, content: bytes, start: Address, ready: Callable[[], None] = lambda: None
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
        Called as soon as the first view can be answered at once.
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
            service = Service(Stock(name, content, Path(folder)), start)
            try:
                app.include_router(views(service))
                app.include_router(api(service))
                await _warm(service, start)
                ready()
                yield
            finally:
                service.crew.stop()

    app.router.lifespan_context = running
    app.add_middleware(Guard, most_bytes=_MOST_BODY)
    _looks(app)
    _troubles(app)
    return app


async def _warm(service: Service, start: Address) -> None:
    """Answer the first view, so that whoever asks for it need not wait."""
    if not start.settings:
        await service.look(service.shelf(start, None))
        return
    brief = start.brief
    await service.look(service.shelf(start, brief.currency))
    await service.answer(start, brief)
    await service.climb(start, brief)


@cache
def _styles() -> str:
    own = (files("kitsolver.page") / "static" / "page.css").read_text(encoding="utf-8")
    return f"{stylesheet()}\n{own}"


@cache
def _script() -> str:
    return (files("kitsolver.page") / "static" / "page.js").read_text(encoding="utf-8")


def _looks(app: FastAPI) -> None:
    """Add what the views look like, and what makes them quick."""

    @app.get("/page.css", include_in_schema=False)
    async def styles() -> Response:
        return Response(_styles(), media_type="text/css")

    @app.get("/favicon.ico", include_in_schema=False)
    async def icon() -> Response:
        # Browsers ask for one of their own accord.
        return Response(status_code=204)

    @app.get("/page.js", include_in_schema=False)
    async def script() -> Response:
        return Response(_script(), media_type="text/javascript")


def _troubles(app: FastAPI) -> None:
    """Answer what goes wrong: as findings to programs, in words to people."""

    def answer(
        request: Request,
        status: int,
        told: str,
        findings: tuple[Finding, ...] = (),
        headers: dict[str, str] | None = None,
    ) -> Response:
        if request.url.path.startswith("/api"):
            return JSONResponse(trouble_record(told, findings), status, headers)
        context = view_models.frame(Address({}), "another catalogue", None)
        title = "Not usable so" if findings else told
        context |= {"title": title, "told": [] if findings else [told], "findings": findings}
        return HTMLResponse(view_models.page_of("trouble.html", context), status, headers)

    @app.exception_handler(BadInput)
    async def bad_input(request: Request, fault: BadInput) -> Response:
        forgotten = any(isinstance(finding, CatalogueForgotten) for finding in fault.findings)
        told = "What was handed in cannot be used."
        return answer(request, 404 if forgotten else 422, told, fault.findings)

    @app.exception_handler(RequestValidationError)
    async def not_understood(request: Request, fault: RequestValidationError) -> Response:
        found = tuple(
            NotUnderstood(
                file="the request",
                column=".".join(str(part) for part in error["loc"][1:]) or None,
                detail=str(error["msg"]).rstrip("."),
            )
            for error in fault.errors()
        )
        return answer(request, 422, "The request is not understood.", found)

    @app.exception_handler(Busy)
    async def busy(request: Request, _: Busy) -> Response:
        told = "Too much is being worked out just now. Try again in a moment."
        return answer(request, 503, told, headers={"Retry-After": "2"})

    @app.exception_handler(TookTooLong)
    async def too_long(request: Request, _: TookTooLong) -> Response:
        return answer(request, 504, "This takes longer than the page waits: use the command line.")

    @app.exception_handler(OutOfTime)
    async def out_of_time(request: Request, _: OutOfTime) -> Response:
        told = "Time ran out before any kit was found: use the command line, which waits longer."
        return answer(request, 504, told)

    @app.exception_handler(TooLarge)
    async def too_large(request: Request, _: TooLarge) -> Response:
        return answer(request, 413, f"At most {_MOST_BODY} bytes are taken.")

    @app.exception_handler(Fault)
    async def at_fault(request: Request, fault: Fault) -> Response:
        return answer(request, 500, f"A fault of the program, {fault}")

    @app.exception_handler(HTTPException)
    async def nothing_there(request: Request, fault: HTTPException) -> Response:
        told, found = str(fault.detail), tuple[Finding, ...]()
        if fault.status_code == 400:
            found = (NotUnderstood(file="the request", detail=told.rstrip(".")),)
        return answer(request, fault.status_code, told, found, dict(fault.headers or {}))
