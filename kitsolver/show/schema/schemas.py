"""The schemas of the catalogue (Table Schema), of the brief and of results (JSON Schema)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import JsonSchemaMode

from kitsolver.brief.brief import Brief
from kitsolver.shop.columns.cells import WEAVES
from kitsolver.shop.columns.column import Column
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.columns.registry import columns
from kitsolver.shop.maps.file_options import FileOptions
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.show.map_meanings import map_meanings
from kitsolver.show.schema.batch import BatchRecord
from kitsolver.show.schema.draft import DraftRecord
from kitsolver.show.schema.findings import FindingsRecord
from kitsolver.show.schema.kit import KitRecord
from kitsolver.show.schema.ladder import LadderRecord
from kitsolver.show.schema.others import OthersRecord
from kitsolver.show.schema.range import CopiesRecord, RangeRecord
from kitsolver.show.schema.recheck import RecheckRecord
from kitsolver.show.schema.why import WhyRecord

_TABLE = "https://datapackage.org/profiles/2.0/tableschema.json"
_JSON = "https://json-schema.org/draft/2020-12/schema"
# Columns that hold one of a few words, and these words.
_WORDS = {"weave": WEAVES, "download": ("yes", "no"), "sold_by": ("unit", "length")}
RECORDS: dict[str, type[BaseModel]] = {
    "kit": KitRecord,
    "ladder": LadderRecord,
    "others": OthersRecord,
    "why": WhyRecord,
    "recheck": RecheckRecord,
    "range": RangeRecord,
    "copies": CopiesRecord,
    "batch": BatchRecord,
    "findings": FindingsRecord,
    "draft": DraftRecord,
}
NAMES = ("catalogue", "brief", "map", *RECORDS)


def schema_of(name: str, currency: str | None = None) -> dict[str, Any]:
    """Return the schema of a catalogue, a brief, a map or a result.

    Parameters
    ----------
    name : str
        One of `NAMES`.
    currency : str, optional
        The currency of the catalogue's prices.

    Raises
    ------
    KeyError
        If the name, or the currency, is unknown.

    Notes
    -----
    The catalogue's is a Table Schema (Data Package 2.0). It says what each column may hold, but not
    which columns a category needs: that standard has no way to say so.
    """
    if name == "catalogue":
        return _table_schema(currency)
    written: dict[str, type[BaseModel]] = {"brief": Brief, "map": ColumnMap}
    model = written[name] if name in written else RECORDS[name]
    # A result has every key; in a brief and in a map most keys may be left out.
    mode: JsonSchemaMode = "validation" if name in written else "serialization"
    schema = {"$schema": _JSON} | model.model_json_schema(mode=mode)
    for table in (schema, *schema.get("$defs", {}).values()):
        # What else a docstring says is for those who write Python.
        if "description" in table:
            table["description"] = table["description"].partition("\n\n")[0].replace("\n", " ")
    if name == "map":
        # The keys of a map are described in the docstrings of its models.
        _describe(schema, map_meanings(ColumnMap))
        _describe(schema["$defs"]["FileOptions"], map_meanings(FileOptions))
    return schema


def _describe(table: dict[str, Any], meanings: dict[str, str]) -> None:
    for key, described in table["properties"].items():
        described["description"] = meanings[key]


def _table_schema(currency: str | None) -> dict[str, Any]:
    by_name: dict[str, list[Column]] = {}
    for column in columns(currency):
        by_name.setdefault(column.name, []).append(column)
    return {
        "$schema": _TABLE,
        "fields": [_field(name, same) for name, same in by_name.items()],
        "fieldsMatch": "partial",
        "primaryKey": ["sku"],
        "missingValues": [""],
    }


def _field(name: str, same: list[Column]) -> dict[str, Any]:
    first = same[0]
    field: dict[str, Any] = {"name": name, "type": _type(first)}
    field["description"] = " ".join(map(_description, same))
    field["example"] = first.example
    if constraints := dict(_constraints(first)):
        field["constraints"] = constraints
    return field


def _description(column: Column) -> str:
    """Return what a column says, in which unit, and for rows of which categories."""
    categories = (
        f"For rows of category {', '.join(column.categories)}: " if column.categories else ""
    )
    meaning = column.meaning
    if categories:
        meaning = meaning[0].lower() + meaning[1:]
    unit = f" Unit: {column.unit}." if column.unit else ""
    return f"{categories}{meaning}{unit}"


def _type(column: Column) -> str:
    if not isinstance(column.reads, Number):
        return "string"
    return "number" if column.reads.decimals else "integer"


def _constraints(column: Column) -> Iterator[tuple[str, Any]]:
    if column.required and not column.categories:
        yield "required", True
    if column.name == "sku":
        yield "unique", True
    if column.name in _WORDS:
        yield "enum", list(_WORDS[column.name])
    if isinstance(column.reads, Number):
        yield ("exclusiveMinimum" if column.reads.positive else "minimum"), 0
        yield "maximum", column.reads.most
