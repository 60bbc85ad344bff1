"""Checks of ranges and of rules of one's own against a catalogue: columns, cells, categories."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from kitsolver.brief import against_findings, rule_findings
from kitsolver.brief.brief import Brief
from kitsolver.brief.conditions import Conditions
from kitsolver.brief.meeting import Mask, Shelf, carrying, meeting
from kitsolver.brief.own_rules import Limit
from kitsolver.shop.catalogue import NOT_GIVEN, Catalogue
from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.findings import Finding, nearest
from kitsolver.shop.row_values import (
    CHART_FIGURES,
    NUMBER_LISTS,
    is_exact_number,
    is_numeric,
    parts,
)


def validate_rules(
    brief: Brief, catalogue: Catalogue, categories: Collection[str], file: str
) -> Iterator[Finding]:
    """Yield what is wrong with ranges and with rules of one's own.

    Parameters
    ----------
    categories : collection of str
        Those that are known.
    """
    for place, table in brief.condition_tables:
        yield from _ranges(place, table, (place.rpartition(".")[2],), brief, catalogue, file)
    for place, where in brief.wheres:
        yield from _columns(f"{place}.only", where.only, catalogue, file)
        named = where.category or tuple(catalogue.rows)
        yield from _ranges(place, where, named, brief, catalogue, file)
        yield from _categories(f"{place}.category", where.category, categories, file)
    for limit in brief.limits:
        if limit.column is not None:
            yield from _added_up(limit, brief, catalogue, file)
    for rule in brief.alike:
        place = f'alike "{rule.name}"'
        yield from _columns(f"{place}.column", [rule.column], catalogue, file)
        yield from _categories(f"{place}.of", rule.of, categories, file)


def known_columns(catalogue: Catalogue) -> frozenset[str]:
    """Return every column that a brief may name."""
    return frozenset(catalogue.cells.columns) | KNOWN | frozenset(CHART_FIGURES)


def _columns(
    place: str, named: Collection[str], catalogue: Catalogue, file: str
) -> Iterator[Finding]:
    known = known_columns(catalogue)
    for column in named:
        if column not in known:
            yield against_findings.UnknownConditionColumn(
                file=file, column=place, value=column, detail=nearest(column, known)
            )


def _categories(
    place: str, named: Collection[str] | None, known: Collection[str], file: str
) -> Iterator[Finding]:
    for category in named or ():
        if category not in known:
            yield rule_findings.UnknownRuleCategory(
                file=file, column=place, value=category, detail=nearest(category, known)
            )


def _ranges(
    place: str,
    asked: Conditions,
    categories: Collection[str],
    brief: Brief,
    catalogue: Catalogue,
    file: str,
) -> Iterator[Finding]:
    """Find columns of ranges that are unknown, or that hold what is no number."""
    read = set[str]()
    for key, table in (("at_least", asked.at_least), ("at_most", asked.at_most)):
        yield from _columns(f"{place}.{key}", table, catalogue, file)
        for column in table:
            if all(is_numeric(column, category) is False for category in categories):
                detail = "holds no numbers"
                yield rule_findings.NotNumeric(
                    file=file, column=f"{place}.{key}", value=column, detail=detail
                )
            elif column not in read:
                read.add(column)
                for category in categories:
                    if (shelf := shelf_of(category, brief, catalogue)) is not None:
                        everything = np.ones(len(shelf), dtype=bool)
                        yield from _texts(shelf, everything, column, place, catalogue, lists=True)


def _texts(
    shelf: Shelf, looked_at: Mask, column: str, place: str, catalogue: Catalogue, *, lists: bool
) -> Iterator[Finding]:
    """Find cells of a column of the shop's own that are no numbers."""
    if is_numeric(column, shelf.category) is not None:
        return

    def is_text(cell: str) -> bool:
        numbers = parts(cell) if lists else [cell]
        return bool(cell) and not all(map(is_exact_number, numbers))

    wrong = shelf.holding(column, is_text) & looked_at
    said = shelf.cells(column)[wrong]
    for row, cell in zip(shelf.rows.numbers[wrong], said, strict=True):
        yield rule_findings.TextAmongNumbers(
            file=catalogue.name, row=int(row), column=column, value=str(cell), detail=place
        )


def _added_up(limit: Limit, brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    """Find what keeps a limit's column from being added up."""
    column, place = limit.column or "", f'limits "{limit.name}"'
    yield from _columns(f"{place}.column", [column], catalogue, file)
    categories = limit.where.category or tuple(catalogue.rows)
    no_sum = ""
    if column in NUMBER_LISTS:
        no_sum = "lists several numbers"
    elif all(is_numeric(column, category) is False for category in categories):
        no_sum = "holds no numbers"
    if no_sum:
        yield rule_findings.NotNumeric(
            file=file, column=f"{place}.column", value=column, detail=no_sum
        )
        return
    for category in categories:
        shelf = shelf_of(category, brief, catalogue)
        if shelf is None:
            continue
        counted = meeting(shelf, limit.where)
        yield from _texts(shelf, counted, column, place, catalogue, lists=False)
        if limit.blank is None and column in known_columns(catalogue):
            blank = shelf.holding(column, lambda cell: not cell)
            blank &= shelf.numbers(column).where(lambda said: not said)
            missing = shelf.rows.where(blank & counted & offered(shelf, brief, catalogue))
            for row, sku in zip(missing.numbers.tolist(), missing["sku"], strict=True):
                yield rule_findings.BlankInLimit(
                    file=catalogue.name,
                    row=row,
                    column=column,
                    value=str(sku),
                    detail=limit.name,
                )


def shelf_of(category: str, brief: Brief, catalogue: Catalogue) -> Shelf | None:
    """Return the rows of a category as conditions look at them; None if there are none."""
    rows = catalogue.rows.get(category)
    if rows is None:
        return None
    return Shelf(category, rows, catalogue.cells, brief.exact_till.tax_rate)


def offered(shelf: Shelf, brief: Brief, catalogue: Catalogue) -> Mask:
    """Return which rows could be offered: asked for, not left out, and meeting the conditions."""
    if shelf.category in brief.holds:
        asked_for = brief.buys(shelf.category)
    else:
        asked_for = brief.extras.offers(shelf.category)
    if not asked_for:
        return np.zeros(len(shelf), dtype=bool)
    rows = shelf.rows
    good: Mask = ~rows.having("sku", brief.choose.leave_out)
    good &= meeting(shelf, brief.conditions(shelf.category)) & carrying(shelf, brief.all)
    if brief.most_trade_cost is not None and brief.shop.uncosted == "leave out":
        at_home = catalogue.home.rows if catalogue.home is not None else ()
        free = [*brief.choose.own, *at_home]
        good &= (rows["trade_cost"] != NOT_GIVEN) | rows.having("sku", free)
    for limit in brief.limits:
        if limit.blank == "leave out":
            good &= ~blank_and_counted(shelf, limit)
    return good


def blank_and_counted(shelf: Shelf, limit: Limit) -> Mask:
    """Return which rows a limit adds up although they say nothing in its column."""
    if limit.column is None or not limit.where.names(shelf.category):
        return np.zeros(len(shelf), dtype=bool)
    blank = shelf.numbers(limit.column).where(lambda said: not said)
    return blank & meeting(shelf, limit.where)
