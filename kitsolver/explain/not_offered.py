"""Why the catalogue does not offer a row of its source: it was refused or passed over."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import Finding


def refusal_sentences(sku: str, catalogue: Catalogue) -> Iterator[str]:
    """Yield that the row of a refused sku was refused, and each error in it with its hint."""
    row = catalogue.refused[sku]
    yield f"Its row, {row}, was refused, so no kit can hold it."
    errors = [found for found in catalogue.findings if not found.warning]
    in_row = [found for found in errors if found.row == row]
    # A column that the source lacks is a finding of the source, and of no row.
    yield from map(_told, in_row or [found for found in errors if found.row is None])


def passed_over_sentences(sku: str, catalogue: Catalogue) -> Iterator[str]:
    """Yield that the row of a sku was passed over."""
    row = catalogue.passed_over[sku]
    yield f"Its row, {row}, was passed over, as the map of columns says, so no kit can hold it."


def _told(found: Finding) -> str:
    where = f"{found.column}: " if found.column else ""
    hint = f" Mend: {found.hint}." if found.hint else ""
    return f"{where}{found.sentence}{hint}"
