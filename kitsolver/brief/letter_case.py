"""Categories, weaves and kinds of thread in a brief: read in any case, held in lower case.

A catalogue holds them in lower case, and so a brief that says "Aida" means the same cloth.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

# Their cells are held in lower case.
_COLUMNS = ("category", "weave", "kind")
# Tables whose keys are categories, or kinds of thread.
_KEYED = (("needs",), ("extras", "conditions"), ("shades", "kinds"))


def lower_case(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return a brief's data with every category, weave and kind in lower case.

    Two keys that only their case tells apart stay as they are, and are found to be wrong later.

    Parameters
    ----------
    data : mapping
        As parsed; what is of a wrong type stays as it is.
    """
    return _table(data, ())


def lower_case_path(path: Sequence[str]) -> list[str]:
    """Return the path to a key of a brief with the category or kind in it in lower case."""
    return [
        part.lower() if tuple(path[:place]) in _KEYED else part for place, part in enumerate(path)
    ]


def _table(table: Mapping[str, Any], path: tuple[str, ...]) -> dict[str, Any]:
    values = {name: _value(value, (*path, name)) for name, value in table.items()}
    if path not in _KEYED:
        return values
    lowered = {_lower(name): value for name, value in values.items()}
    return lowered if len(lowered) == len(values) else values


def _value(value: Any, path: tuple[str, ...]) -> Any:
    if _names_them(path):
        return _each(value, _lower)
    if isinstance(value, Mapping):
        return _table(value, path)
    # The rules of one's own are lists of tables.
    return _each(value, lambda one: _table(one, path) if isinstance(one, Mapping) else one)


def _names_them(path: tuple[str, ...]) -> bool:
    """Tell whether the value at a path names categories, weaves or kinds."""
    match path:
        case ("holds",) | ("extras", "categories") | ("alike", "of") | ("shades", "kinds", _):
            return True
        case ("limits" | "pairs", *_, "category"):
            return True
        case (*_, "only" | "have", column):
            return column in _COLUMNS
    return False


def _each(value: Any, change: Callable[[Any], Any]) -> Any:
    return [change(one) for one in value] if isinstance(value, (list, tuple)) else change(value)


def _lower(word: Any) -> Any:
    return word.lower() if isinstance(word, str) else word
