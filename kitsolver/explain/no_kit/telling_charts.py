"""The charts that tell most of what is in the way, seen on arrays.

Candidates of all charts of a large shop take long to make, and an explanation names one chart.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from math import floor
from typing import NamedTuple

import numpy as np

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.thread import USUAL_KIND, Charted
from kitsolver.solve.candidates.candidate import Chart
from kitsolver.solve.candidates.places import Asked
from kitsolver.solve.presolve.admitted_rows import AdmittedRows
from kitsolver.solve.presolve.category_rows import CategoryRows
from kitsolver.solve.presolve.possible_charts import ANY_DIFFERENCE
from kitsolver.solve.rules.rule import Mask


def smallest_designs(rows: CategoryRows) -> Mask | None:
    """Return the charts of which no other is smaller both ways: if any fits, one of these does.

    Of charts of one size it is the first. None where no charts of the shop are candidates.
    """
    charts = rows.admitted("chart")
    if charts is None:
        return None
    sides = np.column_stack([charts.table["stitches_wide"], charts.table["stitches_high"]])
    short, long = np.sort(sides.astype(np.int64), axis=1).T
    order = np.lexsort((long, short))
    smaller = np.ones(len(order), dtype=bool)
    smaller[1:] = long[order][1:] < np.minimum.accumulate(long[order])[:-1]
    found = np.zeros(len(order), dtype=bool)
    found[order[smaller]] = True
    return found


class BestMatched(NamedTuple):
    """A chart of which no other has fewer colours that no thread is near enough to.

    Parameters
    ----------
    chart : Chart
        The first of several, or one with ample thread.
    bare : list of Charted
        Its colours that no thread is near enough to.
    ample : bool
        Whether so many places are near each colour that none has to compete for them.
    """

    chart: Chart
    bare: list[Charted]
    ample: bool


def best_matched(rows: CategoryRows) -> BestMatched | None:
    """Return the chart whose colours are best matched by thread; None if that is not seen here.

    Shades at home, limits and charts at home are not seen.
    """
    brief = rows.brief
    matched = brief.buys("chart") and brief.buys("thread") and not brief.shades.free
    if not matched or brief.need("thread").have or brief.limits:
        return None
    charts, threads = rows.admitted("chart"), rows.admitted("thread")
    if charts is None or threads is None:
        return None
    if not len(charts):
        return None
    if brief.shades.tolerance >= ANY_DIFFERENCE:
        first = _first_with_any(charts, threads, brief)
        chart = None if first is None else _made(charts, first)
        if chart is not None:
            return BestMatched(chart, [], ample=True)
    drawn = list(map(_asked, charts.colours, charts.table["colour_kinds"].tolist()))
    places = _places_near({one for chart in drawn for one in chart}, threads, rows)
    near = [[places[one] for one in chart] for chart in drawn]
    lacking = [each.count(0) for each in near]
    ample = [min(each) >= len(each) for each in near]
    first = ample.index(True) if any(ample) else lacking.index(min(lacking))
    chart = _made(charts, first)
    if chart is None:
        return None
    bare = [one for one in chart.shades or () if not places[one.colour, one.kind]]
    return BestMatched(chart, bare, ample[first])


def _first_with_any(charts: AdmittedRows, threads: AdmittedRows, brief: Brief) -> int | None:
    """Return the first chart with ample places if thread of any colour is near; None without one.

    Charts are read one after the other, for most often the first has them.
    """
    offered: dict[str, int] = defaultdict(int)
    for kind, places in zip(
        threads.table["kind"].tolist(), threads.colour_counts.tolist(), strict=True
    ):
        offered[kind] += places
    cells = charts.table["colour_kinds"].tolist()
    each = zip(charts.colour_counts.tolist(), cells, strict=True)
    for number, (colours, kinds) in enumerate(each):
        asked = _kinds(kinds, colours)
        if all(
            sum(offered[one] for one in {kind, *brief.shades.kinds.get(kind, ())}) >= colours
            for kind in set(asked)
        ):
            return number
    return None


def _made(charts: AdmittedRows, number: int) -> Chart | None:
    (chart,) = charts.candidates(np.arange(len(charts)) == number)
    return chart if isinstance(chart, Chart) else None


def _asked(colours: list[str], kinds: str) -> list[Asked]:
    return list(zip(colours, _kinds(kinds, len(colours)), strict=True))


def _kinds(said: str, colours: int) -> list[str]:
    """Return the kinds of thread that a chart says for each of its colours."""
    return [word.strip() for word in said.split(";")] if said else [USUAL_KIND] * colours


def _places_near(
    asked: Collection[Asked], threads: AdmittedRows, rows: CategoryRows
) -> dict[Asked, int]:
    """Return for each charted colour how many places, of kinds that will do, are near enough."""
    palette, shades = rows.catalogue.palette, rows.brief.shades
    kinds = threads.table["kind"].tolist()
    offered = {
        kind: np.zeros(len(palette), dtype=np.int64) for kind in {*kinds, *(k for _, k in asked)}
    }
    for kind, colours in zip(kinds, threads.colours, strict=True):
        for colour in colours:
            offered[kind][palette.number[colour]] += 1
    suiting = {
        kind: np.sum(
            [offered[one] for one in {kind, *shades.kinds.get(kind, ())} & offered.keys()], axis=0
        )
        for kind in offered
    }
    if shades.tolerance >= ANY_DIFFERENCE:
        return {one: int(suiting[one[1]].sum()) for one in asked}
    each, tolerance = sorted(asked), floor(shades.tolerance * DIFFERENCE_UNIT)
    near = palette.near_each([colour for colour, _ in each], tolerance)
    return {
        one: int(suiting[one[1]][close].sum()) for one, (close, _) in zip(each, near, strict=True)
    }
