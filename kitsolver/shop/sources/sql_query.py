"""What a database may be asked for: a table by its name, or one SELECT.

This is a first barrier, kept where every database sees the same text. The second is the
connection, which is opened for reading only.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from kitsolver.shop.findings import BadInput
from kitsolver.shop.sources.source_findings import NothingAsked, NotOneSelect

_TABLE = re.compile(r"(?:(?P<schema>\w+)\.)?(?P<table>\w+)")
_SELECT = re.compile(r"(?:SELECT|WITH)\b", re.IGNORECASE)
# Texts and names in quotes, in which any sign may stand; a quote is written twice in them.
_QUOTED = re.compile(r"'(?:[^']|'')*'|\"(?:[^\"]|\"\")*\"")
# Databases read these differently: what is part of a text for one may end it for another.
_REFUSED = {"--": "a comment", "/*": "a comment", "\\": "a backslash", ";": "a semicolon"}


class Table(NamedTuple):
    """A table, with its schema if one is named."""

    schema: str | None
    name: str


def asked_of(asked: str, name: str) -> Table | str:
    """Return the table that is asked for, or the text of one SELECT.

    Parameters
    ----------
    asked : str
        What stands behind the ``#`` of an address.
    name : str
        What findings call the source.

    Raises
    ------
    BadInput
        If nothing is asked, or anything else.
    """
    if not asked:
        raise BadInput([NothingAsked(file=name)])
    if table := _TABLE.fullmatch(asked):
        return Table(table["schema"], table["table"])
    query = asked.rstrip("; \t\r\n")
    if not _SELECT.match(query):
        raise BadInput([NotOneSelect(file=name, detail="it does not begin with SELECT")])
    place = 0
    while place < len(query):
        if quoted := _QUOTED.match(query, place):
            if "\\" in quoted[0]:
                raise BadInput([NotOneSelect(file=name, detail="it holds a backslash")])
            place = quoted.end()
            continue
        if query[place] in "'\"":
            raise BadInput([NotOneSelect(file=name, detail="a quote is never closed")])
        for sign, called in _REFUSED.items():
            if query.startswith(sign, place):
                raise BadInput([NotOneSelect(file=name, detail=f"it holds {called}")])
        place += 1
    return query
