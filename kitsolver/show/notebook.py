"""Kits, outcomes and ladders as HTML fragments, for notebooks."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from kitsolver.explain.ladder import Ladder
from kitsolver.shop.money import to_text
from kitsolver.show.ladder import ladder_record
from kitsolver.show.sentences import figure_text, line_groups
from kitsolver.solve.outcome import Kit, Outcome, ShowsItself


def notebook_html(shown: ShowsItself) -> str:
    """Return a kit, an outcome or a ladder as a fragment of HTML.

    Raises
    ------
    TypeError
        If it is anything else.
    """
    match shown:
        case Kit():
            return _kit(shown)
        case Ladder():
            return _ladder(shown)
        case Outcome():
            return _outcome(shown)
    raise TypeError(f"a {type(shown).__name__} cannot be shown as HTML")


def _outcome(outcome: Outcome) -> str:
    title = escape(outcome.brief.title or "A kit")
    kit = _kit(outcome.kit) if outcome.kit else ""
    return f"<p><strong>{title}</strong>: {escape(str(outcome.status))}</p>{kit}"


def _kit(kit: Kit) -> str:
    rows = [
        (str(line.units), line.name, line.sku, title.lower(), to_text(line.total, kit.currency))
        for title, lines in line_groups(kit)
        for line in lines
    ]
    figures = (
        f"payable {to_text(kit.receipt.payable, kit.currency)} {kit.currency}, quality "
        f"{figure_text(kit.figures.quality)} of 100, extras {figure_text(kit.figures.extras)}"
    )
    return _table(("units", "what", "sku", "for", "sum"), rows) + f"<p>{escape(figures)}</p>"


def _ladder(ladder: Ladder) -> str:
    record = ladder_record(ladder)
    columns = ("cap", "quality", "extras_quality", "came", "went")
    rows = [
        tuple(", ".join(cell) if isinstance(cell, list) else str(cell) for cell in cells)
        for cells in ([rung[column] for column in columns] for rung in record["rungs"])
    ]
    caps = f"caps from {record['from']} to {record['to']} {record['currency']}"
    return f"<p>{escape(caps)}</p>" + _table(columns, rows)


def _table(columns: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    head = "".join(f'<th scope="col">{escape(column)}</th>' for column in columns)
    body = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
