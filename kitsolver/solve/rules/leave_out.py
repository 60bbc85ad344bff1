"""Nothing that the brief leaves out is in the kit."""

from __future__ import annotations

from kitsolver.solve.rules.rule import Mask, Rows, Rule, among


class LeaveOut(Rule):
    """`choose.leave_out` bars rows by their sku."""

    name = "leave out"
    sentence = "Nothing that the brief leaves out is in the kit."

    def admits(self, rows: Rows) -> Mask:
        """Bar the skus that are left out."""
        return ~among(rows.table["sku"], rows.brief.choose.leave_out)
