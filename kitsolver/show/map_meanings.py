"""What each key of a map means, as the docstrings of its models say it."""

from __future__ import annotations

import re
from inspect import cleandoc

from pydantic import BaseModel

from kitsolver.shop.sources.bounds import Bounds


def map_meanings(model: type[BaseModel]) -> dict[str, str]:
    """Return the meaning of each key of a map's table, as a sentence."""
    # What is the most that is read is described where it is checked.
    return _meanings(model.__doc__ or "") | _meanings(Bounds.__doc__ or "")


def _meanings(described: str) -> dict[str, str]:
    """Return what a docstring says of each parameter."""
    found: dict[str, str] = {}
    entry = r"^(\w+(?:, \w+)*) : [^\n]*\n((?:[ ]{4,}[^\n]+\n)+)"
    for names, text in re.findall(entry, f"{cleandoc(described)}\n", flags=re.MULTILINE):
        found |= dict.fromkeys(names.split(", "), " ".join(text.split()).replace("``", "`"))
    return found
