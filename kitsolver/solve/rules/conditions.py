"""Every row meets the conditions that the brief sets for it."""

from __future__ import annotations

from kitsolver.brief.meeting import carrying, meeting
from kitsolver.solve.rules.rule import Mask, Rows, Rule


class RowConditions(Rule):
    """The conditions of a need's or an extra's table, and those for the whole kit."""

    name = "conditions"
    sentence = "Every row meets the conditions that the brief sets for it."

    def admits(self, rows: Rows) -> Mask:
        """Bar rows that miss a condition."""
        met = meeting(rows.as_written, rows.brief.conditions(rows.category))
        return met & carrying(rows.as_written, rows.brief.all)
