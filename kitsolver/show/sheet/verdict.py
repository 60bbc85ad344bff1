"""What is said to people of how good a kit is, on paper and on the page."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.shop.money import to_text
from kitsolver.show.sentences import cloth_warnings, figure_text
from kitsolver.show.sheet.texts import texts
from kitsolver.show.skipped import among, skipped_sentences
from kitsolver.solve.outcome import Kit, Outcome, Status


def verdict(outcome: Outcome, kit: Kit) -> Iterator[str]:
    """Yield the figures of a kit, and whether nothing better can be had."""
    t, brief, figures = texts("kitsolver.show.sheet").verdict, outcome.brief, kit.figures
    quality = figure_text(figures.quality)
    yield t.figures.format(quality=quality, extras=extras_text(kit))
    if outcome.status is Status.BEST:
        rows = among(outcome.row_counts)
        cap = to_text(brief.total_cap, brief.currency)
        told = t.best_among if rows else t.best
        yield told.format(rows=rows, cap=cap, currency=brief.currency)
        if outcome.charts is not None and outcome.charts.considered > 1:
            yield t.charts.format(charts=outcome.charts.considered)
        yield from _more_money(outcome)
    elif outcome.bound is not None:
        yield t.unfinished.format(bound=figure_text(outcome.bound.quality))
    yield from skipped_sentences(outcome.row_counts)
    yield from cloth_warnings(kit)


def extras_text(kit: Kit) -> str:
    """Return how many extras a kit has, and which."""
    t = texts("kitsolver.show.sheet").verdict
    names = [line.name for line in kit.lines if line.role == "extra"]
    if not names:
        return str(t.no_extras)
    counted = t.one_extra if len(names) == 1 else t.extras.format(number=len(names))
    return f"{counted}: {'; '.join(names)}"


def _more_money(outcome: Outcome) -> Iterator[str]:
    rung, brief, t = outcome.next_rung, outcome.brief, texts("kitsolver.show.sheet").verdict
    if rung is not None and outcome.kit is not None:
        missing = to_text(rung.cap - brief.total_cap, brief.currency)
        better = rung.figures.quality > outcome.kit.figures.quality
        told = t.more_quality if better else t.more_extras
        quality = figure_text(rung.figures.quality)
        yield told.format(missing=missing, currency=brief.currency, quality=quality)
