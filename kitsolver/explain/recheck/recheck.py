"""Whether a saved kit is still good today, and what the smallest change is that mends it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kitsolver.brief.against_findings import UnknownCategory
from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.changed import comparison_key
from kitsolver.explain.recheck.at_home import restated
from kitsolver.explain.recheck.line_changes import LineChange, line_changes, today_of
from kitsolver.explain.recheck.nearest import nearest_kit
from kitsolver.explain.recheck.saved import Saved
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.shop.till import basket
from kitsolver.solve.audit.audit import Check, audit
from kitsolver.solve.audit.evidence import Claim, Evidence, Piece
from kitsolver.solve.audit.quality import figures_of
from kitsolver.solve.engine import Solver
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit, Status
from kitsolver.solve.pick import pick
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit


@dataclass(frozen=True)
class Recheck(ShowsItself):
    """What became of a saved kit.

    Parameters
    ----------
    saved : Saved
        The kit.
    brief : Brief
        What was asked, without what has vanished.
    changes : tuple of LineChange
        By line.
    checks : tuple of Check
        Every rule held against the saved lines on today's rows.
    today : Figures or None
        What the saved lines come to today; None if some have vanished, or are no lines of a kit.
    best : Kit or None
        The best kit today.
    proven : bool
        Whether that is known to be the best, or that there is none.
    nearest : Kit or None
        The kit of today that changes fewest lines; None if the saved kit stands, there is none, or
        it was not known in time.
    complete : bool
        Whether time did not run out.
    findings : tuple of Finding
        What the brief names and the catalogue does not have, as far as that is no bad input here.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    """

    saved: Saved
    brief: Brief
    changes: tuple[LineChange, ...]
    checks: tuple[Check, ...]
    today: Figures | None
    best: Kit | None
    proven: bool
    nearest: Kit | None
    findings: tuple[Finding, ...] = ()
    row_counts: RowCounts = NOT_COUNTED
    complete: bool = True

    @property
    def stands(self) -> bool:
        """Whether the saved kit breaks no rule today."""
        return all(check.holds is not False for check in self.checks)

    @property
    def still_best(self) -> bool:
        """Whether no kit is better today."""
        if not self.stands or self.best is None or self.today is None or not self.proven:
            return False
        return comparison_key(self.today) >= comparison_key(self.best.figures)


def recheck(
    saved: Saved,
    catalogue: Catalogue,
    *,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    progress: Progress | None = None,
) -> Recheck:
    """Hold a saved kit against today's catalogue.

    Parameters
    ----------
    saved : Saved
        The kit.
    catalogue : Catalogue
        Today's, read in the kit's currency.
    solver : Solver
        The mixed-integer solver for the nearest kit.
    seconds : float, optional
        Time limit. When it passes, what is known by then is told.
    progress : callable, optional
        Told the steps done and the steps there are.

    Raises
    ------
    BadInput
        If the kit's brief names what the catalogue does not have, other than vanished rows.
    AuditFailed, SolverFault
        If the program is at fault.
    """
    time_limit = TimeLimit(seconds)
    brief = _without_vanished(saved.brief, catalogue)
    changes = tuple(line_changes(saved, brief, catalogue))
    try:
        warnings = validate_against(brief, catalogue, saved.file)
    except BadInput as bad:
        # Where the last row of a need has vanished, there is no kit.
        if not all(isinstance(one, UnknownCategory) or one.warning for one in bad.findings):
            raise
        checks, today = _held(saved, brief, catalogue)
        return Recheck(
            saved,
            brief,
            changes,
            checks,
            today,
            best=None,
            proven=True,
            nearest=None,
            findings=bad.findings,
            row_counts=catalogue.row_counts,
        )
    checks, today = _held(saved, brief, catalogue)
    best, proven = _best_today(catalogue, brief, solver, time_limit, progress)
    found = Recheck(
        saved,
        brief,
        changes,
        checks,
        today,
        best=best,
        proven=proven,
        nearest=None,
        findings=tuple(warnings),
        row_counts=catalogue.row_counts,
        complete=proven,
    )
    if found.stands or (best is None and proven):
        return found
    skus = frozenset(line.sku for line in saved.lines)
    try:
        return replace(found, nearest=nearest_kit(skus, catalogue, brief, solver, time_limit))
    except OutOfTime:
        return replace(found, complete=False)


def _best_today(
    catalogue: Catalogue,
    brief: Brief,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None,
) -> tuple[Kit | None, bool]:
    """Return the best kit, or the best found in time; and whether it is proven, or that none is."""
    try:
        outcome = pick(
            catalogue,
            brief,
            solver=solver,
            seconds=time_limit.left,
            progress=progress,
            validated=True,
        )
    except OutOfTime:
        return None, False
    return outcome.kit, outcome.status is not Status.BEST_SO_FAR


def _without_vanished(brief: Brief, catalogue: Catalogue) -> Brief:
    chosen = brief.choose
    there = {
        name: tuple(sku for sku in getattr(chosen, name) if sku in catalogue)
        for name in ("keep", "own")
    }
    return brief.model_copy(update={"choose": chosen.model_copy(update=there)})


def _held(
    saved: Saved, brief: Brief, catalogue: Catalogue
) -> tuple[tuple[Check, ...], Figures | None]:
    """Hold the saved lines against every rule, at today's prices."""
    skus = [line.sku for line in saved.lines]
    there = len(set(skus)) == len(skus) and all(
        line.sku in catalogue and catalogue.row(line.sku)["category"] == line.category
        for line in saved.lines
    )
    there &= {shade.sku for shade in saved.shades if shade.sku} <= set(skus)
    prices = {
        line.sku: today_of(line, brief, catalogue)[0] if there else line.price
        for line in saved.lines
    }
    if there:
        saved = restated(saved, brief, catalogue)
    pieces = [
        Piece(
            line.sku,
            line.category,
            line.role,
            line.units,
            prices[line.sku],
            line.from_home,
            line.metres_from_home if catalogue.home is not None else None,
        )
        for line in saved.lines
    ]
    claim = _claim(pieces, saved, brief, catalogue)
    if not there:
        return audit(claim, catalogue, brief), None
    seen = Evidence(claim, catalogue, brief)
    quality, extras = figures_of(seen)
    claim = replace(claim, quality=quality, extras=extras)
    weights = sum(Fraction(brief.need(need).weight) for need in brief.holds if seen.bought(need))
    together = None
    if brief.extras.spend == "together":
        together = weights * quality + Fraction(brief.extras.weight) * extras
    return audit(claim, catalogue, brief), Figures(quality, extras, claim.payable, together)


def _claim(pieces: Sequence[Piece], saved: Saved, brief: Brief, catalogue: Catalogue) -> Claim:
    def cost(piece: Piece) -> tuple[int, Fraction | None, bool]:
        row = catalogue.row(piece.sku) if piece.sku in catalogue else {}
        rate = Fraction(row["tax_rate"]) if row.get("tax_rate") else None
        bought = piece.units - piece.from_home
        return bought * piece.price, rate, row.get("download") == "yes"

    receipt = brief.exact_till.receipt(*basket(map(cost, pieces)))
    return Claim(
        lines=pieces,
        shades=saved.shades,
        goods=receipt.goods,
        discount=receipt.discount,
        delivery=receipt.delivery,
        tax=receipt.tax,
        payable=receipt.payable,
        quality=Fraction(0),
        extras=Fraction(0),
    )
