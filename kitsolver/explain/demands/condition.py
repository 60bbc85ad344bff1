"""One condition that rows of a category are to meet, and how it gives way."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.demands.only import nearest_first, values_on_sale
from kitsolver.explain.mend import Path
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed
from kitsolver.shop.money import MOST_DECIMALS, to_text

# In hundredths.
_MOST_QUALITY = 100_00


@dataclass(frozen=True)
class Condition(Demand):
    """One condition on the rows of a category.

    Parameters
    ----------
    category : str
        Of the rows.
    table : tuple of str
        The keys that lead to its conditions.
    """

    category: str
    table: Path

    @property
    @abstractmethod
    def alone(self) -> dict[str, Any]:
        """The condition as a table of conditions with nothing else."""

    def values_on_shelf(self, relaxed: RelaxedBrief, column: str) -> set[int]:
        """Return the values of a numeric column of the category's rows."""
        shelf = relaxed.catalogue.rows.get(self.category)
        return set() if shelf is None else set(shelf[column].tolist())

    def kept_values(self, relaxed: RelaxedBrief, column: str) -> list[int]:
        """Return the values of a numeric column of the category's kept rows."""
        shelf = relaxed.catalogue.rows.get(self.category)
        if shelf is None:
            return []
        kept: list[int] = shelf[column][
            shelf.having("sku", relaxed.value("choose", "keep"))
        ].tolist()
        return kept


@dataclass(frozen=True)
class MaxPrice(Condition):
    """The most that a row may cost."""

    price: Decimal

    @property
    def alone(self) -> dict[str, Any]:
        """The condition as a table of conditions with nothing else."""
        return {"max_price": self.price}

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the condition."""
        return relaxed.with_value((*self.table, "max_price"), None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the lowest price of a dearer row with which there is a kit."""
        path, brief = (*self.table, "max_price"), relaxed.brief
        # No lower limit lets a kept row in.
        least = max(self.kept_values(relaxed, "price"), default=0)
        held = [n for n in sorted(self.values_on_shelf(relaxed, "price")) if n >= least]
        prices = [price for n in held if (price := Decimal(n) / 10**MOST_DECIMALS) > self.price]
        sums = [to_text(brief.minor(price), brief.currency) for price in prices]
        found = least_change(relaxed, path, sums)
        if found is not None:
            pain = float((Decimal(found) - self.price) / max(self.price, Decimal(1)))
            says = f"let the {self.category} cost up to {found} {brief.currency}"
            yield easing(relaxed, path, found, says, pain)


@dataclass(frozen=True)
class MinQuality(Condition):
    """The least quality of a row."""

    quality: Decimal

    @property
    def alone(self) -> dict[str, Any]:
        """The condition as a table of conditions with nothing else."""
        return {"min_quality": self.quality}

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the condition."""
        return relaxed.with_value((*self.table, "min_quality"), None)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the highest quality of a worse row with which there is a kit."""
        path = (*self.table, "min_quality")
        # No higher quality lets a kept row in.
        most = min(self.kept_values(relaxed, "quality"), default=_MOST_QUALITY)
        held = [n for n in self.values_on_shelf(relaxed, "quality") if n <= most]
        held.sort(reverse=True)
        lower = [str(quality) for n in held if (quality := Decimal(n) / 100) < self.quality]
        found = least_change(relaxed, path, lower)
        if found is not None:
            pain = float((self.quality - Decimal(found)) / self.quality)
            says = f"let the {self.category} have a quality of {found}"
            yield easing(relaxed, path, found, says, pain)


@dataclass(frozen=True)
class Tags(Condition):
    """Tags of which a row is to carry some, or none.

    Parameters
    ----------
    name : str
        ``tags_any`` or ``tags_none``.
    """

    name: str
    words: tuple[str, ...]

    @property
    def alone(self) -> dict[str, Any]:
        """The condition as a table of conditions with nothing else."""
        return {self.name: self.words}

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the condition."""
        return relaxed.with_value((*self.table, self.name), [])

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield one barred tag that rows may carry after all, or that no tag matters."""
        path = (*self.table, self.name)
        fewer = [[word for word in self.words if word != gone] for gone in self.words]
        tries = [*fewer, []] if self.name == "tags_none" else [[]]
        for left in easings_that_work(relaxed, path, tries):
            gone = [word for word in self.words if word not in left]
            says = f"let the {self.category} carry the tag {' and '.join(gone)}"
            if self.name == "tags_any":
                says = f"let the {self.category} go without the tag {' or '.join(gone)}"
            yield easing(relaxed, path, left, says)


@dataclass(frozen=True)
class Only(Condition):
    """The values that a row's column may have."""

    column: str
    allowed: tuple[Any, ...]

    @property
    def alone(self) -> dict[str, Any]:
        """The condition as a table of conditions with nothing else."""
        return {"only": {self.column: self.allowed}}

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the condition."""
        table = (*self.table, "only")
        rest = {key: held for key, held in relaxed.value(*table).items() if key != self.column}
        return relaxed.with_value(table, rest)

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield the nearest further value with which there is a kit, or that any value will do."""
        path = (*self.table, "only", self.column)
        now = relaxed.value(*path)
        others = nearest_first(now, values_on_sale(relaxed.catalogue, self.category, self.column))
        allowed = [[*now, *others[: number + 1]] for number in range(len(others))]
        more = least_change(relaxed, path, allowed)
        if more is not None:
            # The last value that was added makes the kit; those before it may be of no use.
            if len(more) > len(now) + 1 and relaxed.works_with(path, [*now, more[-1]]):
                more = [*now, more[-1]]
            new = listed([str(value) for value in more[len(now) :]], "or")
            says = f"let the {self.category} have {self.column} {new} too"
            yield easing(relaxed, path, more, says)
            return
        dropped = self.drop(relaxed)
        if dropped.possible:
            table = (*self.table, "only")
            says = f"let the {self.category} have any {self.column}"
            yield easing(relaxed, table, dropped.value(*table), says)
