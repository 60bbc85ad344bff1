"""The ladder: how the best kit gets better as the cap rises."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from kitsolver.brief.brief import Brief
from kitsolver.brief.validate_against import validate_against
from kitsolver.explain.no_kit.why_no_kit import NoKit, why_no_kit
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_decimal
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.audited import audited
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.decomposition.cheapest import least_payable
from kitsolver.solve.decomposition.sweep import rungs
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import TimeLimit


@dataclass(frozen=True)
class LadderRung:
    """The least cap at which the best kit gets better, and that kit.

    Parameters
    ----------
    cap : int
        In minor units, for the whole order.
    kit : Kit
        Proven best from here up to the next rung, and audited.
    came, went : tuple of str
        The skus that the kit of the rung below does not hold, and those that only it holds.
    main : bool
        Whether quality changes, and not extras alone.
    """

    cap: int
    kit: Kit
    came: tuple[str, ...]
    went: tuple[str, ...]
    main: bool

    @property
    def skus(self) -> tuple[str, ...]:
        """The skus of the kit in the order of its lines."""
        return tuple(line.sku for line in self.kit.lines)

    @property
    def cap_decimal(self) -> Decimal:
        """The cap in the currency's units."""
        return to_decimal(self.cap, self.kit.currency)


@dataclass(frozen=True)
class Ladder(ShowsItself):
    """Every rung between two caps.

    Parameters
    ----------
    brief : Brief
        What was asked.
    low, high : int
        The caps, in minor units.
    rungs : tuple of LadderRung
        In rising order; first the kit that stands at the lower cap, if any.
    proven_from : int
        The cap from which on the rungs are proven: above `low` if time ran out.
    why : NoKit or None
        The reasons if there is no kit up to the higher cap.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    """

    brief: Brief
    low: int
    high: int
    rungs: tuple[LadderRung, ...]
    proven_from: int
    why: NoKit | None = None
    row_counts: RowCounts = NOT_COUNTED

    @property
    def complete(self) -> bool:
        """Whether the rungs are proven down to the lower cap."""
        return self.proven_from <= self.low

    @property
    def main(self) -> tuple[LadderRung, ...]:
        """The rungs at which quality changes, each compared with the one before."""
        return tuple(compared((rung.cap, rung.kit) for rung in self.rungs if rung.main))


def ladder(
    catalogue: Catalogue,
    brief: Brief,
    *,
    low: int | None = None,
    high: int | None = None,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    progress: Progress | None = None,
    validated: bool = False,
) -> Ladder:
    """Return every rung between two caps, each proven.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale.
    brief : Brief
        What is asked; its cap only says how far up to go where `high` does not.
    low, high : int, optional
        Caps for the whole order in minor units, the lower first. If left out: what the cheapest
        kit comes to, and twice the brief's cap.
    solver : Solver
        The mixed-integer solver for charts that are too large for frontiers.
    seconds : float, optional
        Time limit; the ladder is found from above, and is cut off below when it passes.
    progress : callable, optional
        Told how much of the way is done, and the whole.
    validated : bool
        Whether the brief was held against the catalogue before, so that it need not be again.

    Raises
    ------
    BadInput
        If the brief names what the catalogue does not have.
    OutOfTime
        If the time limit passed before any rung was proven.
    AuditFailed, SolverFault
        If the program is at fault.
    """
    time_limit = TimeLimit(seconds)
    if not validated:
        validate_against(brief, catalogue)
    candidates = find_candidates(catalogue, brief, thin=True, time_limit=time_limit)
    return ladder_among(candidates, catalogue, low, high, solver, time_limit, progress)


def ladder_among(
    candidates: Candidates,
    catalogue: Catalogue,
    low: int | None,
    high: int | None,
    solver: Solver,
    time_limit: TimeLimit,
    progress: Progress | None = None,
) -> Ladder:
    """Return the ladder of candidates that are known, and whose brief was validated.

    Takes and raises what `ladder` does.
    """
    brief = candidates.brief
    top = 2 * brief.total_cap if high is None else high
    least = least_payable(candidates, solver, time_limit)
    bottom = min(least or 0, top) if low is None else low
    if least is None or least > top:
        why = why_no_kit(catalogue, brief.with_cap(top), solver=solver, time_limit=time_limit)
        return Ladder(brief, bottom, top, (), bottom, why, catalogue.row_counts)
    climb = rungs(candidates, max(least, bottom), top, solver, time_limit, progress)
    proven_from = bottom if climb.proven_from <= max(least, bottom) else climb.proven_from
    found = tuple(
        (rung.cap, audited(rung.selection, _at(candidates, rung.cap), catalogue))
        for rung in climb.rungs
    )
    steps = tuple(compared(found))
    return Ladder(brief, bottom, top, steps, proven_from, row_counts=catalogue.row_counts)


def _at(candidates: Candidates, cap: int) -> Candidates:
    return replace(candidates, brief=candidates.brief.with_cap(cap))


def compared(found: Iterable[tuple[int, Kit]]) -> Iterator[LadderRung]:
    """Yield rungs with what changed from the one below; to the first, everything came."""
    below: Kit | None = None
    for cap, kit in found:
        here = [line.sku for line in kit.lines]
        before = [line.sku for line in below.lines] if below else []
        yield LadderRung(
            cap,
            kit,
            came=tuple(sku for sku in here if sku not in before),
            went=tuple(sku for sku in before if sku not in here),
            main=below is None or below.figures.quality != kit.figures.quality,
        )
        below = kit
