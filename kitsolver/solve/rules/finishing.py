"""The finished design is within the opening of what is to frame it."""

from __future__ import annotations

from typing import Any

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import Size, fits
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Thread
from kitsolver.solve.candidates.quantities import finished_of
from kitsolver.solve.rules.rule import CompatibilityRule, Dominance, Rows

# More than any side of an opening, in length units.
_ENDLESS = 2**62


class Finishing(CompatibilityRule):
    """Ties a row with an opening to the size of the finished design."""

    name = "finishing"
    sentence = "The finished design is within the opening of what is to frame it."

    def concerns(self, candidate: Candidate) -> bool:
        """Rows with an opening; a chart, fabric or thread frames nothing, whatever it says."""
        return candidate.opening is not None and not isinstance(candidate, Chart | Fabric | Thread)

    def key(self, chart: Chart, fabric: Fabric, brief: Brief) -> Size | None:
        """Return the size of the finished design."""
        return finished_of(chart, fabric.count)

    def accepts(self, candidate: Candidate, key: Any) -> bool:
        """Accept an opening that the design is within."""
        return key is None or candidate.opening is None or fits(key, candidate.opening)

    def dominance(self, rows: Rows) -> Dominance:
        """Compare openings: a larger one takes more, and no opening takes everything."""
        openings = rows.table["opening_cm"] + rows.table["opening_in"]
        if not openings.any():
            return Dominance()
        sides = [sorted(map(int, o.split(";"))) if o else [_ENDLESS] * 2 for o in openings]
        short, long = np.array(sides, dtype=np.int64).reshape(-1, 2).T
        return Dominance(at_least=(short, long))
