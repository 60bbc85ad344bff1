"""A range from a catalogue: every kit audited, and all of them together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from kitsolver.brief.range import Range, RangeKit
from kitsolver.brief.range_findings import UnknownDistinct
from kitsolver.brief.validate_against import validate_against
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.findings import BadInput, Finding, nearest
from kitsolver.shop.money import to_decimal
from kitsolver.shop.showing import ShowsItself
from kitsolver.shop.skipped import NOT_COUNTED, RowCounts
from kitsolver.solve.audit.audit import Check
from kitsolver.solve.audit.together import audit_together
from kitsolver.solve.audited import AuditFailed, audited
from kitsolver.solve.engine import Solver
from kitsolver.solve.outcome import Kit, Status
from kitsolver.solve.ranges.choices import WHOLE, Choices, but_for_the_cap
from kitsolver.solve.ranges.joint import (
    Contended,
    JointKits,
    SharedGoods,
    in_order,
    shared_goods,
    together,
)
from kitsolver.solve.ranges.member import MemberKit, MemberSearch
from kitsolver.solve.search_result import Progress
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

# No kit's quality is above this.
MOST_QUALITY = 100


@dataclass(frozen=True)
class Stocked:
    """A row that is not unlimited, and what a range takes of it."""

    sku: str
    stock: int
    taken: int

    @property
    def left(self) -> int:
        """What is left on the shelf."""
        return self.stock - self.taken


@dataclass(frozen=True)
class RangeOutcome(ShowsItself):
    """The answer to a range.

    Parameters
    ----------
    status : Status
        ``best`` is said of what is proven only.
    asked : Range
        What was asked.
    kits : tuple of Kit
        In the range's order; empty if there are none.
    checks : tuple of Check
        What holds of the kits together, each recomputed from the catalogue's rows.
    bound : Fraction or None
        No range has a sum of copies times quality above this.
    stock : tuple of Stocked
        The rows of which the kits take some and there is not any number, by sku.
    contended : tuple of Contended
        What the kits, each as good as it could be by itself, would have taken twice.
    lacking : RangeKit or None
        The first kit that cannot be made by itself, or after those before it; None otherwise.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    """

    status: Status
    asked: Range
    kits: tuple[Kit, ...] = ()
    checks: tuple[Check, ...] = ()
    bound: Fraction | None = None
    stock: tuple[Stocked, ...] = ()
    contended: tuple[Contended, ...] = ()
    lacking: RangeKit | None = None
    row_counts: RowCounts = NOT_COUNTED

    @property
    def quality(self) -> Fraction:
        """Copies times quality, added up."""
        pairs = zip(self.asked.kits, self.kits, strict=False)
        return sum((kit.copies * made.figures.quality for kit, made in pairs), Fraction(0))

    @property
    def payable(self) -> int:
        """What all copies come to, in minor units."""
        pairs = zip(self.asked.kits, self.kits, strict=False)
        return sum(kit.copies * made.receipt.payable for kit, made in pairs)

    @property
    def payable_decimal(self) -> Decimal:
        """What all copies come to, in the currency's units."""
        return to_decimal(self.payable, self.asked.currency)


def validate_range_against(asked: Range, catalogue: Catalogue) -> tuple[Finding, ...]:
    """Return the warnings of a range that is usable with a catalogue.

    Raises
    ------
    BadInput
        With every finding, if it is not.
    """
    findings: list[Finding] = [
        UnknownDistinct(
            file=asked.file,
            column="distinct",
            value=category,
            detail=nearest(category, catalogue.categories),
        )
        for category in asked.distinct
        if category not in catalogue.categories
    ]
    for kit in asked.kits:
        try:
            held = validate_against(kit.brief, catalogue, asked.file)
        except BadInput as bad:
            held = bad.findings
        findings += [
            replace(finding, column=f"kits.{kit.name}.{finding.column}")
            if finding.file == asked.file
            else finding
            for finding in held
        ]
    found = tuple(dict.fromkeys(findings))
    if any(not finding.warning for finding in found):
        raise BadInput(found)
    return found


def pick_range(
    catalogue: Catalogue,
    asked: Range,
    *,
    solver: Solver = Solver.SCIP,
    seconds: float | None = None,
    progress: Progress | None = None,
    validated: bool = False,
) -> RangeOutcome:
    """Return the kits of a range that are proven best together, or each after those before it.

    Parameters
    ----------
    catalogue : Catalogue
        The one stock.
    asked : Range
        What is asked.
    solver : Solver
        The mixed-integer solver behind charts that are not for frontiers.
    seconds : float, optional
        Time limit. When it passes, kits that stand together come with a bound.
    progress : callable, optional
        Told how many kits are known by themselves, and how many there are.
    validated : bool
        Whether the range was held against the catalogue before, so that it need not be again.

    Raises
    ------
    BadInput
        If the range names what the catalogue does not have.
    OutOfTime
        If the time limit passed before any kits were found.
    AuditFailed, SolverFault
        If the program is at fault.
    """
    time_limit = TimeLimit(seconds)
    if not validated:
        validate_range_against(asked, catalogue)
    kits = searches_of(asked.kits, catalogue, solver, time_limit)
    shared = shared_goods(catalogue, asked.distinct)
    told = progress or (lambda *_: None)
    if asked.in_order:
        found = in_order(kits, shared, told)
        whole = len(found) == len(kits)
        joint = JointKits(tuple(found) if whole else (), *_proof_in_order(found))
        lacking = None if whole else asked.kits[len(found)]
    else:
        joint, lacking = _together(asked.kits, kits, shared, told)
    if not joint.members:
        return RangeOutcome(
            Status.NO_KIT,
            asked,
            contended=joint.contended,
            lacking=lacking,
            row_counts=catalogue.row_counts,
        )
    return _audited(joint, asked, catalogue, shared)


def searches_of(
    kits: Sequence[RangeKit], catalogue: Catalogue, solver: Solver, time_limit: TimeLimit
) -> list[MemberSearch]:
    """Return for each kit its search; kits that are alike have the same."""
    alike: dict[Hashable, list[RangeKit]] = defaultdict(list)
    for kit in kits:
        alike[but_for_the_cap(kit)].append(kit)
    choices = {key: Choices(group, catalogue, time_limit) for key, group in alike.items()}
    found: dict[Hashable, MemberSearch] = {}
    searches = []
    for kit in kits:
        key = but_for_the_cap(kit)
        each = key, kit.brief.total_cap
        if each not in found:
            found[each] = MemberSearch(kit, choices[key], solver, time_limit)
        searches.append(found[each])
    return searches


def _proof_in_order(found: Sequence[MemberKit]) -> tuple[bool, Fraction]:
    """Tell whether each kit is proven best of what those before it leave, and bound their sum."""
    bound = Fraction(0)
    for number, member in enumerate(found):
        if not member.found.proven:
            # What others would leave to the kits after it is not known.
            rest = sum(other.kit.copies for other in found[number + 1 :])
            return False, bound + member.bound + rest * MOST_QUALITY
        bound += member.figures[0]
    return True, bound


def _together(
    asked: Sequence[RangeKit],
    kits: Sequence[MemberSearch],
    shared: SharedGoods,
    progress: Progress,
) -> tuple[JointKits, RangeKit | None]:
    """Return the kits that are best together, and the first that cannot be made even alone."""
    alone: list[MemberKit] = []
    for number, (kit, search) in enumerate(zip(asked, kits, strict=True)):
        # Half of the time is for the kits alone. Those that are alike are found once.
        left = len({id(one) for one in kits[number:]})
        member = search.best_so_far(WHOLE, parts=2 * left)
        if member is None:
            return JointKits((), proven=True, bound=Fraction(0)), kit
        alone.append(member)
        progress(number + 1, len(kits))
    ahead = in_order(kits, shared)
    if len(ahead) < len(kits):
        ahead = []
    if all(member.found.proven for member in alone):
        return together(asked, kits, alone, shared, ahead), None
    if not ahead:
        raise OutOfTime
    bound = sum((member.bound for member in alone), Fraction(0))
    contended = tuple(shared.contended(alone, asked))
    return JointKits(tuple(ahead), proven=False, bound=bound, contended=contended), None


def _audited(
    joint: JointKits, asked: Range, catalogue: Catalogue, shared: SharedGoods
) -> RangeOutcome:
    members = [one.of(kit) for one, kit in zip(joint.members, asked.kits, strict=True)]
    kits = tuple(audited(one.found.selection, one.candidates, catalogue) for one in members)
    units = [_from_shelves(kit, one) for kit, one in zip(kits, members, strict=True)]
    pairs = [(kit.copies, taken) for kit, taken in zip(asked.kits, units, strict=True)]
    checks = audit_together(pairs, asked.distinct, catalogue)
    outcome = RangeOutcome(
        status=Status.BEST if joint.proven else Status.BEST_SO_FAR,
        asked=asked,
        kits=kits,
        checks=checks,
        bound=joint.bound,
        stock=tuple(_stock(pairs, shared.stock)),
        contended=joint.contended,
        row_counts=catalogue.row_counts,
    )
    if not all(check.holds for check in checks):
        raise AuditFailed(replace(kits[0], checks=checks))
    return outcome


def _from_shelves(kit: Kit, member: MemberKit) -> dict[str, int]:
    own = member.kit.brief.choose.own
    return {line.sku: line.units for line in kit.lines if line.sku not in own}


def _stock(pairs: list[tuple[int, dict[str, int]]], there: Mapping[str, int]) -> list[Stocked]:
    taken: dict[str, int] = {}
    for copies, units in pairs:
        for sku, number in units.items():
            taken[sku] = taken.get(sku, 0) + copies * number
    return [Stocked(sku, there[sku], taken[sku]) for sku in sorted(taken) if sku in there]
