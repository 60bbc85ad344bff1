"""Sums of an order as they are shown, with what each head pays where there are several."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from kitsolver.brief.brief import Brief
from kitsolver.shop.money import to_text


def a_head(payable: int, brief: Brief) -> int:
    """Return what one head pays, rounded half up to a minor unit."""
    return floor(Fraction(payable, brief.heads) + Fraction(1, 2))


def a_head_text(payable: int, brief: Brief) -> str | None:
    """Return what one head pays, rounded; None where the brief is for one head."""
    return to_text(a_head(payable, brief), brief.currency) if brief.heads > 1 else None


def sum_text(minor: int, brief: Brief) -> str:
    """Return a sum with its currency, and for several heads what it comes to for each of them."""
    whole = f"{to_text(minor, brief.currency)} {brief.currency}"
    each = a_head_text(minor, brief)
    return whole if each is None else f"{whole} (about {each} a head)"
