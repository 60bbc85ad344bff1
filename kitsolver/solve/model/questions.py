"""The best kit in the order of its figures, one figure after the other, then the smallest."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from kitsolver.solve.candidates.candidates import Offers
from kitsolver.solve.model.kit_model import NO_CAP
from kitsolver.solve.model.colour_groups import dark_to_light
from kitsolver.solve.model.lexicographic import Found, Progress, Search
from kitsolver.solve.model.solver import Clock, OutOfTime, Solver
from kitsolver.solve.tally import tally


def best(
    offers: Offers,
    solver: Solver = Solver.SCIP,
    clock: Clock | None = None,
    progress: Progress | None = None,
) -> Found | None:
    """Return the proven best choice, or the best found in time; None if there is none.

    Raises
    ------
    OutOfTime
        If the clock ran out before any choice was found.
    SolverFault
        If the solver failed, or answered with something that breaks a rule.
    """
    if offers.hopeless:
        return None
    clock = clock or Clock()
    ordered = None
    if offers.many_colours and offers.brief.shades.keep_values:
        ordered = _dark_to_light(offers, solver, clock)
        if ordered is not None and (ordered.proven or clock.left == 0):
            return ordered
    search = Search(offers, solver, clock, offers.brief.total_cap)
    try:
        found = search.through(search.order, progress or (lambda *_: None))
    except OutOfTime:
        if ordered is None:
            raise
        return ordered
    if found is None or not found.proven or not offers.free or offers.many_colours:
        return found
    return _told_apart(found, offers, solver, clock)


def _dark_to_light(offers: Offers, solver: Solver, clock: Clock) -> Found | None:
    """Return a choice of many free colours, found in any order and then put in order.

    In any order there is no less to be had. So if what was found comes to the same once its places
    go from dark to light, nothing in order beats it. None if in order it is no kit.
    """
    shades = offers.brief.shades.model_copy(update={"keep_values": False})
    any_order = replace(offers, brief=offers.brief.model_copy(update={"shades": shades}))
    search = Search(any_order, solver, clock, offers.brief.total_cap)
    found = None
    with suppress(OutOfTime):
        found = search.through(search.order, lambda *_: None)
    if found is None:
        return None
    choice = replace(found.choice, places=dark_to_light(found.choice, offers))
    before, after = tally(found.choice, offers), tally(choice, offers)
    rows = {place.thread.sku: place.thread for place in choice.places if place.thread.sku}
    limit = offers.brief.most_trade_cost
    if (
        after.receipt.payable > offers.brief.total_cap
        or any(after.units[sku] > row.stock for sku, row in rows.items())
        or (limit is not None and after.trade > limit)
    ):
        return None
    proven = found.proven and before.receipt == after.receipt
    return replace(found, choice=choice, proven=proven)


def _told_apart(found: Found, offers: Offers, solver: Solver, clock: Clock) -> Found:
    """Go through the kits of the same lines, in which colours no longer stand for each other."""
    rows = offers.only(tally(found.choice, offers).units)
    search = Search(rows, solver, clock, offers.brief.total_cap, apart=True)
    with suppress(OutOfTime):
        if again := search.through(search.order, lambda *_: None):
            return replace(found, choice=again.choice, proven=again.proven)
    return replace(found, proven=False)


def peak(offers: Offers, solver: Solver, clock: Clock, at_least: Fraction | None) -> Found | None:
    """Return a choice with the most of the first figure; None if there is none.

    Parameters
    ----------
    at_least : Fraction, optional
        In weighed points: what is below is of no interest.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    search = Search(offers, solver, clock, offers.brief.total_cap)
    together = offers.brief.extras.spend == "together"
    if at_least is not None:
        search.reach(at_least)
    return search.through([search.together if together else search.quality], lambda *_: None)


def cheapest(offers: Offers, solver: Solver, clock: Clock) -> Found | None:
    """Return the choice for which least is paid, whatever the cap; None if there is none.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    search = Search(offers, solver, clock, cap=NO_CAP)
    return search.through([search.pay_least], lambda *_: None)


def nearest(
    offers: Offers, held: Collection[str], solver: Solver, clock: Clock
) -> tuple[Found, int] | None:
    """Return the best choice of those that change fewest lines of a kit, and how many it changes.

    A row of the kit that is not taken is a change, and so is an extra that comes.

    Parameters
    ----------
    held : collection of str
        The skus of the kit.

    Raises
    ------
    OutOfTime, SolverFault
        As `best` does.
    """
    if offers.hopeless:
        return None
    search = Search(offers, solver, clock, offers.brief.total_cap)
    found = search.through([lambda: search.hold(held), *search.order], lambda *_: None)
    if found is None:
        return None
    taken = set(tally(found.choice, offers).units)
    extras = {extra.sku for extra in found.choice.extras}
    return found, len(set(held) - taken) + len(extras - set(held))
