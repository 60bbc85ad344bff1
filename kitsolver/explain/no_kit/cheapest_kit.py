"""The least that is paid for any kit, asked again and again of briefs that differ a little."""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from functools import cached_property
from typing import Any

from kitsolver.brief.reading import brief_of
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.search import least_payable
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit


class Least:
    """What the cheapest kit of a catalogue comes to, for any brief.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    solver : Solver
        Behind charts that are not for staircases.
    time_limit : TimeLimit
        Nothing is asked when it has run out.
    """

    def __init__(self, catalogue: Catalogue, solver: Solver, time_limit: TimeLimit) -> None:
        self.catalogue, self.solver, self.time_limit = catalogue, solver, time_limit
        # By brief what was found, and whether it is the least or only enough.
        # The first that were asked for, by whether goods are taken to be in stock.
        self._offers: dict[bool, Candidates] = {}
        # By brief what was found, and whether it is the least or only enough.
        self._known: dict[str, tuple[int | None, bool]] = {}

    @cached_property
    def stocked(self) -> Catalogue:
        """The same catalogue with as much of everything as anyone asks for."""
        shelves = {
            category: shelf.assign(stock=UNLIMITED)
            for category, shelf in self.catalogue.shelves.items()
        }
        text = self.catalogue.text
        blank = {"stock": ""} if "stock" in text else {}
        return replace(self.catalogue, shelves=shelves, text=text.assign(**blank))

    def paid(
        self, data: Mapping[str, Any], *, stocked: bool = False, enough: int = -1
    ) -> int | None:
        """Return the least that is paid for a kit, whatever the cap; None if there is none.

        Parameters
        ----------
        data : mapping
            A brief as it is dumped.
        stocked : bool
            Whether goods are taken to be in stock.
        enough : int
            In minor units: what comes to no more will do, even if something comes to less.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        bare = self.bare(data)
        key = json.dumps([bare, stocked], sort_keys=True)
        found, exact = self._known.get(key, (None, False))
        if not exact and (found is None or found > enough):
            self.time_limit.check()
            goods = self.stocked if stocked else self.catalogue
            known = self._offers.get(stocked)
            candidates = find_candidates(goods, brief_of(bare), thin=True, known=known)
            self._offers.setdefault(stocked, candidates)
            found = least_payable(candidates, self.solver, self.time_limit, enough=enough)
            self._known[key] = found, found is None or found > enough
        return found

    def bare(self, data: Mapping[str, Any]) -> dict[str, Any]:
        """Return a brief without what counts for quality alone, so that few rows are left."""
        bare = deepcopy(dict(data)) | {"title": "", "cap": "0", "cap_per_head": None}
        for table in bare["needs"].values():
            if table is not None:
                table["weight"] = "0"
        till = bare["till"]
        free = float(till["delivery"]) and float(till["delivery_free_from"])
        if not free and not any(self._is_extra(sku, bare) for sku in bare["choose"]["keep"]):
            bare["extras"] = {"spend": "none"}
        return bare

    def _is_extra(self, sku: str, data: Mapping[str, Any]) -> bool:
        return self.catalogue.row(sku)["category"] not in data["holds"]
