"""The page of every column and every key of a brief, written from their schemas."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from kitsolver.shop.columns.column import Column
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.columns.registry import columns
from kitsolver.show.json_record import JsonObject
from kitsolver.show.reference_tables import QUALITY, craft_tables, map_tables
from kitsolver.show.schema.schemas import schema_of

_HEAD = """\
# Reference

Every column of a catalogue, every key of a brief and of a map, what needles and strands suit, and
how to score quality. How columns and keys work together is said in
[format.md](format.md). This page is written by `python -m kitsolver.show.reference_page`, from the
descriptions that `kitsolver schema` gives, too.
"""
_COLUMNS = ("column", "rows", "value", "blank means", "unit", "example", "meaning")
_KEYS = ("key", "value", "default", "unit", "example", "meaning")
# What a blank cell means where that is not a number.
_BLANK = {
    "stock": "unlimited",
    "trade_cost": "not known",
    "tax_rate": "the till's",
    "download": "no",
    "sold_by": "unit",
    "kind": "cotton",
}
# The tables of a brief by their heading there, and by their name in its schema.
_TABLES = {
    "needs.X": "Need",
    "all": "WholeKit",
    "extras": "Extras",
    "extras.conditions.X": "Conditions",
    "choose": "Choose",
    "home": "HomeKeys",
    "fit": "Fit",
    "size": "FinishedSize",
    "shades": "Shades",
    "till": "TillRules",
    "shop": "Shop",
    "lesson": "Lesson",
    "[limits]": "Limit",
    "[pairs]": "Pair",
    "[alike]": "Alike",
    "limits.where": "Where",
    "needs.chart.have": "HomeChart",
    "needs.fabric.have": "HomeFabric",
    "needs.needle.have": "HomeNeedle",
    "needs.hoop.have": "HomeHoop",
}


def reference_page() -> str:
    """Return the page in Markdown."""
    brief = schema_of("brief")
    parts = [_HEAD, "## Columns\n", _table(_COLUMNS, map(_column, columns()))]
    parts += ["## Keys of a brief\n", _keys(brief)]
    for heading, name in _TABLES.items():
        parts += [f"### `[{heading}]`\n", _keys(brief["$defs"][name])]
    parts += [map_tables(), craft_tables(), QUALITY]
    return "\n".join(parts)


def _keys(schema: JsonObject) -> str:
    rows = (_key(name, key, schema) for name, key in schema["properties"].items())
    return _table(_KEYS, rows)


def _key(name: str, key: JsonObject, table: JsonObject) -> Sequence[str]:
    required = name in table.get("required", ())
    return (
        f"`{name}`",
        _value(key),
        "required" if required else _default(key),
        key.get("unit", ""),
        f"`{_toml(key['examples'][0])}`",
        key["description"],
    )


def _value(key: JsonObject) -> str:
    """Return which values a key takes."""
    if "$ref" in key:
        return "table"
    if "enum" in key:
        return " or ".join(f"`{_toml(word)}`" for word in key["enum"])
    if "oneOf" in key:
        return " or ".join(map(_value, key["oneOf"]))
    # Numbers may be written as text; null stands for a key that is left out.
    kinds = list(_alternatives(key))
    if "number" in kinds:
        return "number"
    return {"integer": "whole number", "boolean": "true or false", "string": "text"}.get(
        kinds[0], {"array": "list", "object": "table"}.get(kinds[0], kinds[0])
    )


def _alternatives(key: JsonObject) -> Iterator[str]:
    for one in key.get("anyOf", [key]):
        kind = "table" if "$ref" in one else one.get("type", "any")
        if kind != "null":
            yield kind


def _default(key: JsonObject) -> str:
    value = key.get("default")
    if value in (None, "", [], {}) or isinstance(value, dict):
        return ""
    # Exact numbers are text in a schema.
    text = value if isinstance(value, str) and "number" in _alternatives(key) else _toml(value)
    return f"`{text}`"


def _column(column: Column) -> Sequence[str]:
    return (
        f"`{column.name}`",
        ", ".join(column.categories) or "all",
        _cell(column),
        _blank(column),
        column.unit,
        f"`{column.example}`",
        column.meaning,
    )


def _cell(column: Column) -> str:
    if not isinstance(column.reads, Number):
        return "text"
    return "number" if column.reads.decimals else "whole number"


def _blank(column: Column) -> str:
    if column.name in _BLANK:
        return _BLANK[column.name]
    if isinstance(column.reads, Number) and isinstance(column.blank, int) and column.blank:
        return f"{column.blank / column.reads.held:g}"
    return "refused" if column.required else "not given"


def _toml(value: Any) -> str:
    """Return a value as a brief writes it."""
    if isinstance(value, dict):
        pairs = (f"{_name(name)} = {_toml(each)}" for name, each in value.items())
        return f"{{ {', '.join(pairs)} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(value, ensure_ascii=False)


def _name(key: str) -> str:
    return f'"{key}"' if key[:1].isdigit() else key


def _table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [header, ["---"] * len(header), *rows]
    return "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


if __name__ == "__main__":
    print(reference_page(), end="")
