"""Which rows may be in a kit within a limit of what is paid, told before candidates are made.

Every need costs at least its cheapest row, and what the brief keeps is bought. A row with which
these come to more than the limit is in no kit within it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.shop.catalogue import NOT_GIVEN, Catalogue
from kitsolver.solve.presolve.admitted_rows import AdmittedRows
from kitsolver.solve.rules.rule import Mask, among

_Costs = NDArray[np.int64]


class Affordable:
    """The least that rows cost, and the rest of a kit with each.

    Parameters
    ----------
    brief : Brief
        What is asked.
    needs : mapping of str to AdmittedRows
        The rows of each need that is bought; nothing but shades of matched thread is at home.
    extras : sequence of AdmittedRows
        The categories of extras of which a row is kept.
    matched : bool
        Whether thread is matched to the colours of charts.
    """

    def __init__(
        self,
        brief: Brief,
        needs: Mapping[str, AdmittedRows],
        extras: Sequence[AdmittedRows] = (),
        *,
        matched: bool,
    ) -> None:
        self._keep = brief.choose.keep
        self._costs = {need: _costs(rows) for need, rows in needs.items()}
        self._needs = needs
        apart = {"chart", "thread"} if matched else set()
        self._plain = sum(_least(self._costs[need]) for need in needs if need not in apart)
        self._plain += sum(int(_costs(rows)[self._kept(rows)].sum()) for rows in extras)
        self._matched = matched
        # How many colours are served by shades at home, each for nothing, or by thread that is kept
        # and paid for anyway.
        at_home = brief.need("thread").have if matched else ()
        self.served = len(at_home) if isinstance(at_home, tuple) else 0
        self._colours = np.zeros(1, dtype=np.int64)
        # The least that thread for one colour costs, where a pack's price is shared by its own.
        self._a_colour = 0
        if matched:
            colours, costs = needs["thread"].colour_counts, self._costs["thread"]
            self._a_colour = _least(costs // colours)
            # Kept thread is paid for, and serves as many colours as it has.
            kept = self._kept(needs["thread"])
            self._plain += int(costs[kept].sum())
            self.served += int(colours[kept].sum())
            self._colours = np.maximum(0, needs["chart"].colour_counts - self.served)

    @property
    def least(self) -> int:
        """A goods total below which no kit comes, in minor units."""
        return self._plain + self._with_chart(served=0)

    def rows(self, category: str, rows: AdmittedRows, most: int) -> Mask:
        """Return which rows of a category but charts may be in a kit of a goods total or less."""
        costs = _costs(rows)
        if category == "thread" and self._matched:
            # Beside its own colours the chart with the least for the others is taken.
            served, place = np.unique(rows.colour_counts, return_inverse=True)
            rest = np.array([self._with_chart(served=int(number)) for number in served])
            whole = self._plain + costs + rest[place]
            return np.asarray(np.where(self._kept(rows), self.least, whole) <= most)
        own = _least(self._costs[category]) if category in self._needs else 0
        return np.asarray(self.least - own + costs <= most)

    def chart_floors(self, fabric: _Costs | None = None, thread: _Costs | None = None) -> _Costs:
        """Return for every chart a goods total below which no kit with it comes.

        Parameters
        ----------
        fabric, thread : array of int, optional
            What each costs at least for every chart, where that is known; of thread without the
            colours that are `served`.
        """
        costs = self._plain + self._costs["chart"]
        if not self._matched:
            costs = costs - _least(self._costs["chart"])
        if fabric is not None:
            costs = costs - _least(self._costs["fabric"]) + fabric
        return np.asarray(costs + (self._colours * self._a_colour if thread is None else thread))

    def _kept(self, rows: AdmittedRows) -> Mask:
        """Tell which rows the brief keeps."""
        return among(rows.table["sku"], self._keep)

    def _with_chart(self, *, served: int) -> int:
        """Return what a chart and the thread of its colours but some cost at least."""
        if not self._matched:
            return 0
        left = np.maximum(0, self._colours - served)
        return _least(self._costs["chart"] + left * self._a_colour)


def paid_by_goods(brief: Brief, catalogue: Catalogue) -> bool:
    """Tell whether no row is taxed or delivered in its own way, so that goods alone are paid."""
    shelves = [shelf.columns for shelf in catalogue.rows.values()]
    if any((columns["tax_rate"] != NOT_GIVEN).any() for columns in shelves):
        return False
    return not brief.exact_till.delivery or not any((c["download"] > 0).any() for c in shelves)


def _least(costs: _Costs) -> int:
    return int(costs.min()) if len(costs) else 0


def _costs(rows: AdmittedRows) -> _Costs:
    costs: _Costs = rows.table["price"] * rows.table["units"]
    return costs
