"""From a selection to a kit that was held to every rule again."""

from __future__ import annotations

from dataclasses import replace

from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audit.audit import audit
from kitsolver.solve.audit.evidence import Claim, Piece
from kitsolver.solve.candidates.candidate import Selection
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.kit import kit_of
from kitsolver.solve.outcome import Kit


class AuditFailed(Exception):
    """A kit that breaks a rule came out of the search; it is never shown as a kit.

    Parameters
    ----------
    kit : Kit
        With its checks.
    """

    def __init__(self, kit: Kit) -> None:
        self.failed = tuple(check for check in kit.checks if check.holds is False)
        super().__init__("; ".join(f"{check.rule}: {check.detail}" for check in self.failed))


def audited(selection: Selection, candidates: Candidates, catalogue: Catalogue) -> Kit:
    """Return the kit of a selection with its checks.

    Parameters
    ----------
    selection : Selection
        From `candidates`.
    candidates : Candidates
        With the brief, within whose cap the kit is to be.
    catalogue : Catalogue
        From whose rows every check is recomputed.

    Raises
    ------
    AuditFailed
        If the kit breaks a rule.
    """
    kit = kit_of(selection, candidates, catalogue)
    kit = replace(kit, checks=audit(_claim(kit), catalogue, candidates.brief))
    if any(check.holds is False for check in kit.checks):
        raise AuditFailed(kit)
    return kit


def _claim(kit: Kit) -> Claim:
    """Return what a kit says of itself, for the audit."""
    sums = kit.receipt
    return Claim(
        lines=tuple(
            Piece(
                line.sku,
                line.category,
                line.role,
                line.units,
                line.price,
                line.from_home,
                line.metres_from_home,
            )
            for line in kit.lines
        ),
        shades=kit.shades,
        goods=sums.goods,
        discount=sums.discount,
        delivery=sums.delivery,
        tax=sums.tax,
        payable=sums.payable,
        quality=kit.figures.quality,
        extras=kit.figures.extras,
    )
