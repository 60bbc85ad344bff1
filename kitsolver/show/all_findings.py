"""Every finding in a catalogue, in a brief, and in the brief held against the catalogue."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.money import exponent
from kitsolver.shop.reading import read_catalogue
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts

if TYPE_CHECKING:
    from kitsolver.brief.brief import Brief
    from kitsolver.shop.maps.mapping import ColumnMap


def all_findings(
    catalogue: str,
    brief: str | None,
    currency: str | None,
    mapping: ColumnMap | None = None,
    *,
    home: str | None = None,
    home_columns: str | None = None,
) -> tuple[RowCounts, tuple[Finding, ...]]:
    """Return how many rows are usable and skipped, and every finding.

    Parameters
    ----------
    catalogue : str
        Where the catalogue is.
    brief : str or None
        The brief's file, if there is one.
    currency : str or None
        The currency of the prices, where no brief says it.
    mapping : ColumnMap, optional
        How the shop's headers and values become ours.
    home, home_columns : str, optional
        A home list in place of the brief's, and its map.

    Raises
    ------
    BadInput
        If `currency` is unknown.
    """
    if currency is not None:
        try:
            exponent(currency)
        except KeyError:
            from kitsolver.brief.brief_findings import UnknownCurrency

            raise BadInput([UnknownCurrency(file="--currency", value=currency)]) from None
    findings: list[Finding] = []
    asked: Brief | None = None
    if brief is not None:
        # Without a brief none of it is needed, and its types take a while to build.
        from kitsolver.brief.home_source import with_home_list
        from kitsolver.brief.reading import read_brief
        from kitsolver.brief.validate_against import validate_against

        try:
            asked = read_brief(brief)
            currency = currency or asked.currency
        except BadInput as bad:
            findings += bad.findings
    try:
        goods = read_catalogue(catalogue, currency=currency, skip_bad_rows=True, mapping=mapping)
    except BadInput as bad:
        return NOT_COUNTED, (*findings, *bad.findings)
    findings += goods.findings
    if asked is not None and brief is not None:
        try:
            asked, goods, of_list = with_home_list(
                goods,
                asked,
                folder=Path(brief).parent,
                home=home,
                home_columns=home_columns,
                skip_bad_rows=True,
            )
            findings += of_list
            findings += validate_against(asked, goods, brief)
        except BadInput as bad:
            findings += bad.findings
    return goods.row_counts, tuple(findings)
