"""The things of a picture as HTML, remembered: pictures have many things in common."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any

from markupsafe import Markup

from kitsolver.show.templates import templates

_REMEMBERED = 2048


@lru_cache(_REMEMBERED)
def body_of(look: str, colours: tuple[str, ...], width: float, height: float) -> Markup:
    """Return a thing as it is drawn in a box of some size, in units of the picture."""
    return Markup(_macros().body(look, colours, width, height))


@cache
def _macros() -> Any:
    return templates("kitsolver.show.sheet").get_template("thing.html").module
