"""What a selection comes to: units, money and the figures by which kits are compared."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.shop.till import Receipt, basket
from kitsolver.solve.candidates.candidate import Candidate, Place, Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.quantities import fabric_units, thread_units


@dataclass(frozen=True)
class Tally:
    """A selection added up.

    Parameters
    ----------
    units : mapping of str to int
        By sku.
    quality : Fraction
        Figure 1, from 0 to 100.
    extras : Fraction
        Figure 2: the sum of quality over the extras.
    combined : Fraction
        What stands for figures 1 and 2 where they are weighed together.
    receipt : Receipt
        Goods and what is paid for them.
    rows : mapping of str to Candidate
        By sku.
    taken : tuple of Candidate
        Each once, from home too.
    """

    units: Mapping[str, int]
    quality: Fraction
    extras: Fraction
    combined: Fraction
    receipt: Receipt
    rows: Mapping[str, Candidate]
    taken: tuple[Candidate, ...]

    def total(self, column: str) -> int:
        """Return the sum over all lines of units times what a row says in a column.

        Raises
        ------
        KeyError
            If no rule reads that column.
        """
        return sum(units * self.rows[sku].measure(column) for sku, units in self.units.items())


def tally(selection: Selection, candidates: Candidates) -> Tally:
    """Add a selection up, exactly.

    Parameters
    ----------
    selection : Selection
        From `candidates`, and holding to every rule but the cap.
    candidates : Candidates
        What it was chosen from.
    """
    weighed = sum(
        weight
        * (
            _mean(selection.places)
            if candidates.matches_thread and need == "thread"
            else selection.needs[need].points
        )
        for need, weight in candidates.weights.items()
    )
    extras = Fraction(sum(extra.points for extra in selection.extras), 100)
    weighed = Fraction(weighed, 100)
    weights = sum(candidates.weights.values())
    units = _units(selection, candidates)
    rows: dict[str, Candidate] = {place.thread.sku: place.thread for place in selection.places}
    rows |= {
        candidate.sku: candidate for candidate in (*selection.needs.values(), *selection.extras)
    }
    at_home = (row for row in selection.needs.values() if not row.sku)
    return Tally(
        units=units,
        quality=weighed / weights if weights else Fraction(0),
        extras=extras,
        combined=weighed / candidates.parts + Fraction(candidates.brief.extras.weight) * extras,
        receipt=paid_for(
            ((rows[sku], rows[sku].cost_of(number)) for sku, number in units.items()),
            candidates.brief,
        ),
        rows=rows,
        taken=(*{row.sku: row for row in rows.values() if row.sku}.values(), *at_home),
    )


def paid_for(costs: Iterable[tuple[Candidate, int]], brief: Brief) -> Receipt:
    """Return what is paid for rows, each with what it costs at shelf prices, in minor units."""
    sold = basket((cost, row.tax_rate, row.download) for row, cost in costs)
    return brief.exact_till.receipt(*sold)


def _mean(places: tuple[Place, ...]) -> Fraction:
    return Fraction(sum(place.points for place in places), len(places))


def _units(selection: Selection, candidates: Candidates) -> dict[str, int]:
    chart, fabric = selection.chart, selection.fabric
    units = {
        candidate.sku: candidate.units
        for candidate in (*selection.needs.values(), *selection.extras)
    }
    units[fabric.sku] = fabric_units(chart, fabric, candidates.brief) or 0
    if selection.places:
        for place, asked in zip(selection.places, chart.shades or (), strict=True):
            taken = thread_units(place.thread, asked, fabric.count, candidates.brief)
            units[place.thread.sku] = max(taken, units.get(place.thread.sku, 0))
    units.pop("", None)
    return units
