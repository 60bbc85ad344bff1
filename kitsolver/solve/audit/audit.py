"""Recomputes every check of a kit from the catalogue's own rows.

Shares nothing with the solver: candidates, rules, models and the till are not imported. Each check
stands in the file of its subject: lines, craft, money, quality.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audit import conditions, craft, lines, money, quality
from kitsolver.solve.audit.evidence import Claim, Evidence, Verdict
from kitsolver.solve.audit.own_rules import own_checks


@dataclass(frozen=True)
class Check:
    """One rule held against a kit; `holds` is None where it could not be checked."""

    rule: str
    holds: bool | None
    detail: str


def audit(claim: Claim, catalogue: Catalogue, brief: Brief) -> tuple[Check, ...]:
    """Hold a kit against every rule.

    Parameters
    ----------
    claim : Claim
        What the kit says of itself.
    catalogue : Catalogue
        Its rows as written are what counts.
    brief : Brief
        What was asked.

    Returns
    -------
    tuple of Check
        One a rule, in a fixed order.
    """
    evidence = Evidence(claim, catalogue, brief)
    checks = {**_CHECKS, **dict(own_checks(evidence)), "quality": quality.quality}
    if foreign := _foreign(evidence):
        detail = f"not lines of this catalogue: {', '.join(foreign)}"
        return tuple(
            Check(rule, False if rule == "needs" else None, f"not checked: {detail}")
            for rule in checks
        )
    return tuple(Check(rule, *holds(evidence)) for rule, holds in checks.items())


def _foreign(seen: Evidence) -> list[str]:
    """Return the skus of lines that stand twice or are no such row, and of shades without one."""
    claimed = seen.claim.lines
    times = Counter(line.sku for line in claimed)
    wrong = [
        line.sku
        for line in claimed
        if times[line.sku] > 1
        or line.sku not in seen.catalogue
        or seen.catalogue.row(line.sku)["category"] != line.category
    ]
    return wrong + sorted({x.sku for x in seen.claim.shades if x.sku} - set(times))


_CHECKS: dict[str, Callable[[Evidence], Verdict]] = {
    "needs": lines.needs,
    "conditions": conditions.conditions,
    "leave out": lines.leave_out,
    "keep": lines.keep,
    "extras": lines.extras,
    "fit": craft.fit,
    "needle": craft.needle,
    "thread": craft.thread,
    "contrast": craft.contrast,
    "hoop": craft.hoop,
    "finishing": craft.finishing,
    "heads": lines.heads,
    "stock": lines.stock,
    "cap": money.cap,
    "margin": money.margin,
}
