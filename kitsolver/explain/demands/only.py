"""The values of a column that are on sale, the nearest to what is asked first."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.columns.registry import NUMERIC


def values_on_sale(catalogue: Catalogue, category: str, column: str) -> list[Any]:
    """Return the values of a column among the rows of a category, lists in their parts."""
    if category not in catalogue.rows or column not in catalogue.cells:
        return []
    numbers = catalogue.rows[category].numbers
    cells = set(catalogue.cells[column][catalogue.cells.places(numbers)])
    parts = {part.strip().partition(":")[0] for cell in cells for part in cell.split(";")}
    if column in NUMERIC or column == "needle_sizes":
        values = sorted({Decimal(part) for part in parts if part})
        return [int(value) if value == int(value) else float(value) for value in values]
    return sorted(part for part in parts if part)


def nearest_first(now: Sequence[Any], others: Sequence[Any]) -> list[Any]:
    """Return the values of `others` that are new, numbers by how near they are to one of `now`."""
    new = [value for value in others if value not in now]
    numbers = [float(value) for value in now if not isinstance(value, str)]
    if not numbers or any(isinstance(value, str) for value in new):
        return new
    return sorted(new, key=lambda value: min(abs(value - number) for number in numbers))
