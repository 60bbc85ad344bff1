"""The ladder as the page keeps it, and a search for it that goes on where time ran out."""

from __future__ import annotations

import pickle
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property

from kitsolver.brief.brief import Brief
from kitsolver.explain.ladder import Ladder, LadderRung, compared, ladder
from kitsolver.page.catalogue_to_read import CatalogueToRead, catalogue_of
from kitsolver.page.tasks import SEARCHING
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text
from kitsolver.shop.skipped import RowCounts
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.ladder_drawing import LadderDrawing, ladder_drawing
from kitsolver.solve.figures import Figures
from kitsolver.solve.outcome import Kit
from kitsolver.solve.time_limit import OutOfTime

# What a rung takes beside its packed kit.
_RUNG_BYTES = 900


@dataclass(frozen=True)
class PackedRung:
    """A rung as it goes from one process to another.

    Parameters
    ----------
    cap : int
        The least at which its kit can be had, in minor units.
    figures : Figures
        The kit's.
    main : bool
        Whether quality changes at it.
    packed : bytes
        The kit, unpacked only when it is looked at.
    """

    cap: int
    figures: Figures
    main: bool
    packed: bytes

    @property
    def kit(self) -> Kit:
        """The kit."""
        found: Kit = pickle.loads(self.packed)
        return found


@dataclass(frozen=True, eq=False)
class PackedLadder:
    """A ladder as it goes from one process to another. Only itself is equal to it.

    Parameters
    ----------
    low, high : int
        The caps at its ends, in minor units.
    proven_from : int
        From which cap on all rungs are proven, in minor units.
    rungs : tuple of PackedRung
        In rising order.
    drawing : LadderDrawing or None
        The same as a line.
    row_counts : RowCounts
        The rows of the catalogue that it was found among, and those that were skipped.
    facts : GoodsFacts
        Of the goods of all kits.
    currency : str
        Of its sums.
    """

    low: int
    high: int
    proven_from: int
    rungs: tuple[PackedRung, ...]
    drawing: LadderDrawing | None
    row_counts: RowCounts
    facts: GoodsFacts
    currency: str

    @cached_property
    def caps(self) -> tuple[str, ...]:
        """The cap of each rung as text."""
        return tuple(to_text(rung.cap, self.currency) for rung in self.rungs)

    @cached_property
    def caps_text(self) -> str:
        """All these caps in one text."""
        return " ".join(self.caps)

    @cached_property
    def main_rungs(self) -> tuple[int, ...]:
        """The places of the rungs at which quality changes."""
        return tuple(place for place, rung in enumerate(self.rungs) if rung.main)

    @property
    def complete(self) -> bool:
        """Whether time did not run out."""
        return self.proven_from <= self.low

    @property
    def size(self) -> int:
        """About how many bytes of memory it takes."""
        return sum(len(rung.packed) + _RUNG_BYTES for rung in self.rungs)


def packed_ladder(
    source: CatalogueToRead,
    brief: Brief,
    high: int,
    seconds: float = SEARCHING,
    before: PackedLadder | None = None,
) -> PackedLadder:
    """Return every rung from the cheapest kit up to a cap in minor units.

    Parameters
    ----------
    before : PackedLadder, optional
        What was found before time ran out: the search goes on below it.
    """
    catalogue = catalogue_of(source)
    if before is None or not before.rungs:
        found = ladder(catalogue, brief, high=high, seconds=seconds)
    else:
        found = _further(before, catalogue, brief, seconds)
    rungs = tuple(
        PackedRung(rung.cap, rung.kit.figures, rung.main, pickle.dumps(rung.kit))
        for rung in found.rungs
    )
    skus = [line.sku for rung in found.rungs for line in rung.kit.lines]
    facts, drawing = GoodsFacts.of(catalogue, [*skus, *brief.choose.skus]), ladder_drawing(found)
    ends = found.low, found.high, found.proven_from
    return PackedLadder(*ends, rungs, drawing, found.row_counts, facts, brief.currency)


def _further(before: PackedLadder, catalogue: Catalogue, brief: Brief, seconds: float) -> Ladder:
    """Return a ladder that was begun, continued downwards from its lowest rung.

    The kit of that rung is best at every cap from what it comes to up to where the proof ended.
    """
    low, proven_from = before.low, before.proven_from
    below: tuple[LadderRung, ...] = ()
    # If time runs out before anything new is proven, what was proven before still is.
    with suppress(OutOfTime):
        found = ladder(catalogue, brief, high=before.rungs[0].cap - 1, seconds=seconds)
        low, proven_from, below = found.low, found.proven_from, found.rungs
    kits = [(rung.cap, rung.kit) for rung in below]
    kits += [(rung.cap, rung.kit) for rung in before.rungs]
    rungs = tuple(compared(kits))
    return Ladder(brief, low, before.high, rungs, proven_from, row_counts=before.row_counts)
