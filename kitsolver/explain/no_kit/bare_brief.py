"""A brief without what counts for quality alone, so that few rows are left."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.goods import NEVER_UNASKED
from kitsolver.shop.catalogue import Catalogue

Reader = Callable[[Mapping[str, Any]], Brief]


def bare_brief(data: Mapping[str, Any], catalogue: Catalogue, read: Reader) -> dict[str, Any]:
    """Return a brief without what counts for quality alone, so that few rows are left."""
    needs = {need: table and {**table, "weight": "0"} for need, table in data["needs"].items()}
    bare = {**data, "title": "", "cap": "0", "cap_per_head": None, "needs": needs}
    till = bare["till"]
    if float(till["delivery"]) and float(till["delivery_free_from"]):
        # An extra can make delivery free.
        return bare
    rules = bare["limits"] or bare["pairs"]
    if rules and read(bare).may_need_extras:
        return bare
    extras = bare["extras"]
    kept = catalogue.categories_of(bare["choose"]["keep"]) - {*bare["holds"]}
    if not kept:
        bare["extras"] = {"spend": "none"}
    elif extras["spend"] != "none":
        asked = extras["categories"]
        allowed = kept - NEVER_UNASKED if asked is None else kept.intersection(asked)
        bare["extras"] = {**extras, "categories": sorted(allowed)}
    return bare
