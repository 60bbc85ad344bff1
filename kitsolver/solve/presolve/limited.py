"""Leaves out rows that no kit can hold: with them some limit is broken, whatever else is taken."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from kitsolver.brief.own_rules import Limit
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.rules.limits import bounds_of, measure_of

_Counts = dict[Candidate, Fraction]


def within_limits(candidates: Candidates) -> Candidates:
    """Return the candidates without the rows that break a limit in every kit."""
    for limit in candidates.brief.limits:
        if not candidates.infeasible:
            candidates = _within(limit, candidates)
    return candidates


def _within(limit: Limit, candidates: Candidates) -> Candidates:
    least, most = bounds_of(limit, candidates.brief)
    # What one row of each need, and one or none of each category of extras, comes to.
    parts = {need: _counts(limit, rows) for need, rows in _needs(candidates)}
    by_category: dict[str, list[Candidate]] = defaultdict(list)
    for extra in candidates.extras:
        by_category[extra.category].append(extra)
    for category in candidates.forced & by_category.keys():
        parts[f"extras {category}"] = _counts(limit, by_category.pop(category))
    extras = [_counts(limit, rows) for rows in by_category.values()]
    barred: set[Candidate] = set()
    if most is not None:
        lowest = sum(min(counts.values()) for counts in parts.values())
        for counts in parts.values():
            others = lowest - min(counts.values())
            barred |= {row for row, count in counts.items() if others + count > most}
        for counts in extras:
            barred |= {row for row, count in counts.items() if lowest + count > most}
    if least is not None and not _is_open(limit, candidates):
        highest = sum(max(counts.values()) for counts in (*parts.values(), *extras))
        for counts in parts.values():
            others = highest - max(counts.values())
            barred |= {row for row, count in counts.items() if others + count < least}
    if not barred:
        return candidates
    return replace(
        candidates,
        needs={
            need: tuple(row for row in rows if row not in barred)
            for need, rows in candidates.needs.items()
        },
        extras=tuple(extra for extra in candidates.extras if extra not in barred),
    )


def _needs(candidates: Candidates) -> Iterator[tuple[str, tuple[Candidate, ...]]]:
    """Yield the needs of which one row is taken."""
    for need, rows in candidates.needs.items():
        if need != "thread" or not candidates.matches_thread:
            yield need, rows


def _counts(limit: Limit, rows: Iterable[Candidate]) -> _Counts:
    """Return what rows come to at least: of fabric more units than these may be taken."""
    measure = measure_of(limit)
    return {
        row: Fraction(row.measure(measure) * (1 if limit.column is None else row.units))
        if row.sku
        else Fraction(0)
        for row in rows
    }


def _is_open(limit: Limit, candidates: Candidates) -> bool:
    """Tell whether the units of some rows that count are not known beforehand."""
    rows: list[Candidate] = list(candidates.needs["fabric"])
    if candidates.matches_thread:
        rows += candidates.needs["thread"]
    return any(row.sku and row.measure(measure_of(limit)) for row in rows)
