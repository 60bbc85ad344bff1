"""Quality and extras are what the lines add up to."""

from __future__ import annotations

from kitsolver.solve.rules.rule import Rule


class Quality(Rule):
    """Defines the figures that kits are compared by; the audit adds them up again."""

    name = "quality"
    sentence = "Quality and extras are what the lines add up to."
