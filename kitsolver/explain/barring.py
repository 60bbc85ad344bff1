"""What keeps one row out of every kit of a brief, with its figures."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.brief.brief import Brief, Conditions
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import held_per_minor, to_text
from kitsolver.solve.rules.conditions import carrying, meeting
from kitsolver.solve.rules.extras import NEVER_UNASKED


def barring(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    """Yield why a row may not enter, as sentences about it; nothing if it may.

    Parameters
    ----------
    sku : str
        Of the catalogue.
    brief : Brief
        What is asked.
    """
    category = catalogue.row(sku)["category"]
    if sku in brief.choose.leave_out:
        yield "The brief leaves it out."
    if category not in brief.holds:
        yield from _no_extra(category, brief)
        yield from _conditions(sku, brief, catalogue)
    elif brief.need(category).have and not isinstance(brief.need(category).have, tuple):
        yield f"What is at home is to do as {category}, so that none is bought."
    else:
        yield from _conditions(sku, brief, catalogue)
    others = [kept for kept in brief.choose.keep if kept != sku]
    for kept in others:
        if category != "thread" and catalogue.row(kept)["category"] == category:
            yield f"{kept} is to be kept, and a kit holds one {category}."
    yield from _stock(sku, brief, catalogue)


def _no_extra(category: str, brief: Brief) -> Iterator[str]:
    extras = brief.extras
    if extras.spend == "none":
        yield "The brief wants no extras."
    elif extras.categories is not None and category not in extras.categories:
        yield f"Extras are to come from {', '.join(extras.categories) or 'nothing'} only."
    elif extras.categories is None and category in NEVER_UNASKED:
        yield f"A {category} is an extra only where extras.categories names it."


def _conditions(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    row = catalogue.row(sku)
    category = row["category"]
    shelf, asked, whole = catalogue.shelves[category], brief.conditions(category), brief.all
    own = shelf[shelf["sku"] == sku]

    def met(**condition: object) -> bool:
        return bool(meeting(own, catalogue.text, Conditions.model_validate(condition)).all())

    if asked.max_price is not None and not met(max_price=asked.max_price):
        scale = held_per_minor(brief.currency)
        price = to_text(int(own["price"].iloc[0]) // scale, brief.currency)
        yield f"It costs {price}, and the brief's limit for {category} is {asked.max_price}."
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
    if not carrying(own, catalogue.text, whole).all():
        wanted = [f"all of {' and '.join(whole.tags_all)}"] if whole.tags_all else []
        wanted += [f"none of {' and '.join(whole.tags_none)}"] if whole.tags_none else []
        yield f"It carries {tags}, and the brief asks {' and '.join(wanted)} of the whole kit."


def _stock(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    """Tell of units that are short, where the number needed hangs on nothing else."""
    category = catalogue.row(sku)["category"]
    shelf = catalogue.shelves[category]
    own = shelf[shelf["sku"] == sku].iloc[0]
    needed = 1
    if category not in ("fabric", "thread"):
        shared = brief.need(category).shared_by if category in brief.holds else 1
        needed = -(-brief.kits // (int(own["serves"]) * shared))
    if int(own["stock"]) < needed and sku not in brief.choose.own:
        yield f"It has {own['stock']} in stock, and {needed} would be needed."
