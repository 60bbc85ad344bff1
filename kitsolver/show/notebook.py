"""Every result as a fragment of HTML, for notebooks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import singledispatch
from html import escape

from kitsolver.explain.answer import Answer
from kitsolver.explain.copies import Copies
from kitsolver.explain.ladder import Ladder
from kitsolver.explain.no_kit.why_no_kit import NoKit
from kitsolver.explain.others import Others
from kitsolver.explain.range import RangeAnswer
from kitsolver.explain.recheck.recheck import Recheck
from kitsolver.explain.why_not import WhyNot
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import sum_text
from kitsolver.show.from_home import from_home_text
from kitsolver.show.ladder import ladder_record
from kitsolver.show.named import listed, named
from kitsolver.show.others import others_record
from kitsolver.show.range import copies_record, ending_sentences, none_sentences
from kitsolver.show.recheck import mend_sentences, recheck_sentences
from kitsolver.show.sentences import figure_text, line_groups, verdict_sentences
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.why import why_not_sentences
from kitsolver.solve.outcome import Kit, Line, Outcome
from kitsolver.solve.ranges.range import RangeOutcome


@singledispatch
def notebook_html(shown: object) -> str:
    """Return a catalogue or a result as a fragment of HTML.

    Raises
    ------
    TypeError
        If it is anything else.
    """
    raise TypeError(f"a {type(shown).__name__} cannot be shown as HTML")


def table_html(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table of texts as HTML."""
    head = "".join(f'<th scope="col">{escape(column)}</th>' for column in columns)
    body = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _titled(title: str, more: str) -> str:
    return f"<p><strong>{escape(title)}</strong>{escape(more)}</p>"


def _paragraphs(sentences: Iterable[str]) -> str:
    return "".join(f"<p>{escape(sentence.strip())}</p>" for sentence in sentences)


@notebook_html.register
def _catalogue(shown: Catalogue) -> str:
    prices = f", prices in {shown.currency}" if shown.currency else ""
    rows = [(category, f"{len(shelf):,}") for category, shelf in sorted(shown.rows.items())]
    counts = shown.row_counts
    return (
        _titled(shown.name, f": {counts.offered:,} rows{prices}")
        + table_html(("category", "rows"), rows)
        + _paragraphs(skipped_sentences(counts))
    )


@notebook_html.register
def _outcome(shown: Outcome) -> str:
    title = _titled(shown.brief.title or "A kit", f": {shown.status}")
    if shown.kit is None:
        return title + _paragraphs(skipped_sentences(shown.row_counts))
    return title + _kit(shown.kit) + _paragraphs(list(verdict_sentences(shown, shown.kit))[1:])


@notebook_html.register
def _kit(shown: Kit) -> str:
    rows = [
        (_units(line), line.name, line.sku, title.lower(), to_text(line.total, shown.currency))
        for title, lines in line_groups(shown)
        for line in lines
    ]
    figures = (
        f"payable {to_text(shown.receipt.payable, shown.currency)} {shown.currency}, quality "
        f"{figure_text(shown.figures.quality)} of 100, extras {figure_text(shown.figures.extras)}"
    )
    return table_html(("units", "what", "sku", "for", "sum"), rows) + f"<p>{escape(figures)}</p>"


@notebook_html.register
def _no_kit(shown: NoKit) -> str:
    return _paragraphs((*shown.because, *(mend.says for mend in shown.mends)))


@notebook_html.register
def _answer(shown: Answer) -> str:
    return _outcome(shown.outcome) + (_no_kit(shown.why) if shown.why else "")


@notebook_html.register
def _ladder(shown: Ladder) -> str:
    record = ladder_record(shown)
    columns = ("cap", "quality", "extras_quality", "came", "went")
    rows = [
        tuple(
            listed(cell, record["names"]) if isinstance(cell, list) else str(cell)
            for cell in (rung[column] for column in columns)
        )
        for rung in record["rungs"]
    ]
    caps = f"caps from {record['from']} to {record['to']} {record['currency']}"
    return (
        f"<p>{escape(caps)}</p>"
        + table_html(columns, rows)
        + (_no_kit(shown.why) if shown.why else "")
        + _paragraphs(skipped_sentences(shown.row_counts))
    )


@notebook_html.register
def _others(shown: Others) -> str:
    if not shown.kits:
        return _titled(shown.brief.title or "A kit", ": no kit")
    record = others_record(shown, (), None)
    rows = [
        (
            kit["payable"],
            figure_text(figures.quality),
            figure_text(figures.extras),
            listed(kit["came"] if place else kit["skus"], record["names"]),
            listed(kit["went"], record["names"]),
        )
        for place, (kit, figures) in enumerate(
            zip(
                (record["best"], *record["others"]),
                (kit.figures for kit in shown.kits),
                strict=True,
            )
        )
    ]
    columns = ("payable", "quality", "extras", "what is in it, or came", "went")
    return (
        _titled(shown.brief.title or "A kit", ", and others that come close")
        + table_html(columns, rows)
        + _paragraphs(skipped_sentences(shown.row_counts))
    )


@notebook_html.register
def _why_not(shown: WhyNot) -> str:
    return (
        _titled(named(shown.sku, {shown.sku: shown.name}), f": {shown.verdict}")
        + _paragraphs(why_not_sentences(shown))
        + (_no_kit(shown.why) if shown.why else "")
        + _paragraphs(skipped_sentences(shown.row_counts))
    )


@notebook_html.register
def _recheck(shown: Recheck) -> str:
    mend = () if shown.nearest is None else mend_sentences(shown, shown.nearest)
    told = (*recheck_sentences(shown), *mend, *skipped_sentences(shown.row_counts))
    return _titled(shown.brief.title or "A saved kit", "") + _paragraphs(told)


@notebook_html.register
def _range(shown: RangeOutcome, why: NoKit | None = None) -> str:
    kits = [
        _titled(kit.name, f", {kit.copies} × {sum_text(made.receipt.payable, kit.brief)}")
        + _kit(made)
        for kit, made in zip(shown.asked.kits, shown.kits, strict=False)
    ]
    title = _titled(shown.asked.title or "A range", f": {shown.status}")
    ending = ending_sentences(shown) if shown.kits else none_sentences(shown, why)
    told = _paragraphs((*ending, *skipped_sentences(shown.row_counts)))
    return title + "".join(kits) + told


@notebook_html.register
def _range_answer(shown: RangeAnswer) -> str:
    return _range(shown.outcome, shown.why)


@notebook_html.register
def _copies(shown: Copies) -> str:
    record = copies_record(shown)
    most = "any number of copies" if shown.most is None else f"{shown.most:,} copies"
    columns = ("sku", "units", "stock", "copies")
    rows = [
        ["" if line[column] is None else str(line[column]) for column in columns]
        for line in record["lines"]
    ]
    return (
        _titled(record["title"] or "A kit", f": {most}")
        + table_html(columns, rows)
        + _paragraphs(skipped_sentences(shown.row_counts))
    )


def _units(line: Line) -> str:
    """Return the units of a line, and what of them comes from home."""
    home = from_home_text(line)
    return f"{line.units} ({home})" if home else str(line.units)
