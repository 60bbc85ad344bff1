"""Several kits from one stock: what an address asks for, and the tasks of worker processes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from kitsolver.brief.brief import Brief
from kitsolver.brief.range import Range, RangeKit
from kitsolver.brief.reading import with_settings
from kitsolver.explain.range import why_lacking
from kitsolver.page.address import MOST_COPIES, copies_in
from kitsolver.page.catalogue_to_read import CatalogueToRead, catalogue_of
from kitsolver.page.everyday import skus_named
from kitsolver.page.tasks import SEARCHING
from kitsolver.page.wishes.typed_numbers import TwoReadings, read_number
from kitsolver.show.range import ending_sentences, none_sentences
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.picking_view import Picked
from kitsolver.show.sheet.sheet import picking_html
from kitsolver.solve.outcome import Kit
from kitsolver.solve.ranges.range import pick_range
from kitsolver.solve.time_limit import TimeLimit

MOST_KITS = 8
_KEY = re.compile(r"k([1-9])\.(name|cap|copies)")
SOURCE = "the address"


@dataclass(frozen=True)
class KitAsked:
    """One of several kits: its name, what may be spent on it, and how many are made."""

    name: str
    cap: str = ""
    copies: int = 1


@dataclass(frozen=True)
class SeveralAsked:
    """What an address asks of several kits.

    Parameters
    ----------
    kits : tuple of KitAsked
        Each kit; one without a sum has the brief's.
    distinct : tuple of str
        The categories of which no two kits have the same.
    """

    kits: tuple[KitAsked, ...]
    distinct: tuple[str, ...] = ()

    @classmethod
    def read(cls, parameters: Iterable[tuple[str, str]]) -> SeveralAsked:
        """Return what the parameters of an address say."""
        given: dict[int, dict[str, str]] = {}
        distinct, number = [], 0
        for key, value in parameters:
            if match := _KEY.fullmatch(key):
                given.setdefault(int(match[1]), {})[match[2]] = value[:60]
            elif key == "distinct":
                distinct.append(value)
            elif key == "kits":
                number = min(MOST_KITS, copies_in(value, 2))
        number = max(number, *given, 1) if given else number or 2
        kits = []
        for place in range(1, min(MOST_KITS, number) + 1):
            one = given.get(place, {})
            amount = read_number(one.get("cap", ""))
            cap = amount.readings[1] if isinstance(amount, TwoReadings) else amount
            name = one.get("name", "").strip() or f"Kit {place}"
            kits.append(KitAsked(name, cap, copies_in(one.get("copies", ""))))
        return cls(tuple(kits), tuple(dict.fromkeys(distinct)))

    @staticmethod
    def own_keys(keys: Iterable[str]) -> Iterator[str]:
        """Yield those parameters that are about several kits, and not about the brief."""
        for key in keys:
            if _KEY.fullmatch(key) or key in ("distinct", "kits"):
                yield key

    @property
    def pairs(self) -> Iterator[tuple[str, str]]:
        """The parameters."""
        for place, kit in enumerate(self.kits, start=1):
            yield f"k{place}.name", kit.name
            yield f"k{place}.cap", kit.cap
            yield f"k{place}.copies", str(kit.copies)
        for category in self.distinct:
            yield "distinct", category

    def range(self, brief: Brief) -> Range:
        """Return the range that is asked for, each kit by the same brief but for its sum.

        Raises
        ------
        BadInput
            If a sum is none.
        """
        kits = tuple(
            RangeKit(
                kit.name,
                min(MOST_COPIES, kit.copies),
                with_settings(brief, cap=kit.cap, name=SOURCE) if kit.cap else brief,
            )
            for kit in self.kits
        )
        return Range(SOURCE, brief.title, brief.currency, False, self.distinct, kits)


@dataclass(frozen=True)
class SeveralFound:
    """Several kits that were found, or in sentences why there are none.

    Parameters
    ----------
    kits : tuple of Kit
        Each kit; empty if there are none.
    says : tuple of str
        What they come to together, what they clash over, or why there are none.
    facts : GoodsFacts
        Of the goods of all kits.
    """

    kits: tuple[Kit, ...]
    briefs: tuple[Brief, ...]
    says: tuple[str, ...]
    facts: GoodsFacts


def several(source: CatalogueToRead, brief: Brief, asked: SeveralAsked) -> SeveralFound:
    """Return the kits that are best together."""
    catalogue = catalogue_of(source)
    found = pick_range(catalogue, asked.range(brief), seconds=SEARCHING)

    def name(sku: str) -> str:
        return str(catalogue.row(sku)["name"] or sku)

    if found.kits:
        says = ending_sentences(found, name)
    else:
        says = none_sentences(found, why_lacking(found, catalogue), name)
    told = tuple(map(str.strip, says))
    skus = [line.sku for kit in found.kits for line in kit.lines]
    skus += skus_named(told)
    briefs = tuple(kit.brief for kit in found.asked.kits)
    return SeveralFound(found.kits, briefs, told, GoodsFacts.of(catalogue, skus))


def most_copies(source: CatalogueToRead, brief: Brief, too_many: int) -> int:
    """Return of how many copies of one kit the stock makes enough, below a number it does not."""
    catalogue, limit = catalogue_of(source), TimeLimit(SEARCHING)
    least, most = 0, too_many
    while most - least > 1 and limit.left:
        copies = (least + most) // 2
        asked = SeveralAsked((KitAsked("Kit", copies=copies),)).range(brief)
        if pick_range(catalogue, asked, seconds=limit.left).kits:
            least = copies
        else:
            most = copies
    return least


def several_sheet(source: CatalogueToRead, brief: Brief, asked: SeveralAsked, paper: Paper) -> str:
    """Return the picking list of all kits together."""
    catalogue = catalogue_of(source)
    found = pick_range(catalogue, asked.range(brief), seconds=SEARCHING)
    kits = [
        Picked(each.name, kit, each.brief, each.copies)
        for each, kit in zip(found.asked.kits, found.kits, strict=False)
    ]
    return picking_html(kits, brief.title, replace(paper, catalogue=catalogue))
