"""The conditions of a brief that rows of one category are to meet, and the rows that they bar."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.brief.brief import Brief
from kitsolver.brief.conditions import Conditions
from kitsolver.brief.meeting import Shelf, meeting
from kitsolver.explain.demands.condition import Condition, MaxPrice, MinQuality, Only, Tags
from kitsolver.explain.demands.demand import Demand
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.mend import Path
from kitsolver.explain.wording import is_or_are, listed, sum_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import held_per_minor
from kitsolver.solve.rules import conditions as rule


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
