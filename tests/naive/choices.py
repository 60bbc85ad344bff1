"""One way to meet a need (or several needs at once), and the ways a plain need can be met."""

from fractions import Fraction
from typing import NamedTuple

from .goods import bought as buying
from .goods import in_stock, meets, worth
from .home import spared
from .numbers import ceiling, exact

DEFAULT_NEEDS = ["chart", "fabric", "thread", "needle", "scissors"]


class Choice(NamedTuple):
    """What is bought for a need; points are quality times weight."""

    points: Fraction = Fraction(0)
    goods: int = 0
    lines: tuple = ()
    places: tuple = ()
    skeins: tuple = ()
    downloaded: int = 0
    taxed: tuple = ()
    trade: Fraction = Fraction(0)

    def __add__(self, other):
        return Choice(*(mine + its for mine, its in zip(self, other, strict=True)))


NOTHING = Choice()


def makes(brief):
    """Give how many kits are made: one for every head, and the spare ones."""
    return brief.get("heads", 1) + brief.get("spare", 0)


def needs_of(brief):
    return brief.get("holds", DEFAULT_NEEDS)


def need_of(brief, category):
    return brief.get("needs", {}).get(category, {})


def at_home(brief, category):
    """Tell what is at home: None (nothing), True (undescribed), or its description."""
    have = need_of(brief, category).get("have", False)
    return None if have is False else have


def bought(brief, category):
    """Tell whether a need is bought and scored; thread at home still competes with the shop."""
    if category not in needs_of(brief):
        return False
    have = at_home(brief, category)
    return have is None or isinstance(have, list)


def usable(rows, brief, category):
    need = need_of(brief, category)
    return [row for row in rows if row.category == category and meets(row, need, brief)]


def units(row, brief, shared_by=1):
    number = ceiling(makes(brief), row.serves * shared_by)
    return number if row.metres is None else spared(row, number)


def choice(row, number, brief):
    """Buy a number of one row for its need; give no choice where stock is short."""
    if not in_stock(row, number):
        return []
    need = need_of(brief, row.category)
    weight = exact(need.get("weight", 1))
    return [Choice(weight * worth(row, need), **bill([(row, number)]))]


def bill(lines):
    """Give what (row, number of units) come to, for a choice."""
    return {
        "goods": sum(buying(row, number) * row.price for row, number in lines),
        "lines": tuple(sorted((row.sku, number) for row, number in lines)),
        "downloaded": sum(buying(row, number) * row.price for row, number in lines if row.download),
        "taxed": tuple(
            (row.tax, buying(row, number) * row.price)
            for row, number in lines
            if row.tax is not None
        ),
        "trade": sum((buying(row, number) * row.trade for row, number in lines), Fraction(0)),
    }


def plain(rows, brief, category):
    """Give the choices of a need that is met by one row and no special rule."""
    shared_by = need_of(brief, category).get("shared_by", 1)
    return [
        one
        for row in usable(rows, brief, category)
        for one in choice(row, units(row, brief, shared_by), brief)
    ]
