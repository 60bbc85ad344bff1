"""kitsolver: the provably best counted cross-stitch kit under a cap.

The names below are the public interface. They are loaded when first used, so that importing the
package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kitsolver.brief.asked import Brief as Brief
    from kitsolver.brief.reading import brief_of as brief_of
    from kitsolver.brief.reading import read_brief as read_brief
    from kitsolver.explain.ladder import Ladder as Ladder
    from kitsolver.explain.ladder import LadderRung as LadderRung
    from kitsolver.explain.ladder import ladder as ladder
    from kitsolver.shop.catalogue import Catalogue as Catalogue
    from kitsolver.shop.findings import BadInput as BadInput
    from kitsolver.shop.findings import Finding as Finding
    from kitsolver.shop.reading import read_catalogue as read_catalogue
    from kitsolver.show.ladder import ladder_record as ladder_record
    from kitsolver.show.record import record_of as record_of
    from kitsolver.solve.audit.audit import Check as Check
    from kitsolver.solve.audit.evidence import Shade as Shade
    from kitsolver.solve.model.solver import Solver as Solver
    from kitsolver.solve.outcome import Kit as Kit
    from kitsolver.solve.outcome import Line as Line
    from kitsolver.solve.outcome import Outcome as Outcome
    from kitsolver.solve.outcome import Status as Status
    from kitsolver.solve.pick import Engine as Engine
    from kitsolver.solve.pick import pick as pick

_HOMES = {
    "BadInput": "shop.findings",
    "Brief": "brief.asked",
    "Catalogue": "shop.catalogue",
    "Check": "solve.audit.audit",
    "Engine": "solve.pick",
    "Finding": "shop.findings",
    "Kit": "solve.outcome",
    "Ladder": "explain.ladder",
    "LadderRung": "explain.ladder",
    "Line": "solve.outcome",
    "Outcome": "solve.outcome",
    "Shade": "solve.audit.evidence",
    "Solver": "solve.model.solver",
    "Status": "solve.outcome",
    "brief_of": "brief.reading",
    "ladder": "explain.ladder",
    "ladder_record": "show.ladder",
    "pick": "solve.pick",
    "read_brief": "brief.reading",
    "read_catalogue": "shop.reading",
    "record_of": "show.record",
}

__all__ = [
    "BadInput",
    "Brief",
    "Catalogue",
    "Check",
    "Engine",
    "Finding",
    "Kit",
    "Ladder",
    "LadderRung",
    "Line",
    "Outcome",
    "Shade",
    "Solver",
    "Status",
    "brief_of",
    "ladder",
    "ladder_record",
    "pick",
    "read_brief",
    "read_catalogue",
    "record_of",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
