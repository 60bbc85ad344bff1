"""What is paid, in the one model: by the goods total alone, or by what else tells.

Mostly a goods total says what is paid for it, and the model is told which totals will do. Where
some rows are taxed at rates of their own, or downloaded, every rounding is a whole variable that
lies within half a minor unit of what it rounds.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from ortools.math_opt.python import mathopt

from kitsolver.solve import rules

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel

Linear = Any  # a variable, or a linear expression of variables, of MathOpt


def payable_by_row(model: KitModel, most: int) -> Linear:
    """Return what is paid for the goods, or more than that where delivery is free.

    Parameters
    ----------
    most : int
        No goods total is above this, in minor units.
    """
    till = model.candidates.brief.register
    own: dict[Fraction, list[Linear]] = defaultdict(list)
    delivered = []
    for line, taken in model.lines.items():
        row, cost = model.rows[line], model.costs[line]
        if row.tax is not None:
            own[row.tax].append(cost * taken)
        if not row.download:
            delivered.append(cost * taken)
    discount = _rounded(model, model.goods, till.discount_rate, most)
    after = model.goods - discount
    charged, nothing, free = (model.flag() for _ in range(3))
    model.rule(rules.CAP, charged + nothing + free == 1)
    model.rule(rules.CAP, _total(delivered) <= most * (1 - nothing))
    if till.delivery_free_from:
        model.rule(rules.CAP, after >= till.delivery_free_from * free)
    else:
        model.rule(rules.CAP, free <= 0)
    rest = after + till.delivery * charged if till.tax_on_delivery else after
    taxes = []
    for rate, parts in own.items():
        goods = _total(parts)
        own_after = goods - _rounded(model, goods, till.discount_rate, most)
        rest = rest - own_after
        taxes.append(_rounded(model, own_after, rate, most))
    taxes.append(_rounded(model, rest, till.tax_rate, most + till.delivery))
    return after + till.delivery * charged + _total(taxes)


def _rounded(model: KitModel, sum_: Linear, rate: Fraction, most: int) -> Linear:
    """Return a part of a sum, rounded to whole minor units as the till does."""
    if not rate:
        return 0
    # A sum that is what rounding left over may be a minor unit or two below zero.
    whole = model.model.add_integer_variable(lb=-2, ub=float(most) + 2)
    exact = float(rate) * sum_
    half, step = Fraction(1, 2), Fraction(1, rate.denominator)
    if not model.candidates.brief.register.half_even:
        model.rule(rules.CAP, exact >= whole - float(half))
        model.rule(rules.CAP, exact <= whole + float(half - step / 2))
        return whole
    # A number between two whole ones goes to the even one.
    odd, pairs = model.flag(), model.model.add_integer_variable(lb=-2, ub=float(most) + 2)
    model.rule(rules.CAP, whole == 2 * pairs + odd)
    model.rule(rules.CAP, exact >= whole - float(half) + float(step / 2) * odd)
    model.rule(rules.CAP, exact <= whole + float(half) - float(step / 2) * odd)
    return whole


def _total(terms: Any) -> Linear:
    return mathopt.LinearSum(list(terms))
