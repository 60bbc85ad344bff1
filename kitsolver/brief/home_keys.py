"""The home list: where it is said what the buyer has at home, and how that is read."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import PlainSerializer

from kitsolver.brief.numbers import Number, Word
from kitsolver.brief.part import Part, key
from kitsolver.shop.sources.source_address import masked

# A dumped brief never shows a password.
Address = Annotated[Word, PlainSerializer(masked, when_used="json")]


class HomeKeys(Part):
    """The source of the home list, its map, and the quality of what does not say its own."""

    source: Address | None = key(
        None,
        "The list of what is at home: any source that a catalogue may have, beside the brief.",
        example="cupboard.csv",
        written="from",
    )
    columns: Word | None = key(
        None, "The map of the home list's columns (TOML), beside the brief.", example="map.toml"
    )
    quality: Number = key(
        Decimal(50),
        "The quality of goods only at home that do not say theirs.",
        unit="0 to 100",
        example=60,
    )
