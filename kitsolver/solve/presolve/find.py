"""Finds everything that a kit may be chosen from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import partial
from math import floor, lcm

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.palette import Palette
from kitsolver.solve.candidates.candidate import Candidate, Thread
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Asked, NearPlaces, Places
from kitsolver.solve.presolve.category_rows import CategoryRows, Reused, SelectedCharts
from kitsolver.solve.presolve.from_rows import at_home
from kitsolver.solve.presolve.limited import within_limits
from kitsolver.solve.presolve.matching import any_place, places_again, places_near
from kitsolver.solve.presolve.place_dominance import PlaceDominance
from kitsolver.solve.presolve.row_memory import RowKeys, RowMemory
from kitsolver.solve.rules import RULES
from kitsolver.solve.time_limit import TimeLimit


def find_candidates(
    catalogue: Catalogue,
    brief: Brief,
    *,
    thin: bool = False,
    known: Candidates | None = None,
    limited: Collection[str] = (),
    memory: RowMemory | None = None,
    within: int | None = None,
    charts: SelectedCharts | None = None,
    time_limit: TimeLimit | None = None,
) -> Candidates:
    """Return everything that a kit may be chosen from.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale, validated against the brief (`kitsolver.brief.validate_against`).
    brief : Brief
        What is asked.
    thin : bool
        Whether to leave out rows that others dominate.
    known : Candidates, optional
        Of the same catalogue for another brief, as thin: what both briefs treat alike is taken
        from there.
    limited : collection of str
        Categories of which there is less in stock than when `known` was found.
    memory : RowMemory, optional
        Of the same catalogue, as thin: remembers what briefs treat alike, in place of `known`.
    within : int, optional
        In minor units: rows may be left out with which every kit comes to more.
    charts : callable, optional
        Returns which of the charts that may enter a kit become candidates; None for all of them.
    time_limit : TimeLimit, optional
        It is looked at before each category, and while colours are matched.

    Raises
    ------
    OutOfTime
        If there is no time left.
    """
    time_limit = time_limit or TimeLimit()
    # Which rows can be within limits depends on all others.
    reused = _reusable(known, brief, catalogue, limited) if known and not brief.limits else {}
    rows_of = CategoryRows(
        catalogue, brief, thin=thin, reused=reused, memory=memory, within=within, charts=charts
    )
    needs = _needs(rows_of, time_limit)
    weights = {need: Fraction(brief.need(need).weight) for need in brief.holds if brief.buys(need)}
    measures = [*weights.values(), Fraction(brief.extras.weight)]
    parts = lcm(*(weight.denominator for weight in measures))
    found = Candidates(
        brief=brief,
        needs=needs,
        extras=_extras(rows_of, time_limit),
        weights={need: int(weight * parts) for need, weight in weights.items()},
        parts=parts,
    )
    found = within_limits(found)
    found = replace(found, tied_by=tuple(rule.name for rule in RULES if rule.ties(found)))
    if not found.matches_thread or found.infeasible:
        return found
    near = _near_again(found, known, thin) if known else None
    if near is not None:
        return replace(found, near=near)
    dominance = _dominance(found, thin)
    find = partial(_near, found, catalogue.palette, dominance, time_limit)
    near = memory.places(found, rows_of.keys, dominance, find) if memory else find()
    return replace(found, near=near)


def with_dominated(found: Candidates, needs: Collection[str], catalogue: Catalogue) -> Candidates:
    """Return candidates in which dominated rows of some needs are not left out.

    Charts and matched thread are none of these needs.
    """
    every = CategoryRows(catalogue, found.brief)
    rows = {need: every.of_need(need) for need in needs}
    found = replace(found, needs={**found.needs, **rows})
    return replace(found, tied_by=tuple(rule.name for rule in RULES if rule.ties(found)))


def _needs(rows_of: CategoryRows, time_limit: TimeLimit) -> dict[str, tuple[Candidate, ...]]:
    brief = rows_of.brief
    needs: dict[str, tuple[Candidate, ...]] = {
        category: (at_home(category, None, brief),) for category in ("chart", "fabric")
    }
    for category in brief.holds:
        time_limit.check()
        if brief.buys(category):
            needs[category] = rows_of.of_need(category)
        else:
            needs[category] = (at_home(category, brief.need(category).have, brief),)
    return needs


def _extras(rows_of: CategoryRows, time_limit: TimeLimit) -> tuple[Candidate, ...]:
    found: list[Candidate] = []
    for category in sorted(set(rows_of.catalogue.rows) - set(rows_of.brief.holds)):
        time_limit.check()
        found += rows_of.of_extras(category)
    return tuple(sorted(found, key=lambda extra: extra.sku))


def _near(
    candidates: Candidates,
    palette: Palette,
    dominance: PlaceDominance | None,
    time_limit: TimeLimit,
) -> Places:
    """Return the places near every charted colour, of the kinds of thread that will do for it."""
    asked = {(one.colour, one.kind) for chart in candidates.charts for one in chart.shades or ()}
    others = candidates.brief.shades.kinds
    by_kinds: dict[tuple[str, ...], set[tuple[str, str]]] = defaultdict(set)
    for colour, kind in asked:
        by_kinds[tuple(sorted({kind, *others.get(kind, ())}))].add((colour, kind))
    found: dict[Asked, NearPlaces] = {}
    for kinds, keys in sorted(by_kinds.items()):
        threads = tuple(thread for thread in candidates.threads if thread.kind in kinds)
        colours = {colour for colour, _ in keys}
        places = _near_of(threads, colours, candidates.brief, palette, dominance, time_limit)
        found |= {key: places[key[0]] for key in keys}
    return Places(found)


def _near_of(
    threads: tuple[Thread, ...],
    charted: Collection[str],
    brief: Brief,
    palette: Palette,
    dominance: PlaceDominance | None,
    time_limit: TimeLimit,
) -> Mapping[str, NearPlaces]:
    if brief.shades.free:
        return any_place(charted, threads, brief.shades)
    home = {colour for row in threads if not row.sku for colour in row.colours}
    if not home <= palette.number.keys():
        palette = Palette(colour for row in threads for colour in row.colours)
    tolerance = floor(brief.shades.tolerance * DIFFERENCE_UNIT)
    mismatch = Fraction(brief.shades.mismatch)
    return places_near(
        sorted(charted), threads, palette, tolerance, mismatch, dominance, time_limit=time_limit
    )


def _dominance(candidates: Candidates, thin: bool) -> PlaceDominance | None:
    """Return what decides which places others dominate; None if none is left out."""
    brief = candidates.brief
    # Where choices are tied, a dominated place may be the one that a rule allows, and so where
    # some cloth bars the others.
    if not thin or candidates.tied or brief.shades.cloth_contrast > 0:
        return None
    return PlaceDominance(
        colours=max((len(chart.shades or ()) for chart in candidates.charts), default=0),
        keep=frozenset(brief.choose.keep).intersection(row.sku for row in candidates.threads),
        exact=brief.exact_till.window == 1,
        alike=brief.exact_till.has_gap,
        counted=candidates.weights["thread"] > 0,
    )


def _near_again(found: Candidates, known: Candidates, thin: bool) -> Places | None:
    """Return the places near the charts' colours, from those of other candidates.

    None where these have other places near them.
    """
    asked = {(one.colour, one.kind) for chart in found.charts for one in chart.shades or ()}
    shades = found.brief.shades
    alike = known.matches_thread and shades == known.brief.shades and not shades.free
    if not alike or not asked <= known.near.near.keys() or len(found.threads) != len(known.threads):
        return None
    if not all(map(_as_near, found.threads, known.threads)):
        return None
    dominance = _dominance(found, thin)
    unchanged = found.threads is known.threads and dominance == _dominance(known, thin)
    if unchanged and len(asked) == len(known.near):
        return known.near
    near = {one: known.near.near[one] for one in sorted(asked)}
    return Places(places_again(near, found.threads, dominance))


def _as_near(one: Thread, other: Thread) -> bool:
    """Tell whether two rows have the same places as near, and counting as much."""
    return one is other or (
        (one.sku, one.points, one.colours, one.kind)
        == (other.sku, other.points, other.colours, other.kind)
    )


def _reusable(
    known: Candidates, brief: Brief, catalogue: Catalogue, limited: Collection[str]
) -> Reused:
    """Return the candidates of categories that both briefs treat alike."""
    before, now = RowKeys(known.brief, catalogue), RowKeys(brief, catalogue)
    rows = {need: known.needs[need] for need in brief.holds if brief.buys(need)}
    for extra in known.extras:
        rows[extra.category] = (*rows.get(extra.category, ()), extra)
    return _chosen_charts(known, brief, catalogue, limited) | {
        category: rows.get(category, ())
        for category in {*catalogue.rows, *rows} - {*limited}
        if before.of(category) == now.of(category)
    }


def _chosen_charts(
    known: Candidates, brief: Brief, catalogue: Catalogue, limited: Collection[str]
) -> dict[str, tuple[Candidate, ...]]:
    """Return the known charts where a brief keeps, or leaves out, some that the known one did not.

    No other rows dominate charts, so a kept one is among them if it may enter a kit.
    """
    before, choose = known.brief.choose, brief.choose
    keep, gone = frozenset(choose.keep), frozenset(choose.leave_out)
    if not (set(before.keep) <= keep and set(before.leave_out) <= gone):
        return {}
    keep, gone = (
        catalogue.skus_of("chart", skus)
        for skus in (keep.difference(before.keep), gone.difference(before.leave_out))
    )
    if not (keep or gone) or "chart" in limited or not brief.buys("chart"):
        return {}
    others = {"keep": before.keep, "leave_out": before.leave_out}
    freed = brief.model_copy(update={"choose": choose.model_copy(update=others)})
    if RowKeys(freed, catalogue).of("chart") != RowKeys(known.brief, catalogue).of("chart"):
        return {}
    chosen = tuple(
        chart for chart in known.charts if chart.sku not in gone and (not keep or chart.sku in keep)
    )
    return {"chart": chosen} if not keep or len(chosen) == len(keep) else {}
