"""Why one row of the catalogue is in the best kit or not, and what would bring it in."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from itertools import chain
from math import floor

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_findings import UnknownSku
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.changed import comparison_key, keeping, leaving_out
from kitsolver.explain.demands.registry import barring
from kitsolver.explain.no_kit.why_no_kit import NoKit, why_no_kit
from kitsolver.explain.not_offered import passed_over_sentences, refusal_sentences
from kitsolver.explain.proven import Unproven, proven
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, nearest
from kitsolver.shop.money import to_decimal
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.subproblems import Subproblems
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures, figures
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.search_result import Progress
from kitsolver.solve.tally import tally
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

_MOST_POINTS = 100_00
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

    def answer(self) -> WhyNot:
        """Return the answer, or what is known of it when time runs out."""
        self.progress(0, _STEPS)
        whole = find_candidates(self.catalogue, self.brief, thin=True)
        try:
            best = self._best(whole)
        except Unproven as early:
            so_far = audited(early.found.selection, whole, self.catalogue)
            return WhyNot(
                self.brief,
                self.sku,
                Verdict.UNKNOWN,
                best=so_far,
                bound=early.found.bound,
                complete=False,
            )
        if best is None:
            why = self._why_no_kit(self.brief)
            return WhyNot(self.brief, self.sku, Verdict.NO_KIT, why=why, complete=why.complete)
        self.progress(1, _STEPS)
        try:
            if any(line.sku == self.sku for line in best.lines):
                return self._in_best(best, whole)
            return self._not_in_best(best, whole)
        except OutOfTime:
            return WhyNot(self.brief, self.sku, Verdict.UNKNOWN, best=best, complete=False)

    def _in_best(self, best: Kit, whole: Candidates) -> WhyNot:
        """Answer for a row of the best kit: what would be without it."""
        left = leaving_out(self.brief, [self.sku])
        rest = find_candidates(self.catalogue, left, thin=True, known=whole)
        try:
            without = self._best(rest)
        except OutOfTime:
            return WhyNot(self.brief, self.sku, Verdict.IN, best=best, complete=False)
        return WhyNot(self.brief, self.sku, Verdict.IN, best=best, without=without)

    def _not_in_best(self, best: Kit, whole: Candidates) -> WhyNot:
        """Answer for a row that is not in the best kit."""
        barred = tuple(barring(self.sku, self.brief, self.catalogue))
        forced = keeping(self.brief, [self.sku])
        candidates = _with_charts_for(
            self.sku, find_candidates(self.catalogue, forced, thin=True, known=whole)
        )
        left_out = self.sku in self.brief.choose.leave_out
        if barred and not candidates.unavailable_keeps and not left_out:
            # No demand of the brief bars the row, but the goods beside which it would stand.
            return WhyNot(self.brief, self.sku, Verdict.BARRED, barred, best)
        least, most = map(candidates.most_goods, (forced.total_cap, _beyond(self.sku, candidates)))
        charts = Subproblems(candidates, least, most)
        with_it = self._best(candidates, charts)
        self.progress(2, _STEPS)
        if with_it is None:
            why = self._why_no_kit(forced, hard=(self.sku,))
            return WhyNot(
                self.brief,
                self.sku,
                Verdict.BARRED,
                barred,
                best,
                why=why,
                complete=why.complete,
            )
        price, complete = None, True
        try:
            price = _price(self.sku, best, charts, self.solver, self.time_limit)
        except OutOfTime:
            complete = False
        return WhyNot(
            self.brief,
            self.sku,
            Verdict.BARRED if left_out else Verdict.BEATEN,
            barred=barred if left_out else (),
            best=best,
            with_it=with_it,
            price=price,
            quality=_quality(self.sku, best, with_it, candidates),
            complete=complete,
        )

    def _best(self, candidates: Candidates, charts: Subproblems | None = None) -> Kit | None:
        selection = proven(candidates, self.solver, self.time_limit, charts=charts)
        return None if selection is None else audited(selection, candidates, self.catalogue)

    def _why_no_kit(self, brief: Brief, hard: Collection[str] = ()) -> NoKit:
        return why_no_kit(
            self.catalogue, brief, hard=hard, solver=self.solver, time_limit=self.time_limit
        )


def _with_charts_for(sku: str, candidates: Candidates) -> Candidates:
    """Return candidates without the charts of which a kept thread can match no colour."""
    threads = candidates.needs.get("thread", ())
    if not candidates.near or all(thread.sku != sku for thread in threads):
        return candidates
    matched = {
        asked
        for asked, places in candidates.near.items()
        if any(place.thread.sku == sku for place in places)
    }
    charts = tuple(
        chart
        for chart in candidates.charts
        if any((asked.colour, asked.kind) in matched for asked in chart.shades or ())
    )
    return replace(candidates, needs={**candidates.needs, "chart": charts})


def _price_of(sku: str, candidates: Candidates) -> int:
    rows = chain(candidates.extras, *candidates.needs.values())
    return next((candidate.price for candidate in rows if candidate.sku == sku), 0)


def _beyond(sku: str, candidates: Candidates) -> int:
    """Return the cap up to which kits can come within it by the row's costing nothing."""
    till, cap = candidates.brief.exact_till, candidates.brief.total_cap
    if till.has_gap or candidates.limited_beside_goods:
        return cap
    return till.payable(till.most_goods(cap) + _price_of(sku, candidates) * candidates.brief.kits)


def _price(
    sku: str, best: Kit, charts: Subproblems, solver: Solver, time_limit: TimeLimit
) -> int | None:
    """Return a price at which, or below which, the row is in the best kit.

    A kit that costs too much by some is within the cap once the row costs less by as much; and as
    it holds the row, it gets better by that and the best kit without the row does not.
    """
    candidates = charts.candidates
    till, cap, price = (
        candidates.brief.exact_till,
        candidates.brief.total_cap,
        _price_of(sku, candidates),
    )
    if till.has_gap or candidates.limited_beside_goods or not price:
        return None
    found: list[int] = []
    first, paid, _ = comparison_key(best.figures)
    for rung in rungs(
        candidates, cap, _beyond(sku, candidates), solver, time_limit, charts=charts
    ).rungs:
        sums = tally(rung.selection, candidates)
        before, _, _ = comparison_key(figures(sums, candidates))
        if before < first:
            continue
        # With no more to show than the best kit, it has to come to less.
        within = cap if before > first else min(cap, -paid - 1)
        if within >= 0:
            over = sums.receipt.goods - till.most_goods(within)
            # What comes from home costs nothing, whatever the shop asks for it.
            if bought := sums.rows[sku].bought(sums.units[sku]):
                found.append(price - max(0, -(-over // bought)))
    return max((one for one in found if one >= 0), default=None)


def _quality(sku: str, best: Kit, with_it: Kit, candidates: Candidates) -> int | None:
    """Return the least quality with which the row is in the best kit.

    Of the kits with the row the same stays best, whatever its quality. Not so for thread, which
    counts by how near it is, too.
    """
    line = next(line for line in with_it.lines if line.sku == sku)
    brief, weights = candidates.brief, candidates.weights
    if line.category == "thread" and line.role == "need" and candidates.matches_thread:
        return None
    if brief.rules_look_at("quality"):
        return None
    # What a hundredth of quality brings.
    if line.role == "extra":
        gain = Figures(Fraction(0), Fraction(1, 100), 0, Fraction(brief.extras.weight) / 100)
    else:
        weight = Fraction(brief.need(line.category).weight) / 100
        share = Fraction(weights[line.category], 100 * (sum(weights.values()) or 1))
        gain = Figures(share, Fraction(0), 0, weight)
    for points in sorted(_qualities(line.quality, gain, best.figures, with_it.figures)):
        more = points - line.quality
        raised = replace(
            with_it.figures,
            quality=with_it.figures.quality + more * gain.quality,
            extras=with_it.figures.extras + more * gain.extras,
            together=None
            if with_it.figures.together is None
            else with_it.figures.together + more * (gain.together or 0),
        )
        if points <= _MOST_POINTS and comparison_key(raised) > comparison_key(best.figures):
            return points
    return None


def _qualities(now: int, gain: Figures, best: Figures, mine: Figures) -> Iterator[int]:
    """Yield qualities, of which one is the least that can do."""
    for each, lack in (
        (gain.quality, best.quality - mine.quality),
        (gain.extras, best.extras - mine.extras),
        (gain.together or 0, (best.together or 0) - (mine.together or 0)),
    ):
        if each:
            enough = now + max(0, -floor(-lack / each))
            yield from (enough, enough + 1)
