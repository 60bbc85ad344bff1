"""Parts a search by rules of one's own into branches in which these rules hold by themselves.

Rows that are to be alike have one value in common, so there is a branch for each value, with the
rows that have it. A row that makes a pair ask is not in the kit, or what the pair asks for holds:
these are two branches, or more where rows of several categories will do. Every kit is in one of the
branches, and every kit of a branch keeps to the rules. So the best kit of all branches is the best,
and each branch is a search in which frontiers add up, but for limits. Limits on the number of
extras hold by themselves, too (`counted_extras.py`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable
from dataclasses import replace
from functools import partial

from kitsolver.brief.own_rules import Alike, Pair
from kitsolver.solve.candidates.candidate import Candidate
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.counted_extras import with_extras_counted
from kitsolver.solve.presolve.limited import within_limits
from kitsolver.solve.rules.alike import values_of
from kitsolver.solve.rules.pairs import asked_of, if_of

# With more branches than these, charts are models instead.
_MOST = 24
# The rules of one's own, of which frontiers hold every kit.
_OWN = frozenset({"limits", "pairs", "alike"})

_Branches = list[Candidates]


def branches(candidates: Candidates, relaxed: Collection[str] = _OWN) -> _Branches | None:
    """Return the branches that a kit may be in; None if the search is not to be parted.

    Parameters
    ----------
    relaxed : collection of str
        The rules that the search holds kits against afterwards. It is not parted if others tie
        choices.
    """
    brief = candidates.brief
    if not candidates.tied or not set(candidates.tied_by) <= set(relaxed):
        return None
    found = [candidates]
    # A rule by which the search cannot be parted stays for the models of charts.
    kept: set[str] = set()
    parting = [("alike", partial(_alike, rule)) for rule in brief.alike]
    parting += [("pairs", partial(_pair, pair)) for pair in brief.pairs]
    for kind, parted in parting:
        parts = [parted(one) for one in found]
        more = [one for part in parts for one in part or ()]
        if None in parts or len(more) > _MOST:
            kept.add(kind)
        else:
            found = more
    parted_by = {kind for kind, _ in parting} - kept
    left = tuple(name for name in candidates.tied_by if name not in parted_by)
    if left != candidates.tied_by:
        found = [replace(one, tied_by=left) for one in found]
    counted = list(map(with_extras_counted, found))
    if len(counted) == 1 and counted[0] is candidates:
        return None
    within = map(within_limits, counted)
    return [one for one in within if not one.infeasible]


def _alike(rule: Alike, candidates: Candidates) -> _Branches | None:
    """Return a branch for each value that rows may have in common."""
    name = values_of(rule)
    possible: set[object] | None = None
    every: set[object] = set()
    for need, rows in candidates.needs.items():
        said = [row.values(name) for row in rows]
        some = {value for values in said if values is not None for value in values}
        every |= some
        matched = need == "thread" and candidates.matches_thread
        if None not in said and not matched:
            possible = some if possible is None else possible & some
    every |= {value for extra in candidates.extras for value in extra.values(name) or ()}
    if not every:
        return [candidates]
    values = every if possible is None else possible
    if len(values) > _MOST:
        return None
    in_order = sorted(values, key=lambda value: (str(type(value)), str(value)))
    return [_having(candidates, name, value) for value in in_order]


def _having(candidates: Candidates, name: str, value: object) -> Candidates:
    def lacks(row: Candidate) -> bool:
        values = row.values(name)
        return values is not None and value not in values

    return _without(candidates, lacks)


def _pair(pair: Pair, candidates: Candidates) -> _Branches | None:
    """Return a branch in which nothing makes a pair ask, and those in which it is met."""
    asks, asked = if_of(pair), asked_of(pair)
    side, _ = pair.asks
    always = pair.if_ is None
    silent = [] if always else [_without(candidates, lambda row: bool(row.measure(asks)))]
    if side != "with":
        return [*silent, _without(candidates, lambda row: bool(row.measure(asked)))]
    met = _holding(candidates, lambda row: bool(row.measure(asked)))
    return None if met is None else [*silent, *met]


def _holding(candidates: Candidates, meant: Callable[[Candidate], bool]) -> _Branches | None:
    """Return branches in one of which every kit is that holds a row of some; None if not known."""
    found = []
    for need, rows in candidates.needs.items():
        some = tuple(filter(meant, rows))
        matched = need == "thread" and candidates.matches_thread
        if some == rows and not matched:
            return [candidates]
        if some and matched:
            return None
        if some:
            found.append(replace(candidates, needs={**candidates.needs, need: some}))
    by_category: dict[str, list[Candidate]] = defaultdict(list)
    for extra in filter(meant, candidates.extras):
        by_category[extra.category].append(extra)
    for category, some_extras in by_category.items():
        extras = (x for x in candidates.extras if x.category != category or x in some_extras)
        forced = candidates.forced | {category}
        found.append(replace(candidates, extras=tuple(extras), forced=forced))
    return found


def _without(candidates: Candidates, barred: Callable[[Candidate], bool]) -> Candidates:
    """Return the candidates without some rows, also as thread that matches colours."""

    def left(rows: Iterable[Candidate]) -> tuple[Candidate, ...]:
        return tuple(row for row in rows if not barred(row))

    return replace(
        candidates,
        needs={need: left(rows) for need, rows in candidates.needs.items()},
        extras=left(candidates.extras),
        near=candidates.near.where(lambda thread: not barred(thread)),
    )
