"""The cheapest-kit oracle: the least that is paid for a kit of a brief, asked of many briefs."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from itertools import chain
from typing import Any, NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.explain.no_kit.bare_offers import BareOffers, key_of
from kitsolver.explain.no_kit.bounds import NO_KIT, UNKNOWN, Bounds
from kitsolver.explain.no_kit.other_goods import restocked
from kitsolver.explain.proven import proven
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cheapest import Payable, kit_within, least_payable
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.category_rows import CategoryRows, SelectedCharts
from kitsolver.solve.presolve.possible_charts import ANY_DIFFERENCE
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.rules.rule import Mask, among
from kitsolver.solve.tally import Tally, tally
from kitsolver.solve.time_limit import TimeLimit

# The charts of so many kits are asked first in the next question.
_MOST_CHARTS = 3
# Of no more charts than this the least is asked for, and not any kit.
_FEW_CHARTS = 8
# A tolerance with which a chart mostly has a kit if it has one with thread of any colour.
_NEARER = "10"


class _Found(NamedTuple):
    """A kit, what it was chosen from, and whether no kit at all comes to less."""

    kit: Payable
    candidates: Candidates
    least: bool


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
    memory : RowMemory, optional
        Of the rows admitted in the catalogue before.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        solver: Solver,
        time_limit: TimeLimit,
        memory: RowMemory | None = None,
    ) -> None:
        self.catalogue, self.solver, self.time_limit = catalogue, solver, time_limit
        self._offered = BareOffers(catalogue, time_limit, memory)
        self._known: dict[str, Bounds] = {}
        # By the key of their brief, the sum paid, and whether every row is taken to be in stock.
        self._cheapest_kits: dict[str, tuple[Selection, Candidates] | None] = {}
        # The charts of the kits found last.
        self._charts: list[str] = []

    def restocked(self, skus: Collection[str]) -> CheapestKitOracle:
        """Return the oracle of the same catalogue in which some rows have unlimited stock."""
        return CheapestKitOracle(restocked(self.catalogue, skus), self.solver, self.time_limit)

    def least_paid(
        self, data: Mapping[str, Any], *, stocked: bool = False, at_most: int = NO_CAP
    ) -> int | None:
        """Return the least that is paid for a kit, whatever the cap; None if there is none.

        Parameters
        ----------
        data : mapping
            A brief in the form in which pydantic dumps it as JSON.
        stocked : bool
            Whether every row is taken to be in stock.
        at_most : int
            In minor units: kits that come to more are not looked for.

        Raises
        ------
        OutOfTime
            If there is no time left.
        """
        bare = self._offered.bare(data)
        key = key_of([bare, stocked])
        known = self._bounds(bare, key, stocked=stocked)
        if known.least != known.most and known.least <= at_most:
            found, limit = None, min(known.most, at_most)
            for most in self._offered.limits(bare, known.least, limit, stocked=stocked):
                candidates = self._offered.candidates(bare, stocked=stocked, within=most)
                found = least_payable(candidates, self.solver, self.time_limit, at_most=most)
                if found is not None:
                    break
            if found is not None:
                known = Bounds(found, found)
            else:
                # Without a bound there is no kit at all.
                known = known._replace(least=NO_KIT if limit == NO_CAP else limit + 1)
            self._known[key] = known
        return known.least if known.least == known.most <= at_most else None

    def has_kit(
        self,
        data: Mapping[str, Any],
        limit: int,
        *,
        stocked: bool = False,
        least_next: bool = True,
    ) -> bool:
        """Tell whether there is a kit that comes to no more than a limit, in minor units.

        The limit stands in for the cap; else it takes and raises what `least_paid` does.

        Parameters
        ----------
        least_next : bool
            Whether it may be asked next what is paid for it.
        """
        bare = self._offered.bare(data)
        key = key_of([bare, stocked])
        known = self._bounds(bare, key, stocked=stocked)
        if known.most > limit >= known.least:
            easier = self._quicker_questions(bare, limit, stocked=stocked)
            asked = {"stocked": stocked, "least": least_next}
            if any(
                self.has_kit(other, limit, stocked=there, least_next=False)
                for other, there in easier
            ):
                known = known._replace(most=limit)
            elif (found := self._kit_within(bare, known.least, limit, **asked)) is None:
                known = known._replace(least=limit + 1)
            else:
                known = known._replace(most=found.kit.paid)
                if found.least:
                    known = known._replace(least=found.kit.paid)
            self._known[key] = known
        return known.most <= limit

    def knows_kit(self, data: Mapping[str, Any], *, stocked: bool) -> bool:
        """Tell whether a kit is known from earlier questions, whatever is paid for it."""
        key = key_of([self._offered.bare(data), stocked])
        return self._known.get(key, UNKNOWN).most < NO_KIT

    def _quicker_questions(
        self, bare: Mapping[str, Any], limit: int, *, stocked: bool
    ) -> Iterator[tuple[Mapping[str, Any], bool]]:
        """Yield stricter briefs, and whether all rows are in stock, that mostly have a kit, too.

        There are some where a chart is kept that is not seen to be too dear. Of the true stock more
        is known already. And all thread of a shop is much to choose from, but few charts need
        thread that is far off, unless only such thread is cheap enough.
        """
        shades = bare["shades"]
        any_colour = Decimal(shades["tolerance"]) >= ANY_DIFFERENCE and limit == NO_CAP
        if not (any_colour or stocked) or not self._offered.keeps_chart(bare):
            return
        if self._offered.too_dear(bare, limit, stocked=stocked):
            return
        if any_colour:
            yield {**bare, "shades": {**shades, "tolerance": _NEARER}}, stocked
        else:
            yield bare, False

    def some_kit(self, data: Mapping[str, Any], limit: int, *, stocked: bool) -> Tally | None:
        """Return what some kit that comes to no more than a limit adds up to; None if none does.

        The brief has a rule of its own that ties choices, such as a limit.
        """
        bare = self._offered.bare(data)
        found = self._kit_within(bare, 0, limit, stocked=stocked, least=True)
        if found is None or found.kit.selection is None:
            return None
        return tally(found.kit.selection, found.candidates)

    def cheapest_kit(self, data: Mapping[str, Any], least: int, *, stocked: bool) -> Kit | None:
        """Return a kit for which the least is paid, which is known; None if there is none.

        Raises
        ------
        OutOfTime
            If it is not known in time.
        """
        found = self._cheapest(data, least, stocked=stocked)
        return None if found is None else audited(*found, self._offered.goods(stocked))

    def cheapest_sums(self, data: Mapping[str, Any], least: int, *, stocked: bool) -> Tally | None:
        """Return what the kit of `cheapest_kit` adds up to."""
        found = self._cheapest(data, least, stocked=stocked)
        return None if found is None else tally(*found)

    def candidates(
        self,
        data: Mapping[str, Any],
        *,
        stocked: bool,
        within: int | None = None,
        charts: SelectedCharts | None = None,
    ) -> Candidates:
        """Return what a kit may be chosen from where quality counts for nothing.

        Parameters
        ----------
        within : int, optional
            In minor units: rows may be left out with which every kit comes to more.
        charts : callable, optional
            Returns which charts are enough. Limits may make one row depend on the others, and then
            all are found.
        """
        bare = self._offered.bare(data)
        selected = None if bare["limits"] else charts
        return self._offered.candidates(bare, stocked=stocked, within=within, charts=selected)

    def rows(self, data: Mapping[str, Any], *, stocked: bool) -> CategoryRows:
        """Return the rows that may be in a kit where quality counts for nothing."""
        return self._offered.rows(self._offered.bare(data), stocked)

    def too_dear(self, data: Mapping[str, Any], limit: int, *, stocked: bool) -> bool:
        """Tell whether it is seen on arrays that every kit comes to more than a limit."""
        return self._offered.too_dear(self._offered.bare(data), limit, stocked=stocked)

    def barred_keeps(self, data: Mapping[str, Any], *, stocked: bool) -> tuple[str, ...]:
        """Return the kept skus that may not enter a kit by themselves.

        Only kept rows are looked at, unless limits make one row depend on the others.
        """
        return self._offered.barred_keeps(self._offered.bare(data), stocked=stocked)

    def brief_of(self, data: Mapping[str, Any]) -> Brief:
        """Return the brief of some data; the same data is read once."""
        return self._offered.brief_of(data)

    def _bounds(self, bare: Mapping[str, Any], key: str, *, stocked: bool) -> Bounds:
        """Return what is known of the least that is paid, for the key of a brief."""
        if key not in self._known:
            # What is kept but barred is told without the other rows, unless there are limits.
            alone = bare["choose"]["keep"] and not bare["limits"]
            barred = alone and self._offered.barred_keeps(bare, stocked=stocked)
            self._known[key] = Bounds(NO_KIT, NO_KIT) if barred else UNKNOWN
        return self._known[key]

    def _cheapest(
        self, data: Mapping[str, Any], least: int, *, stocked: bool
    ) -> tuple[Selection, Candidates] | None:
        """Return the selection of a kit for which the least is paid, and what it is chosen from."""
        bare = self._offered.bare(data)
        key = key_of([bare, least, stocked])
        if key not in self._cheapest_kits:
            candidates = self._offered.candidates(bare, stocked=stocked, within=least)
            capped = replace(candidates, brief=candidates.brief.with_cap(least))
            selection = proven(capped, self.solver, self.time_limit)
            self._cheapest_kits[key] = None if selection is None else (selection, capped)
        return self._cheapest_kits[key]

    def _kit_within(
        self, bare: Mapping[str, Any], floor: int, limit: int, *, stocked: bool, least: bool
    ) -> _Found | None:
        """Return some kit within a limit; None if there is none. No kit comes to less than `floor`.

        If `least` is asked for, it is the cheapest one where that is found as fast as any. Charts
        of the kits found last are asked first: briefs that are asked of resemble each other.
        """
        limits = self._offered.limits(bare, floor, limit, stocked=stocked)
        first = next(limits, None)
        if first is None:
            return None
        # Limits may make one row depend on the others, so that charts are not found by themselves.
        alone = not bare["limits"] and self._offered.brief_of(bare).buys("chart")
        known = self._charts and alone and not self._offered.keeps_chart(bare)
        asked = [(limit, self._of_known_charts)] if known else []
        for most, charts in chain(asked, ((most, None) for most in chain([first], limits))):
            self.time_limit.check()
            candidates = self._offered.candidates(bare, stocked=stocked, within=most, charts=charts)
            few = charts is None and len(candidates.charts) <= _FEW_CHARTS and not candidates.tied
            # Nobody asks what is paid for rows that are not in stock, or without a cap.
            few = few and least and not stocked and limit < NO_CAP
            kit = kit_within(candidates, most, self.solver, self.time_limit, least=few)
            if kit is not None:
                latest = dict.fromkeys([kit.chart, *self._charts])
                self._charts = list(latest)[:_MOST_CHARTS]
                return _Found(kit, candidates, few)
        return None

    def _of_known_charts(self, rows: CategoryRows) -> Mask | None:
        """Return which charts are those of the kits found last; None where the shop has none."""
        charts = rows.admitted("chart")
        return None if charts is None else among(charts.table["sku"], self._charts)
