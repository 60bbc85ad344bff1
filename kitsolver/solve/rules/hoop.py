"""The hoop with 2.5 cm around it is within the piece that a head works on."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.craft import fit as cloth
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Hoop
from kitsolver.solve.candidates.quantities import piece_worked_on
from kitsolver.solve.rules.rule import CompatibilityRule, Dominance, Rows


class HoopWithin(CompatibilityRule):
    """Ties a hoop, be it a need or an extra, to the piece of fabric."""

    name = "hoop"
    sentence = "The hoop with 2.5 cm around it is within the piece a head works on."

    def concerns(self, candidate: Candidate) -> bool:
        """Hoops whose diameter is known."""
        return isinstance(candidate, Hoop) and candidate.diameter is not None

    def key(self, chart: Chart, fabric: Fabric, brief: Brief) -> Fraction | None:
        """Return the greatest diameter that the piece takes."""
        piece = piece_worked_on(chart, fabric, brief)
        return None if piece is None else cloth.widest_hoop(piece)

    def accepts(self, candidate: Any, key: Fraction | None) -> bool:
        """Accept a hoop that is no wider."""
        return key is None or bool(candidate.diameter <= key)

    def dominance(self, rows: Rows) -> Dominance:
        """Compare diameters: a smaller hoop goes wherever a larger one goes."""
        if rows.category != "hoop":
            return Dominance()
        return Dominance(at_least=(-rows.table["diameter"],))
