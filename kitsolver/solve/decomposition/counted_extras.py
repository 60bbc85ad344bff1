"""Limits that count nothing but extras, as a most number of extras.

Frontiers know how many extras they hold, and do not know what else a limit adds up.
"""

from __future__ import annotations

from dataclasses import replace

from kitsolver.brief.own_rules import Limit
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.rules.limits import bounds_of, measure_of


def with_extras_counted(candidates: Candidates) -> Candidates:
    """Return candidates that hold to limits on the number of extras by `extras.most`.

    A limit does so if it counts every extra as a line, no row of a need, and has no least. Where
    all limits do, none of them ties choices any more.
    """
    if "limits" not in candidates.tied_by:
        return candidates
    brief = candidates.brief
    counting = [limit for limit in brief.limits if _counts_extras(limit, candidates)]
    if not counting:
        return candidates
    most = [brief.extras.most] if brief.extras.most is not None else []
    for limit in counting:
        _, figure = bounds_of(limit, brief)
        if figure is not None:
            most.append(int(figure))
    left = tuple(limit for limit in brief.limits if limit not in counting)
    extras = brief.extras.model_copy(update={"most": min(most)})
    return replace(
        candidates,
        brief=brief.model_copy(update={"extras": extras, "limits": left}),
        tied_by=tuple(name for name in candidates.tied_by if left or name != "limits"),
    )


def _counts_extras(limit: Limit, candidates: Candidates) -> bool:
    """Tell whether a limit says how many extras there may be at the most, and nothing else."""
    if limit.column is not None or limit.least is not None:
        return False
    counted = {
        need: any(row.sku and row.measure(measure_of(limit)) for row in rows)
        for need, rows in candidates.needs.items()
    }
    extras = [bool(extra.measure(measure_of(limit))) for extra in candidates.extras]
    return all(extras) and not any(counted.values())
