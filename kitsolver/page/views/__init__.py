"""The page's views. Each reads an address, asks the service, and fills a template.

A new view is a function in one of these files, or in a new one that is named here, and a template.
"""

from __future__ import annotations

from fastapi import APIRouter

from kitsolver.page.service import Service
from kitsolver.page.views import (
    begin,
    brief,
    catalogue,
    files,
    home,
    kit,
    line,
    rows,
    saved,
    several,
)
from kitsolver.page.views.frame import Frame


def views(service: Service) -> APIRouter:
    """Return all views."""
    router = APIRouter(include_in_schema=False)
    frame = Frame(service)
    for module in (kit, begin, brief, rows, catalogue, files, line, several, saved, home):
        router.include_router(module.routes(service, frame))
    return router
