"""The tasks that worker processes do for the API: each returns the record that a command writes."""

from __future__ import annotations

from kitsolver.brief.brief import Brief
from kitsolver.explain.ladder import ladder
from kitsolver.explain.lines import instead
from kitsolver.explain.others import others
from kitsolver.explain.reach import out_of_reach
from kitsolver.explain.recheck.at_home import with_home_of
from kitsolver.explain.recheck.recheck import recheck
from kitsolver.explain.recheck.saved import saved_of
from kitsolver.page.catalogue_to_read import CatalogueToRead, catalogue_of
from kitsolver.page.tasks import ENDED, SEARCHING, kit, why
from kitsolver.show.json_record import JsonObject
from kitsolver.show.kit_record import record_of
from kitsolver.show.ladder import ladder_record
from kitsolver.show.others import others_record
from kitsolver.show.recheck import recheck_record
from kitsolver.show.why import why_not_record
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import TimeLimit


def kit_json(source: CatalogueToRead, brief: Brief) -> JsonObject:
    """Return the record of the best kit, or of why there is none."""
    return record_of(*kit(source, brief).answer)


def ladder_json(
    source: CatalogueToRead, brief: Brief, low: int | None, high: int | None
) -> JsonObject:
    """Return the record of the rungs between two caps in minor units."""
    catalogue = catalogue_of(source)
    return ladder_record(ladder(catalogue, brief, low=low, high=high, seconds=SEARCHING))


def others_json(
    source: CatalogueToRead,
    brief: Brief,
    number: int,
    apart: int | None,
    tied: bool,
    beyond: int,
    lines: bool,
) -> JsonObject:
    """Return the record of other kits; of why there is none, if there is no kit at all."""
    catalogue, time_limit = catalogue_of(source), TimeLimit(ENDED / 2)
    found = others(catalogue, brief, number, apart=apart, tied=tied, seconds=SEARCHING)
    if not found.kits:
        return kit_json(source, brief)
    how = Solver.SCIP
    reached = out_of_reach(catalogue, brief, beyond, solver=how, time_limit=time_limit)
    each = None
    if lines:
        best = found.kits[0]
        each = list(instead(catalogue, brief, best, solver=how, time_limit=time_limit))
    return others_record(found, reached, each)


def why_json(source: CatalogueToRead, brief: Brief, sku: str) -> JsonObject:
    """Return the record of why a row is in the best kit, or why not."""
    return why_not_record(why(source, brief, sku))


def recheck_json(source: CatalogueToRead, data: JsonObject) -> JsonObject:
    """Return the record of a saved kit checked against a catalogue, in the kit's currency."""
    saved = saved_of(data, "kit")
    catalogue = catalogue_of(source.priced_in(saved.brief.currency))
    saved, catalogue, _ = with_home_of(saved, catalogue)
    found = recheck(saved, catalogue, seconds=SEARCHING)
    return recheck_record(found, found.nearest)
