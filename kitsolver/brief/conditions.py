"""Conditions on rows: of a need, of an extra, of the whole kit."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, PlainSerializer, PlainValidator

from kitsolver.brief.frozen import FrozenDict
from kitsolver.brief.numbers import Money, Number, Word, read_number, refuse
from kitsolver.brief.part import Part, key


def _allowed(value: Any) -> Any:
    """One allowed value may stand without its list."""
    return list(value) if isinstance(value, (list, tuple)) else [value]


def _one_allowed(value: Any) -> str | int | Decimal:
    whole = isinstance(value, int) and not isinstance(value, bool)
    return value if whole or isinstance(value, str) else read_number(value)


def _bare(value: str | int | Decimal) -> str | int | float:
    """Numbers stay numbers when a brief is dumped: text is compared in another way."""
    return float(value) if isinstance(value, Decimal) else value


Allowed = Annotated[
    tuple[Annotated[str | int | Decimal, PlainValidator(_one_allowed)], ...],
    BeforeValidator(_allowed),
    PlainSerializer(lambda values: [_bare(value) for value in values], when_used="json"),
]


# The most decimals of a number that cells are compared with.
MOST_DECIMALS = 6


def _fine(value: Decimal) -> Decimal:
    exponent = value.normalize().as_tuple().exponent
    if isinstance(exponent, int) and -exponent > MOST_DECIMALS:
        raise refuse(f"has more than {MOST_DECIMALS} decimals")
    return value


# A number that is compared with cells.
Fine = Annotated[Number, AfterValidator(_fine)]


class Conditions(Part):
    """What a row must be like."""

    only: FrozenDict[str, Allowed] = key(
        FrozenDict(), "Allowed values by column.", example={"weave": ["aida"], "count": [14]}
    )
    tags_any: tuple[Word, ...] = key(
        (), "The row has at least one of these tags.", example=["soft"]
    )
    tags_none: tuple[Word, ...] = key((), "The row has none of these tags.", example=["stiff"])
    max_price: Money | None = key(
        None, "The row's own price is at most this.", unit="the currency", example="12.00"
    )
    min_quality: Number | None = key(
        None, "The row's own quality is at least this.", unit="0 to 100", example=40
    )
    at_least: FrozenDict[Word, Fine] = key(
        FrozenDict(), "The least that numeric columns may say.", example={"count": 16}
    )
    at_most: FrozenDict[Word, Fine] = key(
        FrozenDict(), "The most that numeric columns may say.", example={"weight_g": 120}
    )


class WholeKit(Part):
    """What every row of the kit must be like, need or extra."""

    tags_none: tuple[Word, ...] = key((), "No row has any of these tags.", example=["nickel"])
    tags_all: tuple[Word, ...] = key((), "Every row has all of these tags.", example=["child-safe"])
