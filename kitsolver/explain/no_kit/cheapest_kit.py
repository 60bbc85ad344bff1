"""The cheapest-kit oracle: the least that is paid for a kit of a brief, asked of many briefs."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from copy import deepcopy
from dataclasses import replace
from functools import cached_property
from typing import Any

from kitsolver.brief.goods import NEVER_UNASKED
from kitsolver.brief.reading import brief_of
from kitsolver.explain.proven import proven
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


class CheapestKitOracle:
    """Knows the least that is paid for a kit of a catalogue, for any brief; remembers answers.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    solver : Solver
        The mixed-integer solver for charts that are too large for frontiers.
    time_limit : TimeLimit
        Once it has run out, every new question raises `OutOfTime`.
    """

    def __init__(self, catalogue: Catalogue, solver: Solver, time_limit: TimeLimit) -> None:
        self.catalogue, self.solver, self.time_limit = catalogue, solver, time_limit
        # The first candidates that were found, by whether every row is taken to be in stock.
        self._first: dict[bool, Candidates] = {}
        # By kept skus, and whether every row is taken to be in stock, the catalogue of these alone.
        self._kept: dict[tuple[tuple[str, ...], bool], Catalogue] = {}
        # By brief what was found, and whether it is the least or only enough.
        self._known: dict[str, tuple[int | None, bool]] = {}

    @cached_property
    def _stocked(self) -> Catalogue:
        return _restocked(self.catalogue, self.catalogue.skus)

    def restocked(self, skus: Collection[str]) -> CheapestKitOracle:
        """Return the oracle of the same catalogue in which some rows have unlimited stock."""
        return CheapestKitOracle(_restocked(self.catalogue, skus), self.solver, self.time_limit)

    def least_paid(
        self, data: Mapping[str, Any], *, stocked: bool = False, enough: int = -1
    ) -> int | None:
        """Return the least that is paid for a kit, whatever the cap; None if there is none.

        Parameters
        ----------
        data : mapping
            A brief in the form in which pydantic dumps it as JSON.
        stocked : bool
            Whether every row is taken to be in stock.
        enough : int
            In minor units. A kit that comes to no more is good enough: its price may be returned
            although another kit costs less.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        bare = self._bare(data)
        key = json.dumps([bare, stocked], sort_keys=True)
        found, exact = self._known.get(key, (None, False))
        if not exact and (found is None or found > enough):
            self.time_limit.check()
            candidates = self._candidates(bare, stocked=stocked)
            found = least_payable(candidates, self.solver, self.time_limit, enough=enough)
            self._known[key] = found, found is None or found > enough
        return found

    def cheapest_kit(self, data: Mapping[str, Any], least: int, *, stocked: bool) -> Kit | None:
        """Return a kit for which the least is paid, which is known; None if there is none.

        Raises
        ------
        OutOfTime
            If it is not known in time.
        """
        bare = self._bare(data)
        candidates = self._candidates(bare, stocked=stocked)
        capped = replace(candidates, brief=candidates.brief.with_cap(least))
        selection = proven(capped, self.solver, self.time_limit)
        return None if selection is None else audited(selection, capped, self._goods(stocked))

    def candidates(self, data: Mapping[str, Any], *, stocked: bool) -> Candidates:
        """Return what a kit may be chosen from where quality counts for nothing."""
        return self._candidates(self._bare(data), stocked=stocked)

    def barred_keeps(self, data: Mapping[str, Any], *, stocked: bool) -> tuple[str, ...]:
        """Return the kept skus that may not enter a kit by themselves.

        Only kept rows are looked at, unless limits make one row depend on the others.
        """
        bare = self._bare(data)
        keep = tuple(bare["choose"]["keep"])
        if not keep or bare["limits"]:
            return self._candidates(bare, stocked=stocked).unavailable_keeps
        key = keep, stocked
        if key not in self._kept:
            self._kept[key] = _with_rows(self._goods(stocked), keep)
        return find_candidates(self._kept[key], brief_of(bare), thin=True).unavailable_keeps

    def _candidates(self, bare: Mapping[str, Any], *, stocked: bool) -> Candidates:
        known = self._first.get(stocked)
        found = find_candidates(self._goods(stocked), brief_of(bare), thin=True, known=known)
        return self._first.setdefault(stocked, found) if known is None else found

    def _goods(self, stocked: bool) -> Catalogue:
        return self._stocked if stocked else self.catalogue

    def _bare(self, data: Mapping[str, Any]) -> dict[str, Any]:
        """Return a brief without what counts for quality alone, so that few rows are left."""
        bare = deepcopy(dict(data)) | {"title": "", "cap": "0", "cap_per_head": None}
        for table in bare["needs"].values():
            if table is not None:
                table["weight"] = "0"
        till = bare["till"]
        if float(till["delivery"]) and float(till["delivery_free_from"]):
            # An extra can make delivery free.
            return bare
        if brief_of(bare).may_need_extras:
            return bare
        row, extras = self.catalogue.row, bare["extras"]
        kept = {row(sku)["category"] for sku in bare["choose"]["keep"]} - {*bare["holds"]}
        if not kept:
            bare["extras"] = {"spend": "none"}
        elif extras["spend"] != "none":
            asked = extras["categories"]
            allowed = kept - NEVER_UNASKED if asked is None else kept.intersection(asked)
            bare["extras"] = {**extras, "categories": sorted(allowed)}
        return bare


def _with_rows(catalogue: Catalogue, skus: Collection[str]) -> Catalogue:
    """Return a catalogue of some rows alone."""
    shelves = {}
    for category in sorted({catalogue.row(sku)["category"] for sku in skus}):
        shelf = catalogue.shelves[category]
        shelves[category] = shelf[shelf["sku"].isin(skus)]
    text = catalogue.text
    return replace(catalogue, shelves=shelves, text=text[text["sku"].isin(skus)])


def _restocked(catalogue: Catalogue, skus: Collection[str]) -> Catalogue:
    """Return a catalogue in which some rows have unlimited stock."""
    shelves = {
        category: shelf.assign(stock=shelf["stock"].where(~shelf["sku"].isin(skus), UNLIMITED))
        for category, shelf in catalogue.shelves.items()
    }
    text = catalogue.text
    if "stock" in text:
        text = text.assign(stock=text["stock"].where(~text["sku"].isin(skus), ""))
    home = catalogue.home
    if home is not None:
        # As if the shop sold what is only at home, at no price.
        rows = {
            sku: replace(row, only_here=row.only_here and sku not in skus)
            for sku, row in home.rows.items()
        }
        home = replace(home, rows=rows)
    return replace(catalogue, shelves=shelves, text=text, home=home)
