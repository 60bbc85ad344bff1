"""kitsolver: the provably best counted cross-stitch kit under a cap.

The names below are the public interface. They are loaded when first used, so that importing the
package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kitsolver.brief.brief import Brief as Brief
    from kitsolver.brief.reading import brief_of as brief_of
    from kitsolver.brief.reading import read_brief as read_brief
    from kitsolver.explain.answer import Answer as Answer
    from kitsolver.explain.answer import answer as answer
    from kitsolver.explain.ladder import Ladder as Ladder
    from kitsolver.explain.ladder import LadderRung as LadderRung
    from kitsolver.explain.ladder import ladder as ladder
    from kitsolver.explain.mend import Mend as Mend
    from kitsolver.explain.no_kit.why_no_kit import NoKit as NoKit
    from kitsolver.explain.no_kit.why_no_kit import why_no_kit as why_no_kit
    from kitsolver.explain.others import Others as Others
    from kitsolver.explain.others import others as others
    from kitsolver.explain.recheck.recheck import Recheck as Recheck
    from kitsolver.explain.recheck.recheck import recheck as recheck
    from kitsolver.explain.recheck.saved import Saved as Saved
    from kitsolver.explain.recheck.saved import read_saved as read_saved
    from kitsolver.explain.why_not import WhyNot as WhyNot
    from kitsolver.explain.why_not import why_not as why_not
    from kitsolver.shop.catalogue import Catalogue as Catalogue
    from kitsolver.shop.findings import BadInput as BadInput
    from kitsolver.shop.findings import Finding as Finding
    from kitsolver.shop.reading import read_catalogue as read_catalogue
    from kitsolver.show.kit_record import record_of as record_of
    from kitsolver.show.ladder import ladder_record as ladder_record
    from kitsolver.show.notebook import notebook_html as notebook_html
    from kitsolver.solve.audit.audit import Check as Check
    from kitsolver.solve.audit.evidence import Shade as Shade
    from kitsolver.solve.engine import Engine as Engine
    from kitsolver.solve.engine import Solver as Solver
    from kitsolver.solve.outcome import Kit as Kit
    from kitsolver.solve.outcome import Line as Line
    from kitsolver.solve.outcome import Outcome as Outcome
    from kitsolver.solve.outcome import Status as Status
    from kitsolver.solve.pick import pick as pick

_HOMES = {
    "Answer": "explain.answer",
    "BadInput": "shop.findings",
    "Brief": "brief.brief",
    "Catalogue": "shop.catalogue",
    "Check": "solve.audit.audit",
    "Engine": "solve.engine",
    "Finding": "shop.findings",
    "Kit": "solve.outcome",
    "Ladder": "explain.ladder",
    "LadderRung": "explain.ladder",
    "Line": "solve.outcome",
    "Mend": "explain.mend",
    "NoKit": "explain.no_kit.why_no_kit",
    "Others": "explain.others",
    "Outcome": "solve.outcome",
    "Recheck": "explain.recheck.recheck",
    "Saved": "explain.recheck.saved",
    "Shade": "solve.audit.evidence",
    "Solver": "solve.engine",
    "Status": "solve.outcome",
    "WhyNot": "explain.why_not",
    "answer": "explain.answer",
    "brief_of": "brief.reading",
    "ladder": "explain.ladder",
    "ladder_record": "show.ladder",
    "notebook_html": "show.notebook",
    "others": "explain.others",
    "pick": "solve.pick",
    "read_brief": "brief.reading",
    "read_catalogue": "shop.reading",
    "read_saved": "explain.recheck.saved",
    "recheck": "explain.recheck.recheck",
    "record_of": "show.kit_record",
    "why_no_kit": "explain.no_kit.why_no_kit",
    "why_not": "explain.why_not",
}

__all__ = [
    "Answer",
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
    "Mend",
    "NoKit",
    "Others",
    "Outcome",
    "Recheck",
    "Saved",
    "Shade",
    "Solver",
    "Status",
    "WhyNot",
    "answer",
    "brief_of",
    "ladder",
    "ladder_record",
    "notebook_html",
    "others",
    "pick",
    "read_brief",
    "read_catalogue",
    "read_saved",
    "recheck",
    "record_of",
    "why_no_kit",
    "why_not",
]


__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
