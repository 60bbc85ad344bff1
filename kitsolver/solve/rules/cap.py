"""What is payable is within the cap.

Mostly a goods total says what is paid for it, and the model is told which totals will do. Where
some rows are taxed at rates of their own, or downloaded, every rounding becomes a whole variable
that lies within half a minor unit of what it rounds.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from kitsolver.shop.till import NO_CAP
from kitsolver.solve.rules.rule import Added, Dominance, Rows, Rule

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.kit_model import KitModel
    from kitsolver.solve.model.timed_model import Linear


class Cap(Rule):
    """Ties the lines to the till, and what is payable to the cap."""

    name = "cap"
    sentence = "What is payable is within the cap."

    def dominance(self, rows: Rows) -> Dominance:
        """Compare rows of one tax rate, and delivered rows with delivered ones."""
        alike = 2 * (rows.table["tax_rate"] + 1) + rows.table["download"]
        return Dominance(equal=(alike,)) if alike.any() else Dominance()

    def ties(self, candidates: Candidates) -> bool:
        """With rates by row, or downloads, the goods total does not say what is payable."""
        return candidates.paid_by_row

    def constrain(self, model: KitModel) -> None:
        """Keep what is payable within the model's cap."""
        if model.candidates.paid_by_row:
            model.payable = self._payable_by_row(model)
            if model.cap < NO_CAP:
                model.add(self, model.payable <= model.cap)
            return
        till = model.candidates.brief.exact_till
        most = model.goods_of_everything
        # No kit costs more than everything: a higher bound would only blur the arithmetic.
        within = [(low, min(high, most)) for low, high in till.affordable(model.cap) if low <= most]
        model.intervals.update(model.goods_within(self, within))

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Hold what is payable against the brief's cap."""
        return added.receipt.payable <= candidates.brief.total_cap

    def _payable_by_row(self, model: KitModel) -> Linear:
        """Return what is paid for the goods, or more than that where delivery is free."""
        till, most = model.candidates.brief.exact_till, model.goods_of_everything
        own: dict[Fraction, list[Linear]] = defaultdict(list)
        delivered = []
        for line, taken in model.lines.items():
            row, cost = model.rows[line], model.costs[line]
            if row.tax_rate is not None:
                own[row.tax_rate].append(cost * taken)
            if not row.download:
                delivered.append(cost * taken)
        discount = self._rounded(model, model.goods, till.discount_rate, most)
        after = model.goods - discount
        charged, nothing, free = (model.flag() for _ in range(3))
        model.add(self, charged + nothing + free == 1)
        model.add(self, model.total(delivered) <= most * (1 - nothing))
        if till.delivery_free_from:
            model.add(self, after >= till.delivery_free_from * free)
        else:
            model.add(self, free <= 0)
        rest = after + till.delivery * charged if till.tax_on_delivery else after
        taxes = []
        for rate, parts in own.items():
            goods = model.total(parts)
            own_after = goods - self._rounded(model, goods, till.discount_rate, most)
            rest = rest - own_after
            taxes.append(self._rounded(model, own_after, rate, most))
        taxes.append(self._rounded(model, rest, till.tax_rate, most + till.delivery))
        return after + till.delivery * charged + model.total(taxes)

    def _rounded(self, model: KitModel, amount: Linear, rate: Fraction, most: int) -> Linear:
        """Return a share of an amount, rounded to whole minor units as the till does."""
        if not rate:
            return 0
        # What rounding leaves over may be a minor unit or two below zero.
        whole = model.whole(-2, most + 2)
        exact = float(rate) * amount
        half, step = Fraction(1, 2), Fraction(1, rate.denominator)
        # The share of a whole amount is a multiple of the step, and a half is one or lies midway
        # between two. A solver may cut off what lies on a limit, so each limit is a quarter of a
        # step from the nearest multiple.
        if not model.candidates.brief.exact_till.half_even:
            model.add(self, exact >= whole - float(half + step / 4))
            model.add(self, exact <= whole + float(half - step / 4))
            return whole
        # A number halfway between two whole ones goes to the even one.
        odd, pairs = model.flag(), model.whole(-2, most + 2)
        model.add(self, whole == 2 * pairs + odd)
        model.add(self, exact >= whole - float(half + step / 4) + float(step / 2) * odd)
        model.add(self, exact <= whole + float(half + step / 4) - float(step / 2) * odd)
        return whole
