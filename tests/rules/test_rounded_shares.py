"""The model rounds a share of an amount as the till does, with room for a solver's tolerance."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from kitsolver.solve.rules.cap import Cap

RATES = [Fraction(text) for text in ("0.2", "0.25", "0.08", "0.077", "0.055", "0.5", "1/3")]


class Chosen:
    """Stands for a model whose variables have their values, and keeps whether all holds."""

    def __init__(self, half_even: bool, rounded: int) -> None:
        till = SimpleNamespace(half_even=half_even)
        self.candidates = SimpleNamespace(brief=SimpleNamespace(exact_till=till))
        self.rounded, self.values, self.holds = rounded, [rounded, rounded // 2], True

    def whole(self, _low: int, _high: int) -> int:
        return self.values.pop(0)

    def flag(self) -> int:
        return self.rounded % 2

    def add(self, _rule: Cap, holds: bool) -> None:
        self.holds &= bool(holds)


def allowed(amount: float, rate: Fraction, half_even: bool, around: int) -> set[int]:
    """Return the whole numbers that the model takes for the rounded share."""
    found = set()
    for rounded in range(around - 3, around + 4):
        model: Any = Chosen(half_even, rounded)
        Cap()._rounded(model, amount, rate, 10_000)
        if model.holds:
            found.add(rounded)
    return found


@pytest.mark.parametrize("half_even", [False, True], ids=["half up", "half even"])
@pytest.mark.parametrize("rate", RATES, ids=str)
def test_only_the_rounded_share_is_allowed_however_a_solver_errs(rate, half_even):
    # Rounding by Python's decimal module, which follows IEEE 754 (ROUND_HALF_EVEN) and the
    # General Decimal Arithmetic Specification (ROUND_HALF_UP).
    step = Fraction(1, rate.denominator)
    for amount in range(2 * rate.denominator + 1):
        with localcontext(prec=60):
            exact = Decimal(amount * rate.numerator) / rate.denominator
            mode = ROUND_HALF_EVEN if half_even else ROUND_HALF_UP
            rounded = int(exact.quantize(Decimal(1), mode))
        for error in (-step / 5, 0, step / 5):
            off = float(amount + error / rate)
            assert allowed(off, rate, half_even, rounded) == {rounded}, (amount, error)
