"""Why one row of the catalogue is in the best kit or not, and what would bring it in."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from functools import partial

from kitsolver.brief.against_findings import UnknownSku
from kitsolver.brief.brief import Brief
from kitsolver.brief.choosing import keeping, leaving_out
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.best_kits import BestKits
from kitsolver.explain.break_even import price_to_be_best, quality_to_be_best
from kitsolver.explain.demands.registry import barring
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.no_kit.why_no_kit import NoKit, why_no_kit
from kitsolver.explain.not_offered import passed_over_sentences, refusal_sentences
from kitsolver.explain.proven import Unproven
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, nearest
from kitsolver.shop.money import held_per_minor, to_decimal
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.audited import audited
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# The best kit; the best kit with the row, or that there is none; and the rest.
_STEPS = 3


class Verdict(StrEnum):
    """What is to be said of a row."""

    IN = "in the best kit"
    BEATEN = "beaten"
    BARRED = "barred"
    REFUSED = "refused"
    PASSED_OVER = "passed over"
    NO_KIT = "no kit"
    UNKNOWN = "not known in time"


@dataclass(frozen=True)
class WhyNot(ShowsItself):
    """Why a row is not in the best kit.

    Parameters
    ----------
    verdict : Verdict
        ``barred`` if no kit can hold the row; ``refused`` or ``passed over`` if the catalogue does
        not offer it; ``no kit`` if there is none at all; ``not known in time`` if the time limit
        passed before one of them was proven.
    barred : tuple of str
        What keeps the row out by itself, as sentences about it.
    best, with_it : Kit or None
        The best kit, and the best of those with the row.
    without : Kit or None
        Where the row is in the best kit: the best of those that do without it.
    price : int or None
        In minor units: at this price or less the row would be in the best kit. None if not known.
    quality : int or None
        In hundredths: with this quality or more the row would be in the best kit. None if no
        quality would do, or that is not known.
    why : NoKit or None
        Why there is no kit, or none with the row. None where no demand of the brief is in the way,
        but goods that are beside the row in every kit: `barred` says which.
    name : str
        The row's name; blank where the catalogue does not offer it.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    bound : Figures or None
        What no kit beats, where time ran out before `best` was proven; else None.
    complete : bool
        Whether time did not run out.
    """

    brief: Brief
    sku: str
    verdict: Verdict
    barred: tuple[str, ...] = ()
    best: Kit | None = None
    with_it: Kit | None = None
    without: Kit | None = None
    price: int | None = None
    quality: int | None = None
    why: NoKit | None = None
    name: str = ""
    row_counts: RowCounts = NOT_COUNTED
    bound: Figures | None = None
    complete: bool = True

    @property
    def price_decimal(self) -> Decimal | None:
        """`price` in the currency's units."""
        return None if self.price is None else to_decimal(self.price, self.brief.currency)

    @property
    def quality_decimal(self) -> Decimal | None:
        """`quality` from 0 to 100."""
        return None if self.quality is None else Decimal(self.quality) / 100


def why_not(
    catalogue: Catalogue,
    brief: Brief,
    sku: str,
    *,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    progress: Progress | None = None,
    validated: bool = False,
) -> WhyNot:
    """Return why a row is in the best kit, or why not.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        What is asked.
    sku : str
        The row.
    solver : Solver
        The mixed-integer solver for charts that are too large for frontiers.
    seconds : float, optional
        Time limit. When it passes, what is known by then is told.
    progress : callable, optional
        Told the steps done and the steps there are.
    validated : bool
        Whether the brief was held against the catalogue before, so that it need not be again.

    Raises
    ------
    BadInput
        If the catalogue has no such row, or the brief names what it does not have.
    OutOfTime
        If the time limit passed before any kit was found.
    AuditFailed, SolverFault
        If the program is at fault.
    """
    time_limit = TimeLimit(seconds)
    if not validated:
        validate_against(brief, catalogue)
    if sku in catalogue:
        told = progress or (lambda *_: None)
        found = _OfferedRow(catalogue, brief, sku, solver, time_limit, told).answer()
        found = replace(found, name=catalogue.row(sku)["name"])
    else:
        found = _of_not_offered(catalogue, brief, sku)
    return replace(found, row_counts=catalogue.row_counts)


def _of_not_offered(catalogue: Catalogue, brief: Brief, sku: str) -> WhyNot:
    """Say why the catalogue does not offer a row.

    Raises
    ------
    BadInput
        If its source has no such row.
    """
    if sku in catalogue.refused:
        return WhyNot(brief, sku, Verdict.REFUSED, tuple(refusal_sentences(sku, catalogue)))
    if sku in catalogue.passed_over:
        return WhyNot(brief, sku, Verdict.PASSED_OVER, tuple(passed_over_sentences(sku, catalogue)))
    hint = nearest(sku, catalogue.skus)
    found = UnknownSku(file=catalogue.name, column="the command", value=sku, detail=hint)
    raise BadInput([found])


class _OfferedRow:
    """A row that the catalogue offers, and why it is in the best kit or not."""

    def __init__(
        self,
        catalogue: Catalogue,
        brief: Brief,
        sku: str,
        solver: Solver,
        time_limit: TimeLimit,
        progress: Progress,
    ) -> None:
        self.catalogue, self.brief, self.sku = catalogue, brief, sku
        self.solver, self.time_limit, self.progress = solver, time_limit, progress
        self.told = partial(WhyNot, brief, sku)
        self.memory = RowMemory()
        self.oracle = CheapestKitOracle(catalogue, solver, time_limit, self.memory)

    def answer(self) -> WhyNot:
        """Return the answer, or what is known of it when time runs out."""
        self.progress(0, _STEPS)
        kits = self._kits_of(self.brief)
        try:
            best = kits.best(kits.charts)
        except Unproven as early:
            so_far = audited(early.found.selection, kits.charts.candidates, self.catalogue)
            return self.told(Verdict.UNKNOWN, best=so_far, bound=early.found.bound, complete=False)
        if best is None:
            why = self._why_no_kit(self.brief)
            return self.told(Verdict.NO_KIT, why=why, complete=why.complete)
        self.progress(1, _STEPS)
        try:
            if any(line.sku == self.sku for line in best.lines):
                return self._in_best(best, kits)
            return self._not_in_best(best, kits)
        except OutOfTime:
            return self.told(Verdict.UNKNOWN, best=best, complete=False)

    def _kits_of(self, brief: Brief) -> BestKits:
        held = int(self.catalogue.goods(self.sku)["price"])
        price = held // held_per_minor(brief.currency)
        return BestKits(
            self.catalogue, brief, price, self.solver, self.time_limit, memory=self.memory
        )

    def _in_best(self, best: Kit, kits: BestKits) -> WhyNot:
        """Answer for a row of the best kit: what would be without it."""
        left = leaving_out(self.brief, [self.sku])
        try:
            without = kits.best(kits.charts_of(left))
        except OutOfTime:
            return self.told(Verdict.IN, best=best, complete=False)
        return self.told(Verdict.IN, best=best, without=without)

    def _not_in_best(self, best: Kit, kits: BestKits) -> WhyNot:
        """Answer for a row that is not in the best kit."""
        barred = tuple(barring(self.sku, self.brief, self.catalogue))
        forced = keeping(self.brief, [self.sku])
        left_out = self.sku in self.brief.choose.leave_out
        if left_out:
            # Once it is let in, other kits may be the best.
            kits = self._kits_of(forced)
        elif not (barred or kits.charts.candidates.tied) and self._chart_too_dear(forced):
            return self._no_kit_with_it(forced, best)
        charts = kits.charts if left_out else kits.charts_of(forced)
        candidates = charts.candidates
        if barred and not candidates.unavailable_keeps and not left_out:
            # No demand of the brief bars the row, but the goods beside which it would stand.
            return self.told(Verdict.BARRED, barred, best)
        with_it = kits.best(charts)
        self.progress(2, _STEPS)
        if with_it is None:
            return self._no_kit_with_it(forced, best, barred)
        price, complete = None, True
        try:
            price = price_to_be_best(self.sku, best, charts, self.solver, self.time_limit)
        except OutOfTime:
            complete = False
        return self.told(
            Verdict.BARRED if left_out else Verdict.BEATEN,
            barred=barred if left_out else (),
            best=best,
            with_it=with_it,
            price=price,
            quality=quality_to_be_best(self.sku, best, with_it, candidates),
            complete=complete,
        )

    def _chart_too_dear(self, forced: Brief) -> bool:
        """Tell whether the row is a chart with which every kit comes to more than the cap.

        Of one chart that is sooner known than the best kit.
        """
        if self.catalogue.category(self.sku) != "chart" or not forced.buys("chart"):
            return False
        least = RelaxedBrief.of(forced, self.oracle).least_paid
        return least is None or least > forced.total_cap

    def _no_kit_with_it(self, forced: Brief, best: Kit, barred: tuple[str, ...] = ()) -> WhyNot:
        """Return that no kit holds the row, and why."""
        why = self._why_no_kit(forced, hard=(self.sku,))
        return self.told(Verdict.BARRED, barred, best, why=why, complete=why.complete)

    def _why_no_kit(self, brief: Brief, hard: Collection[str] = ()) -> NoKit:
        return why_no_kit(
            self.catalogue,
            brief,
            hard=hard,
            solver=self.solver,
            time_limit=self.time_limit,
            oracle=self.oracle,
        )
