"""Each chart colour has a thread colour of its own within the tolerance, and enough of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitsolver.solve.rules.rule import Rule

if TYPE_CHECKING:
    from kitsolver.solve.model.kit_model import KitModel
    from kitsolver.solve.model.thread_variables import ThreadRow


class EnoughThread(Rule):
    """Ties chart colours to places of thread, and places to the packs and skeins bought.

    Which places are within the tolerance is settled by the presolve.
    """

    name = "thread"
    sentence = (
        "Each chart colour has a thread colour of its own within the tolerance, enough of it."
    )

    def constrain(self, model: KitModel) -> None:
        """Give each colour of the chosen chart one place, and each place to one colour."""
        for chart, groups in model.places.items():
            for group, variables in groups.items():
                asked = len(group.colours) * model.charts[chart]
                model.add(self, model.total(one.taken for one in variables) == asked)
                for one in variables:
                    if len(one.counts) < len(model.counts):
                        at_count = model.total(map(model.at_count, one.counts))
                        model.add(self, one.taken <= at_count)
        for row in model.thread_rows:
            for place in row.places:
                model.add(self, model.total(one.taken for one in place) <= 1)
            if row.pack:
                self._buy_packs(model, row)

    def _buy_packs(self, model: KitModel, row: ThreadRow) -> None:
        """Take as many packs as the colour does that needs most, and no more."""
        model.add(self, model.total(row.bought.values()) <= 1)
        for units, bought in row.bought.items():
            needing = [one.taken for place in row.places for one in place if one.units == units]
            model.add(self, bought <= model.total(needing))
        for place in row.places:
            for units in row.bought:
                taken = [one.taken for one in place if one.units == units]
                enough = model.total(bought for size, bought in row.bought.items() if size >= units)
                if taken:
                    model.add(self, model.total(taken) <= enough)
