"""Every head gets what it needs, and no unit more is bought."""

from __future__ import annotations

from kitsolver.solve.rules.rule import Rule


class Heads(Rule):
    """Fixes the units of every line.

    The presolve writes them on each candidate, and `candidates.quantities` has those that depend
    on other choices; so nothing is left to constrain.
    """

    name = "heads"
    sentence = "Every head gets what it needs, and no unit more is bought."
