"""What is different today about the lines of a saved kit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitsolver.brief.brief import Brief
from kitsolver.brief.meeting import Shelf
from kitsolver.craft.lengths import CM
from kitsolver.explain.recheck.saved import Saved
from kitsolver.shop.catalogue import UNLIMITED, Catalogue
from kitsolver.shop.money import held_per_minor, to_text
from kitsolver.solve.outcome import Line
from kitsolver.solve.presolve.scoring import scored


@dataclass(frozen=True)
class LineChange:
    """What is different today about one line of a saved kit.

    Parameters
    ----------
    what : str
        ``vanished``, ``category``, ``price``, ``quality`` or ``stock``.
    before, now : str
        As text; blank where there is nothing to tell.
    """

    sku: str
    what: str
    before: str
    now: str


def line_changes(saved: Saved, brief: Brief, catalogue: Catalogue) -> Iterator[LineChange]:
    """Find what is different today about each line of a saved kit.

    Parameters
    ----------
    saved : Saved
        The kit.
    brief : Brief
        What was asked, without what has vanished.
    catalogue : Catalogue
        Today's.
    """
    for line in saved.lines:
        if line.sku not in catalogue:
            yield LineChange(line.sku, "vanished", line.name, "")
            continue
        category = catalogue.row(line.sku)["category"]
        if category != line.category:
            yield LineChange(line.sku, "category", line.category, category)
            continue
        price, quality, stock = today_of(line, brief, catalogue)
        if price != line.price:
            sums = (to_text(sum_, brief.currency) for sum_ in (line.price, price))
            yield LineChange(line.sku, "price", *sums)
        if quality != line.quality:
            yield LineChange(line.sku, "quality", f"{line.quality / 100:g}", f"{quality / 100:g}")
        if (at_home := catalogue.at_home(line.sku)) is not None:
            # What is only there is not in stock at all.
            stock = at_home.units + (0 if at_home.only_here else stock)
        if stock < line.units:
            yield LineChange(line.sku, "stock", str(line.units), str(stock))


def today_of(line: Line, brief: Brief, catalogue: Catalogue) -> tuple[int, int, int]:
    """Return today's price of a line in minor units, its quality in hundredths, and its stock.

    Parameters
    ----------
    line : Line
        A line of a saved kit whose row is in the catalogue still.
    brief : Brief
        What was asked: rows it owns cost nothing, and it may score quality itself.
    catalogue : Catalogue
        Today's.
    """
    goods = catalogue.goods(line.sku)
    price, quality, stock = (int(goods[name]) for name in ("price", "quality", "stock"))
    if line.role == "need" and line.category in brief.holds and brief.need(line.category).score:
        every = Shelf(line.category, catalogue.rows[line.category], catalogue.cells)
        one = every.only(line.sku)
        quality = int(scored(one, brief.need(line.category))[0])
    if line.category == "fabric" and goods["sold_by"]:
        # A unit off the roll is a step, and the price that of 10 cm.
        price = price * int(goods["step_cm"]) // (10 * CM)
    if goods["download"]:
        stock = UNLIMITED
    if line.sku in brief.choose.own:
        return 0, quality, UNLIMITED
    return price // held_per_minor(brief.currency), quality, stock
