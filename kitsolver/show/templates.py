"""Templates of HTML: every value is escaped, and none can bring what HTML does not allow."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

# Control characters, lone surrogates and what Unicode sets apart as no character.
_NO_CHARACTER = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


@cache
def templates(*packages: str) -> Environment:
    """Return the templates of some packages, the first counting where names are alike."""
    return Environment(
        loader=ChoiceLoader([PackageLoader(package, "templates") for package in packages]),
        autoescape=True,
        finalize=_characters,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _characters(value: Any) -> Any:
    # What a template made is of another type, and was looked at before.
    return _NO_CHARACTER.sub("\ufffd", value) if type(value) is str else value
