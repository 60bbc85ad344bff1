"""The home list that a saved kit is held against: another one, or the rows that were saved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.brief.home_source import with_home_list
from kitsolver.explain.recheck.saved import Saved
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import Finding
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.source import Source
from kitsolver.shop.sources.records import Coded, Records
from kitsolver.solve.audit.craft import bought_skeins
from kitsolver.solve.audit.evidence import Claim, Evidence, Piece
from kitsolver.solve.audit.lines import taken
from kitsolver.solve.outcome import Line


def with_home_of(
    saved: Saved,
    catalogue: Catalogue,
    *,
    home: str | None = None,
    home_columns: str | None = None,
    skip_bad_rows: bool = False,
) -> tuple[Saved, Catalogue, tuple[Finding, ...]]:
    """Return a saved kit and a catalogue that knows what is at home, and the list's findings.

    Parameters
    ----------
    saved : Saved
        The kit. Without another list its own rows of a home list stand; those that do not go with
        today's catalogue are left out.
    catalogue : Catalogue
        Today's.
    home, home_columns, skip_bad_rows
        As `kitsolver.brief.home_source.with_home_list` has them.

    Raises
    ------
    BadInput
        If another list cannot be used.
    """
    if home is not None or home_columns is not None:
        brief, catalogue, findings = with_home_list(
            catalogue,
            saved.brief,
            home=home,
            home_columns=home_columns,
            skip_bad_rows=skip_bad_rows,
        )
        return replace(saved, brief=brief), catalogue, findings
    if saved.home is None:
        return replace(saved, brief=_without_list(saved.brief)), catalogue, ()
    rows = Source(saved.home_name, _records(saved.home))
    quality = saved.brief.home.quality
    return saved, *with_home(catalogue, rows, quality=quality, skip_bad_rows=True)


def _without_list(brief: Brief) -> Brief:
    unnamed = brief.home.model_copy(update={"source": None, "columns": None})
    return brief.model_copy(update={"home": unnamed})


def _records(rows: Sequence[Mapping[str, str]]) -> Records:
    """Return saved rows as a source has them, numbered as beneath a header."""
    header = tuple(dict.fromkeys(["sku", *(name for row in rows for name in row)]))
    columns = {
        name: Coded.of(np.array([row.get(name, "") for row in rows], dtype=object))
        for name in header
    }
    return Records(header, 1, np.arange(2, len(rows) + 2), columns, ())


def restated(saved: Saved, brief: Brief, catalogue: Catalogue) -> Saved:
    """Return a saved kit with what today's home list spares it; all of its rows must be there."""
    if catalogue.home is None:
        return saved
    nothing = Fraction(0)
    pieces = [Piece(line.sku, line.category, line.role, line.units, 0) for line in saved.lines]
    claim = Claim(pieces, saved.shades, 0, 0, 0, 0, 0, nothing, nothing)
    seen, shades = Evidence(claim, catalogue, brief), saved.shades
    if seen.charted is not None and len(seen.charted) == len(shades):
        shades = tuple(
            replace(shade, skeins=bought_skeins(seen, charted, shade.sku))
            for shade, charted in zip(shades, seen.charted, strict=True)
        )
    lines = tuple(
        _restated(line, *taken(seen, piece), seen.single(line.sku))
        for line, piece in zip(saved.lines, pieces, strict=True)
    )
    return replace(saved, lines=lines, shades=shades)


def _restated(line: Line, units: int, from_home: int, metres: Decimal | None, single: bool) -> Line:
    """Return a line with what comes from home; of single thread the skeins bought change, too."""
    if single:
        return replace(line, units=units, from_home=0, metres_from_home=metres)
    return replace(line, from_home=min(line.units, from_home))
