"""The view model of a picking list: the lines of one kit or several, by where they lie."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.shop.guess.words import says
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.paper import SHELF
from kitsolver.solve.outcome import Kit


@dataclass(frozen=True)
class Picked:
    """A kit that the shop picks, and how many copies of it."""

    name: str
    kit: Kit
    brief: Brief
    copies: int


def shelf_column(columns: Iterable[str], asked: str) -> str:
    """Return the column that says where goods lie.

    Where nobody named one, and none is called ``shelf``, it is the first whose header means a place
    in the words of a till: "Regal" and "location" do.
    """
    if asked != SHELF or asked in (columns := tuple(columns)):
        return asked
    return next((name for name in columns if says("unused", "a place", name)), asked)


def picking_view(kits: Sequence[Picked], facts: GoodsFacts, column: str) -> dict[str, Any]:
    """Return the lines to pick, without what is at home, by the shop's column `column`.

    Each line has its units in each kit and in all, and what is then left on the shelf.
    """
    names: dict[str, str] = {}
    units: dict[str, list[int]] = {}
    places: dict[str, str] = {}
    for place, one in enumerate(kits):
        for line in one.kit.lines:
            if line.sku in one.brief.choose.own or not line.bought:
                continue
            names[line.sku] = line.name
            places[line.sku] = facts.cell(line.sku, column) or line.category
            units.setdefault(line.sku, [0] * len(kits))[place] += line.bought
    shelves: dict[str, list[dict[str, Any]]] = {}
    for sku in sorted(units, key=lambda sku: (_natural(places[sku]), sku)):
        every = sum(one.copies * each for one, each in zip(kits, units[sku], strict=True))
        stock = facts.stock(sku)
        shelves.setdefault(places[sku], []).append(
            {
                "sku": sku,
                "name": names[sku],
                "units": units[sku],
                "all": every,
                "left": None if stock is None else stock - every,
            }
        )
    return {
        "by_shelf": any(facts.cell(sku, column) for sku in units),
        "kits": [{"name": one.name, "copies": one.copies} for one in kits],
        "shelves": [{"place": place, "lines": lines} for place, lines in shelves.items()],
        "lines": len(units),
        "units": sum(line["all"] for lines in shelves.values() for line in lines),
    }


def _natural(text: str) -> list[tuple[int, int, str]]:
    """Return a key by which ``A2`` comes before ``A10``."""
    parts: list[tuple[int, int, str]] = []
    digits = ""
    for letter in f"{text.casefold()} ":
        if letter.isascii() and letter.isdigit():
            digits += letter
            continue
        if digits:
            parts.append((0, int(digits), ""))
            digits = ""
        parts.append((1, 0, letter))
    return parts
