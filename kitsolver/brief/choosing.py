"""Briefs in which other rows are kept, or left out."""

from __future__ import annotations

from collections.abc import Iterable

from kitsolver.brief.brief import Brief


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
