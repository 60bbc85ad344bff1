"""kitsolver: the provably best counted cross-stitch kit under a cap.

The names below are the public interface. They are loaded when first used, so that importing the
package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kitsolver.batch.results import Batch as Batch
    from kitsolver.batch.run_batch import run_batch as run_batch
    from kitsolver.brief.brief import Brief as Brief
    from kitsolver.brief.home_source import with_home_list as with_home_list
    from kitsolver.brief.range import Range as Range
    from kitsolver.brief.range import read_range as read_range
    from kitsolver.brief.reading import brief_of as brief_of
    from kitsolver.brief.reading import read_brief as read_brief
    from kitsolver.brief.reading import with_settings as with_settings
    from kitsolver.explain.answer import Answer as Answer
    from kitsolver.explain.answer import answer as answer
    from kitsolver.explain.copies import Copies as Copies
    from kitsolver.explain.copies import copies_of as copies_of
    from kitsolver.explain.ladder import Ladder as Ladder
    from kitsolver.explain.ladder import LadderRung as LadderRung
    from kitsolver.explain.ladder import ladder as ladder
    from kitsolver.explain.mend import Mend as Mend
    from kitsolver.explain.no_kit.why_no_kit import NoKit as NoKit
    from kitsolver.explain.no_kit.why_no_kit import why_no_kit as why_no_kit
    from kitsolver.explain.others import Others as Others
    from kitsolver.explain.others import others as others
    from kitsolver.explain.range import RangeAnswer as RangeAnswer
    from kitsolver.explain.range import make_range as make_range
    from kitsolver.explain.recheck.recheck import Recheck as Recheck
    from kitsolver.explain.recheck.recheck import recheck as recheck
    from kitsolver.explain.recheck.saved import Saved as Saved
    from kitsolver.explain.recheck.saved import read_saved as read_saved
    from kitsolver.explain.why_not import WhyNot as WhyNot
    from kitsolver.explain.why_not import why_not as why_not
    from kitsolver.shop.catalogue import Catalogue as Catalogue
    from kitsolver.shop.findings import BadInput as BadInput
    from kitsolver.shop.findings import Finding as Finding
    from kitsolver.shop.maps.mapping import ColumnMap as ColumnMap
    from kitsolver.shop.maps.mapping import read_map as read_map
    from kitsolver.shop.reading import read_catalogue as read_catalogue
    from kitsolver.shop.skipped import RowCounts as RowCounts
    from kitsolver.shop.skipped import Skipped as Skipped
    from kitsolver.show.kit_record import record_of as record_of
    from kitsolver.show.ladder import ladder_record as ladder_record
    from kitsolver.show.notebook import notebook_html as notebook_html
    from kitsolver.show.shop_rows import bundle_row as bundle_row
    from kitsolver.show.shop_rows import stock_after as stock_after
    from kitsolver.solve.audit.audit import Check as Check
    from kitsolver.solve.audit.evidence import Shade as Shade
    from kitsolver.solve.engine import Engine as Engine
    from kitsolver.solve.engine import Solver as Solver
    from kitsolver.solve.outcome import Kit as Kit
    from kitsolver.solve.outcome import Line as Line
    from kitsolver.solve.outcome import Outcome as Outcome
    from kitsolver.solve.outcome import Status as Status
    from kitsolver.solve.pick import pick as pick
    from kitsolver.solve.ranges.range import RangeOutcome as RangeOutcome

_HOMES = {
    "Answer": "explain.answer",
    "BadInput": "shop.findings",
    "Batch": "batch.results",
    "Brief": "brief.brief",
    "Catalogue": "shop.catalogue",
    "Check": "solve.audit.audit",
    "ColumnMap": "shop.maps.mapping",
    "Copies": "explain.copies",
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
    "Range": "brief.range",
    "RangeAnswer": "explain.range",
    "RangeOutcome": "solve.ranges.range",
    "Recheck": "explain.recheck.recheck",
    "RowCounts": "shop.skipped",
    "Saved": "explain.recheck.saved",
    "Shade": "solve.audit.evidence",
    "Skipped": "shop.skipped",
    "Solver": "solve.engine",
    "Status": "solve.outcome",
    "WhyNot": "explain.why_not",
    "answer": "explain.answer",
    "brief_of": "brief.reading",
    "bundle_row": "show.shop_rows",
    "copies_of": "explain.copies",
    "ladder": "explain.ladder",
    "ladder_record": "show.ladder",
    "make_range": "explain.range",
    "notebook_html": "show.notebook",
    "others": "explain.others",
    "pick": "solve.pick",
    "read_brief": "brief.reading",
    "read_catalogue": "shop.reading",
    "read_map": "shop.maps.mapping",
    "read_range": "brief.range",
    "read_saved": "explain.recheck.saved",
    "recheck": "explain.recheck.recheck",
    "record_of": "show.kit_record",
    "run_batch": "batch.run_batch",
    "stock_after": "show.shop_rows",
    "why_no_kit": "explain.no_kit.why_no_kit",
    "why_not": "explain.why_not",
    "with_home_list": "brief.home_source",
    "with_settings": "brief.reading",
}

__all__ = [
    "Answer",
    "BadInput",
    "Batch",
    "Brief",
    "Catalogue",
    "Check",
    "ColumnMap",
    "Copies",
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
    "Range",
    "RangeAnswer",
    "RangeOutcome",
    "Recheck",
    "RowCounts",
    "Saved",
    "Shade",
    "Skipped",
    "Solver",
    "Status",
    "WhyNot",
    "answer",
    "brief_of",
    "bundle_row",
    "copies_of",
    "ladder",
    "ladder_record",
    "make_range",
    "notebook_html",
    "others",
    "pick",
    "read_brief",
    "read_catalogue",
    "read_map",
    "read_range",
    "read_saved",
    "recheck",
    "record_of",
    "run_batch",
    "stock_after",
    "why_no_kit",
    "why_not",
    "with_home_list",
    "with_settings",
]


__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
