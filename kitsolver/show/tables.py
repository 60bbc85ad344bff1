"""The one look of tables on the terminal."""

from __future__ import annotations

from rich.table import Table


def headed_table() -> Table:
    """Return an empty table with dim headers and no lines, to which columns are added."""
    return Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="dim")
