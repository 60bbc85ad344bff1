"""The colours of a kit as HTML, remembered: kits that differ in other lines have the same."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from markupsafe import Markup

from kitsolver.show.sheet.kit_view import shade_view
from kitsolver.show.sheet.strips import Strips
from kitsolver.show.sheet.texts import texts
from kitsolver.show.templates import templates
from kitsolver.solve.audit.evidence import Shade

_REMEMBERED = 64


@lru_cache(_REMEMBERED)
def strips_html(strips: Strips) -> Markup:
    """Return the strips as a picture."""
    macros: Any = _template("strips.html").module
    return Markup(macros.colours(strips, texts("kitsolver.show.sheet").strips, str))


@lru_cache(_REMEMBERED)
def shades_html(shades: tuple[Shade, ...]) -> Markup:
    """Return the shades as a table."""
    rows = [shade_view(shade) for shade in shades]
    return Markup(_template("shades.html").render(shades=rows, t=texts("kitsolver.page")))


def _template(name: str) -> Any:
    return templates("kitsolver.page", "kitsolver.show.sheet").get_template(name)
