"""Briefs with one thing changed, and kits compared: what explanations have in common."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit

ComparisonKey = tuple[tuple[Fraction, ...], int, Fraction]


def keeping(brief: Brief, skus: Iterable[str]) -> Brief:
    """Return a brief in which skus are kept; what it left out of them is let in."""
    keep = (*brief.choose.keep, *(sku for sku in skus if sku not in brief.choose.keep))
    leave_out = tuple(sku for sku in brief.choose.leave_out if sku not in keep)
    return _choosing(brief, keep=keep, leave_out=leave_out)


def leaving_out(brief: Brief, skus: Iterable[str]) -> Brief:
    """Return a brief in which skus are left out; what it kept or owned of them is given up."""
    gone = set(skus)
    chosen = brief.choose
    return _choosing(
        brief,
        keep=tuple(sku for sku in chosen.keep if sku not in gone),
        own=tuple(sku for sku in chosen.own if sku not in gone),
        leave_out=(*chosen.leave_out, *sorted(gone - set(chosen.leave_out))),
    )


def _choosing(brief: Brief, **lists: tuple[str, ...]) -> Brief:
    return brief.model_copy(update={"choose": brief.choose.model_copy(update=lists)})


def comparison_key(of: Figures) -> ComparisonKey:
    """Return what kits are compared by: the greater key is of the better kit.

    Its parts are the figures before what is paid, minus what is paid, and the figure after it.
    """
    if of.together is not None:
        return (of.together,), -of.payable, of.quality
    return (of.quality, of.extras), -of.payable, Fraction(0)


def came(kit: Kit, before: Kit) -> tuple[str, ...]:
    """Return the skus of a kit that another does not hold, in the order of its lines."""
    there = {line.sku for line in before.lines}
    return tuple(line.sku for line in kit.lines if line.sku not in there)
