"""HTML templates in which every value is escaped and holds only characters that HTML allows."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

# Control characters, lone surrogates, and code points that Unicode reserves as no character.
_NOT_IN_HTML = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


@cache
def templates(*packages: str) -> Environment:
    """Return the templates of some packages. Of equal names the first package's is taken."""
    return Environment(
        loader=ChoiceLoader([PackageLoader(package, "templates") for package in packages]),
        autoescape=True,
        # They are part of the package, and do not change while it runs.
        auto_reload=False,
        finalize=_allowed,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _allowed(value: Any) -> Any:
    # The output of another template is a subclass of str, and was checked when it was made. What
    # is printable holds nothing else, and that is told at once.
    if type(value) is not str or value.isprintable():
        return value
    return _NOT_IN_HTML.sub("\ufffd", value)
