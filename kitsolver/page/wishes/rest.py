"""The keys of a brief that no sentence of the form has a blank for: each gets one of its own."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, get_args

from pydantic import BaseModel

from kitsolver.brief.brief import Brief
from kitsolver.brief.needs import Need, Needs
from kitsolver.brief.part import field_of
from kitsolver.brief.settings import value_text
from kitsolver.page.everyday import everyday
from kitsolver.page.wishes.fields import Field, Kind

# Files are handed in on the page, and not named. Both caps share a blank.
_NOT_HERE = {("home", "from"), ("home", "columns"), ("cap",), ("cap_per_head",), ("holds",)}


def rest_of(holds: Sequence[str], said: Collection[tuple[str, ...]]) -> Iterator[Field]:
    """Yield a blank for each key of a brief with some needs that is not `said` yet."""
    for path in keys_of_brief(tuple(holds)):
        if path in _NOT_HERE or path in said:
            continue
        field = described(path)
        (example,) = field.examples or [""]
        label = f"{'.'.join(path)}: {everyday(field.description)}"
        yield Field(path, Kind.SETTING, hint=value_text(example), label=label)


@lru_cache(64)
def keys_of_brief(holds: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """Return every key of a brief with some needs, by its tables."""
    sample = Brief.model_validate({"currency": "EUR", "cap": 0, "holds": holds})
    return tuple(_leaves(sample.model_dump(by_alias=True), ()))


def _leaves(data: Mapping[str, Any], path: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for name, value in data.items():
        # The tables of a brief have keys; a mapping that is a value is blank by default.
        if isinstance(value, dict) and value:
            yield from _leaves(value, (*path, name))
        elif value is not None or path[:1] != ("needs",) or len(path) > 1:
            yield (*path, name)


def described(path: Sequence[str]) -> Any:
    """Return the field of a key of the brief, with its meaning and an example."""
    table: type[BaseModel] = Brief
    for name in path[:-1]:
        if table is Needs and field_of(Needs, name) is None:
            table = Need
            continue
        annotation = field_of(table, name).annotation
        kinds = [annotation, *get_args(annotation)]
        table = next(k for k in kinds if isinstance(k, type) and issubclass(k, BaseModel))
    return field_of(table, path[-1])
