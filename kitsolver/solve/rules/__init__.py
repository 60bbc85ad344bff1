"""Every rule of a kit, one file a rule, in the order in which a kit's checks list them."""

from __future__ import annotations

from collections.abc import Hashable

from kitsolver.brief.brief import Brief
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric
from kitsolver.solve.candidates.quantities import fabric_units
from kitsolver.solve.rules.alike import AlikeRows
from kitsolver.solve.rules.cap import Cap
from kitsolver.solve.rules.conditions import RowConditions
from kitsolver.solve.rules.contrast import Contrast
from kitsolver.solve.rules.extras import Extras
from kitsolver.solve.rules.finishing import Finishing
from kitsolver.solve.rules.fit import Fit
from kitsolver.solve.rules.heads import Heads
from kitsolver.solve.rules.hoop import HoopWithin
from kitsolver.solve.rules.hours import Hours
from kitsolver.solve.rules.keep import Keep
from kitsolver.solve.rules.leave_out import LeaveOut
from kitsolver.solve.rules.limits import Limits
from kitsolver.solve.rules.margin import Margin
from kitsolver.solve.rules.needle import SuitingNeedle
from kitsolver.solve.rules.needs import Needs
from kitsolver.solve.rules.pairs import Pairs
from kitsolver.solve.rules.quality import Quality
from kitsolver.solve.rules.rule import CompatibilityRule, Rule
from kitsolver.solve.rules.size import FinishedSize
from kitsolver.solve.rules.stock import Stock, in_stock
from kitsolver.solve.rules.thread import EnoughThread

EXTRAS = Extras()
KEEP = Keep()

RULES: tuple[Rule, ...] = (
    Needs(),
    RowConditions(),
    LeaveOut(),
    KEEP,
    EXTRAS,
    Fit(),
    SuitingNeedle(),
    EnoughThread(),
    Contrast(),
    HoopWithin(),
    Finishing(),
    Heads(),
    Stock(),
    Cap(),
    Margin(),
    FinishedSize(),
    Hours(),
    Limits(),
    Pairs(),
    AlikeRows(),
    Quality(),
)

# Rules about a design on a fabric, beside its fit.
_OF_DESIGN = tuple(rule for rule in RULES if type(rule).allows is not Rule.allows)

COMPATIBILITY = tuple(rule for rule in RULES if isinstance(rule, CompatibilityRule))
BY_COUNT = tuple(rule for rule in COMPATIBILITY if rule.by_count)


def compatibility_key(chart: Chart, fabric: Fabric, brief: Brief) -> tuple[Hashable, ...]:
    """Return all that compatibility rules look at: fabrics of one key take the same rows."""
    return tuple(rule.key(chart, fabric, brief) for rule in COMPATIBILITY)


def units_with(chart: Chart, fabric: Fabric, brief: Brief) -> int | None:
    """Return the units of a fabric that a kit with a chart takes; None if none holds both."""
    if not all(rule.allows(chart, fabric, brief) for rule in _OF_DESIGN):
        return None
    units = fabric_units(chart, fabric, brief)
    return units if units is not None and in_stock(fabric, units) else None


def concerning(candidate: Candidate) -> tuple[tuple[int, CompatibilityRule], ...]:
    """Return the compatibility rules that say something of a candidate, with their places."""
    rules = enumerate(COMPATIBILITY)
    return tuple((place, rule) for place, rule in rules if rule.concerns(candidate))


def compatible(candidate: Candidate, key: tuple[Hashable, ...]) -> bool:
    """Tell whether a candidate may stand beside a chart and fabric of some key."""
    return all(rule.accepts(candidate, key[place]) for place, rule in concerning(candidate))
