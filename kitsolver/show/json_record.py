"""What the JSON objects of all results share: figures, sizes, checks, findings, no kit."""

from __future__ import annotations

import json
from collections.abc import Iterable
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import rounded
from kitsolver.shop.findings import Finding
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import a_head_text
from kitsolver.solve.audit.audit import Check
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit
    from kitsolver.shop.skipped import RowCounts

JsonObject = dict[str, Any]


def json_text(record: JsonObject) -> str:
    """Return an object as JSON text; equal objects give equal bytes."""
    return json.dumps(record, ensure_ascii=False, indent=2) + "\n"


def figure_number(value: Fraction) -> float:
    """Return a figure as a number with six decimals."""
    return float(rounded(value, unit=1, decimals=6))


def size_cm(size: Size) -> list[float]:
    """Return the sides of a size in centimetres, with two decimals."""
    return [float(rounded(side)) for side in size]


def kit_figures_record(kit: Kit, brief: Brief) -> JsonObject:
    """Return the figures and the skus of a kit, for results that compare kits."""
    return {
        "payable": to_text(kit.figures.payable, brief.currency),
        "a_head": a_head_text(kit.figures.payable, brief),
        "quality": figure_number(kit.figures.quality),
        "extras_quality": figure_number(kit.figures.extras),
        "skus": [line.sku for line in kit.lines],
    }


def bound_record(bound: Figures, currency: str) -> JsonObject:
    """Return upper bounds on the figures of any kit."""
    record: JsonObject = {
        "quality": figure_number(bound.quality),
        "extras_quality": figure_number(bound.extras),
        "payable": to_text(bound.payable, currency),
    }
    if bound.together is not None:
        record["together"] = figure_number(bound.together)
    return record


def check_records(checks: Iterable[Check]) -> list[JsonObject]:
    """Return the rules that were checked again."""
    return [{"rule": check.rule, "holds": check.holds, "detail": check.detail} for check in checks]


def skipped_records(counts: RowCounts) -> list[JsonObject]:
    """Return what every result says in ``skipped``."""
    return [
        {"kind": each.kind, "category": each.category, "rows": each.rows} for each in counts.skipped
    ]


def findings_record(file: str, counts: RowCounts, findings: Iterable[Finding]) -> JsonObject:
    """Return what `check` writes, schema ``kitsolver/findings/1``."""
    return {
        "schema": "kitsolver/findings/1",
        "catalogue": file,
        "usable_rows": counts.offered,
        "findings": [finding_record(finding) for finding in findings],
        "skipped": skipped_records(counts),
    }


def finding_record(finding: Finding) -> JsonObject:
    """Return one finding."""
    return {
        "code": finding.code,
        "level": finding.level,
        "sentence": finding.sentence,
        "file": finding.file,
        "row": finding.row,
        "column": finding.column,
        "value": finding.value,
        "hint": finding.hint or None,
    }


def no_kit_record(why: NoKit, currency: str, cap_option: str = "--cap") -> JsonObject:
    """Return the record of why there is no kit; `cap_option` is the cap's in the command asked."""
    hints = [mend.as_options(cap_option) for mend in why.mends]
    return {
        "because": list(why.because),
        "conflict": list(why.conflict),
        "mends": [
            {
                "says": mend.says,
                "options": options,
                "changes": [
                    {"path": list(change.path), "value": change.value} for change in mend.changes
                ],
                "payable": to_text(mend.payable, currency),
            }
            for mend, options in zip(why.mends, hints, strict=True)
        ],
        "hints": hints,
        "complete": why.complete,
    }
