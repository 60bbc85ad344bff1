"""Reads a brief: from a TOML file or from data, with overrides, or all of its findings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from kitsolver.brief import brief_findings
from kitsolver.brief.brief import Brief
from kitsolver.brief.settings import with_changes
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.sources.file_format import DELIMITERS
from kitsolver.shop.toml_text import excesses, parse_toml, read_small


def read_brief(path: str | Path, *, sets: Iterable[str] = (), cap: str | None = None) -> Brief:
    """Return the brief of a TOML file.

    Parameters
    ----------
    path : str or Path
        The file.
    sets : iterable of str
        Overrides of the form ``needs.fabric.max_price=14.00``.
    cap : str, optional
        Replaces either cap key; for the whole order.

    Raises
    ------
    BadInput
        With every finding.
    """
    return brief_of(with_changes(data_of(path), sets, cap), str(path))


def data_of(path: str | Path) -> dict[str, Any]:
    """Return the data of a TOML file.

    Raises
    ------
    BadInput
        If it is no such file.
    """
    try:
        text = read_small(path).decode("utf-8-sig")
    except OSError as fault:
        detail = (fault.strerror or "unreadable").lower()
        raise BadInput([brief_findings.UnreadableBrief(file=str(path), detail=detail)]) from None
    except UnicodeDecodeError as fault:
        raise BadInput([_not_utf8(str(path), fault)]) from None
    except ValueError as fault:
        # The name is too long, or cannot be a path.
        detail = str(fault)
        raise BadInput([brief_findings.UnreadableBrief(file=str(path), detail=detail)]) from None
    return _data(text, str(path))


def brief_from_text(text: str, name: str = "brief") -> Brief:
    """Return the brief of TOML text; findings name the text as `name`.

    Raises
    ------
    BadInput
        With every finding.
    """
    return brief_of(_data(text, name), name)


def _data(text: str, name: str) -> dict[str, Any]:
    try:
        data = parse_toml(text)
    except ValueError as fault:
        raise BadInput([_not_toml(name, text, str(fault))]) from None
    _check_bounds(data, name)
    return data


def with_settings(
    brief: Brief, *, sets: Iterable[str] = (), cap: str | None = None, name: str = "brief"
) -> Brief:
    """Return a brief with some keys replaced, as the command line's options do.

    Parameters
    ----------
    brief : Brief
        The brief, which stays as it is.
    sets : iterable of str
        Overrides of the form ``needs.fabric.max_price=14.00``.
    cap : str, optional
        Replaces either cap key; for the whole order.
    name : str
        What findings call the new brief.

    Raises
    ------
    BadInput
        With every finding.
    """
    return brief_of(with_changes(brief.model_dump(mode="json"), sets, cap), name)


def brief_of(data: Mapping[str, Any], name: str = "brief") -> Brief:
    """Return the brief of parsed data, as `tomllib` or `json` gives it.

    Raises
    ------
    BadInput
        With every finding.
    """
    _check_bounds(data, name)
    return Brief.model_validate(dict(data), context=name)


def _check_bounds(data: Mapping[str, Any], name: str) -> None:
    """Refuse what nests more deeply, or is longer, than what any brief says."""
    if found := [
        brief_findings.BadValue(file=name, column=".".join(path), detail=detail)
        for path, detail in excesses(dict(data))
    ]:
        raise BadInput(found)


def _not_utf8(file: str, fault: UnicodeDecodeError) -> Finding:
    # Readers of tables take a while to import, and most briefs are text.
    from kitsolver.shop.source import is_table_file

    if is_table_file(fault.object):
        return brief_findings.TableForBrief(file=file)
    detail = f"byte {fault.object[fault.start]:#04x} at {fault.start}"
    return brief_findings.BriefNotUtf8(file=file, detail=detail)


def _not_toml(file: str, text: str, fault: str) -> Finding:
    if _is_table(text):
        return brief_findings.TableForBrief(file=file)
    line = re.search(r"\(at line (\d+), column \d+\)", fault)
    return brief_findings.NotToml(
        file=file,
        row=int(line[1]) if line else None,
        detail=re.sub(r" \(at line .*\)", "", fault).rstrip(".").lower(),
    )


def _is_table(text: str) -> bool:
    """Tell whether text that is not TOML begins with a header: several words, and no key."""
    header = text.lstrip().partition("\n")[0]
    begins_otherwise = header.startswith(("#", "[", "{"))
    return not begins_otherwise and "=" not in header and any(one in header for one in DELIMITERS)
