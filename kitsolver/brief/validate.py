"""Checks of a brief that need no catalogue, beyond those of single values."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from kitsolver.brief import brief_findings, rule_findings
from kitsolver.brief.needs import Need
from kitsolver.brief.own_rules import RULE_LISTS
from kitsolver.shop.findings import Finding, nearest
from kitsolver.shop.money import exponent, to_minor

if TYPE_CHECKING:
    from kitsolver.brief.brief import Brief

# With weights further apart than this, floating point in the solvers loses the smaller one.
_FARTHEST = 10**9


def validate_brief(brief: Brief, file: str) -> list[Finding]:
    """Return every finding of a brief that needs no catalogue."""
    return [
        *_money(brief, file),
        *_shop(brief, file),
        *_home(brief, file),
        *_needs(brief, file),
        *_weights(brief, file),
        *_lists(brief, file),
        *_fit(brief, file),
        *_rules(brief, file),
    ]


def _money(brief: Brief, file: str) -> Iterator[Finding]:
    if brief.cap is not None and brief.cap_per_head is not None:
        yield brief_findings.TwoCaps(file=file)
    if brief.cap is None and brief.cap_per_head is None:
        yield brief_findings.NoCap(file=file)
    digits = exponent(brief.currency)
    sums: dict[str, Decimal | None] = {
        "cap": brief.cap,
        "cap_per_head": brief.cap_per_head,
        "till.delivery": brief.till.delivery,
        "till.delivery_free_from": brief.till.delivery_free_from,
        "shop.sell_at": brief.shop.sell_at,
    }
    tables = (*brief.condition_tables, *brief.wheres)
    sums |= {f"{place}.max_price": table.max_price for place, table in tables}
    for key, amount in sums.items():
        try:
            to_minor(amount or Decimal(0), brief.currency)
        except ValueError:
            detail = f"{brief.currency} has {digits or 'no'} decimals"
            yield brief_findings.FinerThanCurrency(
                file=file, column=key, value=f"{amount:f}", detail=detail
            )


def _shop(brief: Brief, file: str) -> Iterator[Finding]:
    if (brief.shop.margin_rate is None) != (brief.shop.sell_at is None):
        missing = "margin_rate" if brief.shop.margin_rate is None else "sell_at"
        yield brief_findings.HalfAMargin(file=file, column="shop", detail=missing)


def _home(brief: Brief, file: str) -> Iterator[Finding]:
    home = brief.home
    if home.quality > 100:
        yield brief_findings.BadValue(
            file=file,
            column="home.quality",
            value=f"{home.quality:f}",
            detail="is above 100, and quality goes from 0 to 100",
        )
    if home.quality != round(home.quality, 2):
        yield brief_findings.BadValue(
            file=file,
            column="home.quality",
            value=f"{home.quality:f}",
            detail="has more than two decimals",
        )
    if home.columns is not None and home.source is None:
        yield brief_findings.HomeMapAlone(file=file, column="home.columns", value=home.columns)


def _needs(brief: Brief, file: str) -> Iterator[Finding]:
    for need, times in Counter(brief.holds).items():
        if times > 1:
            yield brief_findings.RepeatedNeed(file=file, column="holds", value=need)
    for need, table in brief.need_tables:
        if need not in brief.holds:
            hint = nearest(need, brief.holds) or f"the needs are {', '.join(brief.holds)}"
            yield brief_findings.NotANeed(
                file=file, column=f"needs.{need}", value=need, detail=hint
            )
        if need == "fabric" and "shared_by" in table.model_fields_set and table.shared_by > 1:
            yield brief_findings.FabricShared(
                file=file, column="needs.fabric.shared_by", value=str(table.shared_by)
            )
    for place, asked in (*brief.condition_tables, *brief.wheres):
        if asked.min_quality is not None and asked.min_quality > 100:
            yield brief_findings.BadValue(
                file=file,
                column=f"{place}.min_quality",
                value=str(asked.min_quality),
                detail="is above 100, and quality goes from 0 to 100",
            )

    for need, table in brief.need_tables:
        yield from _score(need, table, file)
    for category in brief.extras.conditions:
        if category in brief.holds:
            column = f"extras.conditions.{category}"
            yield brief_findings.ConditionsOfNeed(file=file, column=column, value=category)


def _score(need: str, table: Need, file: str) -> Iterator[Finding]:
    """Find what is wrong with how a need's rows are scored."""
    if table.score and not any(table.score.values()):
        column = f"needs.{need}.score"
        yield brief_findings.BadValue(
            file=file, column=column, detail="gives no weight to anything"
        )
    for column, (low, high) in table.range.items():
        place = f"needs.{need}.range.{column}"
        if column not in table.score or column == "quality":
            detail = "is for a column that score weighs, other than quality"
            yield brief_findings.BadValue(file=file, column=place, value=column, detail=detail)
        elif low == high:
            yield brief_findings.BadValue(
                file=file, column=place, detail="goes from a number to itself"
            )


def _weights(brief: Brief, file: str) -> Iterator[Finding]:
    weights = [table.weight for _, table in brief.need_tables if table.weight]
    if brief.extras.spend == "together" and brief.extras.weight:
        weights.append(brief.extras.weight)
    if weights and max(weights) > _FARTHEST * min(weights):
        told = f"{min(weights):f} beside {max(weights):f}"
        yield brief_findings.UnequalWeights(file=file, column="weight", value=told)


def _lists(brief: Brief, file: str) -> Iterator[Finding]:
    choose = brief.choose
    for sku in sorted(set(choose.keep) & set(choose.leave_out)):
        yield brief_findings.KeptAndLeftOut(file=file, column="choose.leave_out", value=sku)
    for sku in sorted(set(choose.own) & set(choose.leave_out)):
        yield brief_findings.OwnedAndLeftOut(file=file, column="choose.leave_out", value=sku)


def _fit(brief: Brief, file: str) -> Iterator[Finding]:
    if brief.fit.margin_cm is not None and brief.fit.margin_in is not None:
        yield brief_findings.TwoMargins(file=file)


def _rules(brief: Brief, file: str) -> Iterator[Finding]:
    names = [(kind, rule.name) for kind in RULE_LISTS for rule in getattr(brief, kind)]
    for name, times in Counter(name for _, name in names).items():
        if times > 1:
            kinds = " and ".join(dict.fromkeys(kind for kind, each in names if each == name))
            yield rule_findings.RepeatedRuleName(file=file, column=kinds, value=name)
