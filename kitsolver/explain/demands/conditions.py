"""Conditions that rows of one category are to meet: price, quality, tags, columns."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.conditions import Conditions
from kitsolver.brief.meeting import Shelf, meeting
from kitsolver.explain.demands.demand import Demand, Easing, easing, easings_that_work
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.least_change import least_change
from kitsolver.explain.demands.only import nearest_first, values_on_sale
from kitsolver.explain.mend import Path
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import is_or_are, listed, sum_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import MOST_DECIMALS, held_per_minor, to_text
from kitsolver.solve.rules import conditions as rule

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


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    for category, table in tables_of(brief, catalogue):
        yield from _of_category(brief, category, table)


def tables_of(brief: Brief, catalogue: Catalogue) -> Iterator[tuple[str, Path]]:
    """Yield the categories whose conditions can stand in a kit's way, and the keys to their table.

    Of extras these are those of which a row is kept, or may be asked for by a rule.
    """
    for need in brief.holds:
        if brief.need(need).have is not True:
            yield need, ("needs", need)
    wanted = {catalogue.row(sku)["category"] for sku in brief.choose.keep}
    if brief.may_need_extras:
        wanted |= brief.extras.conditions.keys()
    for category in sorted(wanted - set(brief.holds)):
        if category in brief.extras.conditions:
            yield category, ("extras", "conditions", category)


def _of_category(brief: Brief, category: str, table: Path) -> Iterator[Demand]:
    asked, place = brief.conditions(category), ".".join(table)
    start = f"the {category} {is_or_are(category)} to"
    for column, allowed in asked.only.items():
        values = " or ".join(map(str, allowed))
        says = f"{start} have {column} {values}"
        yield Only(f"{place}.only.{column}", says, category, table, column, allowed)
    if asked.tags_any:
        says = f"{start} carry the tag {' or '.join(asked.tags_any)}"
        yield Tags(f"{place}.tags_any", says, category, table, "tags_any", asked.tags_any)
    if asked.tags_none:
        says = f"{start} go without the tag {' or '.join(asked.tags_none)}"
        yield Tags(f"{place}.tags_none", says, category, table, "tags_none", asked.tags_none)
    if asked.max_price is not None:
        says = f"{start} cost no more than {asked.max_price} {brief.currency}"
        yield MaxPrice(f"{place}.max_price", says, category, table, asked.max_price)
    if asked.min_quality is not None:
        says = f"{start} have a quality of {asked.min_quality} or more"
        yield MinQuality(f"{place}.min_quality", says, category, table, asked.min_quality)


def emptied_category(conflict: Conflict) -> str:
    """Return the category that a conflict leaves without a row, if it is about that one alone."""
    conditions = [demand for demand in conflict.demands if isinstance(demand, Condition)]
    categories = {demand.category for demand in conditions}
    if len(categories) != 1 or len(conditions) < len(conflict.demands):
        return ""
    (category,) = categories
    held = category in conflict.alone.now.holds
    return category if held and not conflict.alone.number_of(category) else ""


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell how many rows of a category meet each condition alone, where none meets all."""
    category, catalogue = emptied_category(conflict), conflict.whole.catalogue
    shelf = catalogue.rows.get(category)
    if not category or shelf is None or len(conflict.demands) < 2:
        return
    tax_rate = conflict.whole.brief.exact_till.tax_rate
    rows, met = Shelf(category, shelf, catalogue.cells, tax_rate), []
    for demand in conflict.demands:
        if isinstance(demand, Condition):
            alone = Conditions.model_validate(demand.alone)
            number = int(meeting(rows, alone).sum())
            met.append(f"{number} {demand.says.partition(' to ')[2]}")
    every = "does both" if len(met) == 2 else "does all of it"
    yield Obstacle(f"of {len(shelf)} rows of {category}, {listed(met)}, but none {every}")


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    row = catalogue.row(sku)
    category = row["category"]
    have = category in brief.holds and brief.need(category).have
    if have and not isinstance(have, tuple):
        return
    every, asked = catalogue.rows[category], brief.conditions(category)
    rows = Shelf(category, every, catalogue.cells, brief.exact_till.tax_rate).only(sku)

    def met(**condition: object) -> bool:
        return bool(meeting(rows, Conditions.model_validate(condition)).all())

    if asked.max_price is not None and not met(max_price=asked.max_price):
        price = sum_text(int(rows.rows["price"][0]) // held_per_minor(brief.currency), brief)
        limit = f"{asked.max_price} {brief.currency}"
        yield f"It costs {price}, and the brief's limit for {category} is {limit}."
    if asked.min_quality is not None and not met(min_quality=asked.min_quality):
        quality = row["quality"]
        yield f"Its quality is {quality}, and the brief asks for {asked.min_quality} or more."
    for column, allowed in asked.only.items():
        if not met(only={column: allowed}):
            has, values = row.get(column) or "blank", " or ".join(map(str, allowed))
            yield f"Its {column} is {has}, and the brief asks for {values}."
    tags = f"the tags {row['tags']}" if row.get("tags") else "no tags"
    if asked.tags_any and not met(tags_any=asked.tags_any):
        yield f"It carries {tags}, and the brief asks for {' or '.join(asked.tags_any)}."
    if asked.tags_none and not met(tags_none=asked.tags_none):
        yield f"It carries {tags}, and the brief bars {' and '.join(asked.tags_none)}."


_KEYS = ("only", "tags_any", "tags_none", "max_price", "min_quality")
EXPLANATION = RuleExplanation(
    rule.RowConditions,
    eases=tuple(f"{table}.*.{key}" for table in ("needs", "extras.conditions") for key in _KEYS),
    demands=_demands,
    obstacles=_obstacles,
    bars=_bars,
)
