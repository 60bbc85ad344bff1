"""Which goods a buyer wants: extras, and single skus that are kept, left out or owned."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from kitsolver.brief.conditions import Conditions
from kitsolver.brief.frozen import FrozenDict
from kitsolver.brief.numbers import Number, Whole, Word
from kitsolver.brief.part import Part, key

# Rows of these categories are extras only if the brief names their category.
NEVER_UNASKED = frozenset({"chart", "fabric", "thread", "needle"})


class Extras(Part):
    """What may be bought with what the needs leave over."""

    spend: Literal["leftover", "together", "none"] = key(
        "leftover",
        "Whether extras get the money that is left, count together with the needs, or are none.",
        example="together",
    )
    weight: Number = key(
        Decimal("0.25"),
        "How much a point of an extra counts where both count together.",
        example=0.5,
    )
    categories: tuple[Word, ...] | None = key(
        None,
        "The categories that may be extras; every category that is no need, if left out.",
        example=["hoop", "case"],
    )
    most: Whole | None = key(
        None, "The most extras; never more than one of a category.", unit="rows", example=2
    )
    conditions: FrozenDict[Word, Conditions] = key(
        FrozenDict(),
        "Conditions on the extras of a category.",
        example={"hoop": {"min_quality": 50}},
    )

    def offers(self, category: str) -> bool:
        """Tell whether rows of a category that is no need may be extras."""
        if self.spend == "none":
            return False
        if self.categories is None:
            return category not in NEVER_UNASKED
        return category in self.categories

    @property
    def together(self) -> bool:
        """Whether quality and extras are one figure, weighed together."""
        return self.spend == "together"


class Choose(Part):
    """Skus that are kept, left out or owned."""

    keep: tuple[Word, ...] = key((), "Skus that must be in the kit.", example=["CH-HERMIT"])
    leave_out: tuple[Word, ...] = key((), "Skus that must not be in the kit.", example=["GW-NET"])
    own: tuple[Word, ...] = key(
        (), "Skus that the buyer owns: free, and not taken from stock.", example=["SC-HERON"]
    )

    @property
    def skus(self) -> tuple[str, ...]:
        """Every sku that is named."""
        return (*self.keep, *self.leave_out, *self.own)
