"""Checks of a brief against a catalogue: its categories, columns, skus and prices."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from kitsolver.brief import against_findings
from kitsolver.brief.brief import Brief
from kitsolver.brief.conditions import Conditions
from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.brief.numbers import is_number
from kitsolver.brief.validate_rules import known_columns, shelf_of, validate_rules
from kitsolver.shop.catalogue import NOT_GIVEN, Catalogue
from kitsolver.shop.columns.registry import columns
from kitsolver.shop.findings import BadInput, Finding, nearest
from kitsolver.shop.money import held_per_minor, uneven_step
from kitsolver.shop.row_values import CHART_FIGURES, cells
from kitsolver.shop.sources.source_address import masked

# For this many unknown skus the nearest known one is looked for: it takes long in a large shop.
_MOST_HINTS = 5

# Categories with rules of their own are known even where a catalogue has no row of them.
CRAFT_CATEGORIES = frozenset({*DEFAULT_NEEDS, "hoop"})


def validate_against(
    brief: Brief, catalogue: Catalogue, file: str = "brief"
) -> tuple[Finding, ...]:
    """Return the warnings of a brief that is usable with a catalogue.

    Raises
    ------
    BadInput
        With every finding, if it is not.
    """
    findings = (
        *_currencies(brief, catalogue, file),
        *_categories(brief, catalogue, file),
        *_columns(brief, catalogue, file),
        *_foreign_columns(brief, catalogue, file),
        *_scores(brief, catalogue, file),
        *_skus(brief, catalogue, file),
        *_home(brief, catalogue, file),
        *_prices(brief, catalogue),
        *_costs(brief, catalogue),
        *_rolls(brief, catalogue),
        *validate_rules(brief, catalogue, catalogue.categories | CRAFT_CATEGORIES, file),
    )
    if any(not finding.warning for finding in findings):
        raise BadInput(findings)
    return findings


def _currencies(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    if catalogue.currency not in (None, brief.currency):
        yield against_findings.OtherCurrencies(
            file=file, column="currency", value=brief.currency, detail=str(catalogue.currency)
        )


def _categories(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    known = catalogue.categories | CRAFT_CATEGORIES
    for need in brief.holds:
        if need not in known:
            yield against_findings.UnknownCategory(
                file=file, column="holds", value=need, detail=nearest(need, known)
            )
    for column, named in (
        ("extras.categories", brief.extras.categories or ()),
        ("extras.conditions", brief.extras.conditions),
    ):
        yield from _extras(brief, known, named, column, file)


def _extras(
    brief: Brief, known: Collection[str], named: Iterable[str], column: str, file: str
) -> Iterator[Finding]:
    for category in named:
        if category not in known:
            hint = nearest(category, known)
            yield against_findings.UnknownExtraCategory(
                file=file, column=column, value=category, detail=hint
            )
        elif category in brief.holds:
            yield against_findings.ExtraIsNeed(file=file, column=column, value=category)


def _columns(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    known = known_columns(catalogue)
    for place, table in brief.condition_tables:
        for column in table.only:
            if column not in known:
                yield against_findings.UnknownConditionColumn(
                    file=file,
                    column=f"{place}.only",
                    value=column,
                    detail=nearest(column, known),
                )


def _foreign_columns(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    """Warn of conditions on a column that only rows of other categories fill."""
    for place, table in brief.condition_tables:
        category = place.rpartition(".")[2]
        rows = catalogue.rows.get(category)
        if rows is None:
            continue
        for key, column in _compared(table):
            users = {
                user
                for each in columns()
                if each.name == column
                for user in each.categories or (category,)
            }
            if not users or category in users:
                continue
            if not (cells(catalogue.cells, rows.numbers, category, column) != "").any():
                yield against_findings.ForeignColumn(
                    file=file,
                    column=f"{place}.{key}",
                    value=column,
                    detail=" and ".join(sorted(users)),
                )


def _compared(table: Conditions) -> Iterator[tuple[str, str]]:
    """Yield the columns that conditions look at, each with the key that names it."""
    for key in ("only", "at_least", "at_most"):
        for column in getattr(table, key):
            yield key, column


def _scores(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    """Find columns of `score` that the catalogue lacks, or that hold what is no number."""
    known = set(catalogue.cells.columns)
    for need, table in brief.need_tables:
        for column in table.score:
            if column not in known and not (need == "chart" and column in CHART_FIGURES):
                yield against_findings.UnknownConditionColumn(
                    file=file,
                    column=f"needs.{need}.score",
                    value=column,
                    detail=nearest(column, known),
                )
                continue
            shelf = shelf_of(need, brief, catalogue)
            rows = (
                ()
                if shelf is None
                else zip(shelf.rows.numbers.tolist(), shelf.cells(column), strict=True)
            )
            for row, cell in rows:
                if cell and not is_number(str(cell)):
                    yield against_findings.NoScore(
                        file=catalogue.name, row=row, column=column, value=str(cell)
                    )


def _skus(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    choose = brief.choose
    named = (
        ("choose.keep", choose.keep, against_findings.UnknownSku),
        ("choose.own", choose.own, against_findings.UnknownSku),
        ("choose.leave_out", choose.leave_out, against_findings.UnknownLeftOut),
    )
    for column, skus, kind in named:
        unknown = [sku for sku in dict.fromkeys(skus) if sku not in catalogue]
        for place, sku in enumerate(unknown):
            if sku in catalogue.refused:
                hint = f"its row, {catalogue.refused[sku]}, was refused: kitsolver check says why"
            elif sku in catalogue.passed_over:
                hint = f"its row, {catalogue.passed_over[sku]}, was passed over, as the map says"
            else:
                hint = nearest(sku, catalogue.skus) if place < _MOST_HINTS else ""
            yield kind(file=file, column=column, value=sku, detail=hint)


def _home(brief: Brief, catalogue: Catalogue, file: str) -> Iterator[Finding]:
    if catalogue.home is None:
        if brief.home.source is not None:
            named = masked(brief.home.source)
            yield against_findings.HomeListUnread(file=file, column="home.from", value=named)
        return
    for sku in dict.fromkeys(brief.choose.own):
        if sku in catalogue.home.rows:
            yield against_findings.OwnedAndListed(file=file, column="choose.own", value=sku)


def _rolls(brief: Brief, catalogue: Catalogue) -> Iterator[Finding]:
    """Find fabric off the roll whose step has a price that is no whole minor unit."""
    fabrics = catalogue.rows.get("fabric")
    if fabrics is None:
        return
    rolls = fabrics.where(fabrics["sold_by"] == 1)
    each = zip(rolls.numbers, rolls["sku"], rolls["price"], rolls["step_cm"], strict=True)
    for row, sku, price, step in each:
        if uneven_step(int(price), int(step), brief.currency):
            yield against_findings.UnevenRoll(
                file=catalogue.name,
                row=int(row),
                column="price",
                value=sku,
                detail=brief.currency,
            )


def _costs(brief: Brief, catalogue: Catalogue) -> Iterator[Finding]:
    """Find rows that could be bought and have no trade cost, where a margin is asked.

    A row of which enough is at home is not bought.
    """
    if brief.most_trade_cost is None or brief.shop.uncosted == "leave out":
        return
    spare = {*brief.choose.own, *brief.choose.leave_out}
    named = brief.extras.categories
    for category, rows in catalogue.rows.items():
        if category in brief.holds:
            have = brief.need(category).have
            bought = not have or isinstance(have, tuple)
        else:
            bought = brief.extras.spend != "none" and (named is None or category in named)
        uncosted = rows.where(rows["trade_cost"] == NOT_GIVEN)
        for number, sku in zip(uncosted.numbers.tolist(), uncosted["sku"], strict=True):
            if bought and sku not in spare and number >= 0 and not _covered(sku, brief, catalogue):
                yield against_findings.UncostedRow(
                    file=catalogue.name, row=number, column="trade_cost", value=sku
                )


def _covered(sku: str, brief: Brief, catalogue: Catalogue) -> bool:
    """Tell whether a row is never bought, whatever the kit: enough units of it are at home."""
    at_home = catalogue.at_home(sku)
    # How much thread is needed hangs on the chart.
    if at_home is None or at_home.category == "thread":
        return False
    served = 1
    if at_home.category != "fabric":
        shared = brief.need(at_home.category).shared_by if at_home.category in brief.holds else 1
        served = int(catalogue.goods(sku)["serves"]) * shared
    return at_home.units * served >= brief.kits


def _prices(brief: Brief, catalogue: Catalogue) -> Iterator[Finding]:
    if catalogue.currency is not None:
        return
    finest = held_per_minor(brief.currency)
    for rows in catalogue.rows.values():
        finer = rows.where(rows["price"] % finest != 0)
        for number, sku in zip(finer.numbers.tolist(), finer["sku"], strict=True):
            yield against_findings.PriceFinerThanCurrency(
                file=catalogue.name,
                row=number,
                column="price",
                value=sku,
                detail=brief.currency,
            )
