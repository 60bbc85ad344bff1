"""The things of a kit as they are drawn: what each looks like, and how large it is.

Cloth and hoops have the sizes that the catalogue gives. Of other goods it gives none, so they are
drawn as large as such things usually are (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import ceil

from kitsolver.brief.brief import Brief
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.tide import from_dark_to_light
from kitsolver.solve.outcome import Kit, Line

# Width and height of each look, in millimetres.
_USUAL: dict[str, tuple[float, float]] = {
    "leaflet": (74, 105),
    "needle": (34, 62),
    "scissors": (46, 100),
    "card": (105, 74),
    "stick": (16, 130),
    "round": (62, 62),
    "small": (30, 30),
    "bag": (110, 120),
    "frame": (120, 120),
    "parcel": (95, 70),
}
_SKEIN = (82.0, 15.0)
_PACK = (92.0, 20.0)
# The look of a category; any other is a parcel.
_LOOKS = {
    "chart": "leaflet",
    "needle": "needle",
    "scissors": "scissors",
    "card": "card",
    "gift-wrap": "parcel",
    "book": "leaflet",
    "marker": "stick",
    "pen": "stick",
    "seam-ripper": "stick",
    "ruler": "stick",
    "pincushion": "round",
    "needle-minder": "small",
    "thimble": "small",
    "bag": "bag",
    "frame": "frame",
}
_DRAWN_UNITS = 3
# So much of a name fits into a unit of a picture's width, and into a line of a label.
_LETTER_WIDTH = 7.4
_LETTERS, _LETTERS_OF_THREAD = 18, 24
_MOST_LINES = 3


@dataclass(frozen=True)
class Thing:
    """One thing on the table.

    Parameters
    ----------
    look : str
        Which drawing stands for it.
    sku : str
        The line of the kit that it belongs to; blank for what is only described as at home.
    name : str
        What it is called.
    width, height : float
        In millimetres.
    units : int
        How many there are; no more than three are drawn.
    colours : tuple of str
        Of thread; of a chart, as it is charted.
    home : bool
        Whether it is at home.
    """

    look: str
    sku: str
    name: str
    width: float
    height: float
    units: int = 1
    colours: tuple[str, ...] = ()
    home: bool = False

    @property
    def drawn(self) -> int:
        """How many of its units are drawn."""
        return max(1, min(self.units, _DRAWN_UNITS))

    @cached_property
    def label(self) -> tuple[str, ...]:
        """Its name in at most three short lines, with the number of units."""
        counted = f"{self.units} × {self.name}" if self.units > 1 else self.name
        where = f" ({texts('kitsolver.show.sheet').strips.at_home})" if self.home else ""
        if self.look in ("skein", "pack"):
            return (f"{_cut(counted, _LETTERS_OF_THREAD - len(where))}{where}",)
        lines = [""]
        for word in f"{counted}{where}".split():
            if lines[-1] and len(lines[-1]) + 1 + len(word) > _LETTERS:
                lines.append(word)
            else:
                lines[-1] = f"{lines[-1]} {word}".strip()
        if len(lines) > _MOST_LINES:
            rest = _cut(" ".join(lines[_MOST_LINES - 1 :]), _LETTERS)
            lines = [*lines[: _MOST_LINES - 1], rest]
        return tuple(_cut(line, _LETTERS + 4) for line in lines)

    @cached_property
    def label_width(self) -> float:
        """How wide its label is, in units of the picture."""
        return max(map(len, self.label), default=0) * _LETTER_WIDTH


def things_of(kit: Kit, brief: Brief, facts: GoodsFacts) -> tuple[list[Thing], list[Thing]]:
    """Return the threads of a kit, and its other things but the cloth."""
    threads, others = list(_threads(kit, brief, facts)), []
    for line in kit.lines:
        if line.category in ("fabric", "thread"):
            continue
        others.append(_thing(line, kit, brief, facts))
    for need in brief.holds:
        if brief.need(need).have is not False and not brief.buys(need) and need != "fabric":
            width, height = _USUAL[_LOOKS.get(need, "parcel")]
            others.append(Thing(_LOOKS.get(need, "parcel"), "", need, width, height, home=True))
    return threads, others


def _threads(kit: Kit, brief: Brief, facts: GoodsFacts) -> Iterator[Thing]:
    """Yield skeins and packs in the order from dark to light, each row of the shop once."""
    lines = {line.sku: line for line in kit.lines if line.category == "thread"}
    ordered = from_dark_to_light(kit.shades)
    skus = dict.fromkeys(shade.sku for shade in ordered if shade.sku in lines)
    for sku in [*skus, *(sku for sku in lines if sku not in skus)]:
        if sku is None:
            continue
        line = lines[sku]
        used = tuple(shade.thread_colour for shade in ordered if shade.sku == sku)
        every = facts.colours(sku) or used
        look, (width, height) = ("pack", _PACK) if len(every) > 1 else ("skein", _SKEIN)
        home = sku in brief.choose.own or (line.listed and not line.bought)
        yield Thing(look, sku, short_name(line.name), width, height, line.units, every, home)
    for shade in ordered:
        if shade.sku is None:
            colours = (shade.thread_colour,)
            yield Thing("skein", "", shade.thread_colour, *_SKEIN, 1, colours, home=True)


def _thing(line: Line, kit: Kit, brief: Brief, facts: GoodsFacts) -> Thing:
    look = _LOOKS.get(line.category, "parcel")
    width, height = _USUAL[look]
    if line.category == "hoop":
        across = facts.millimetres(line.sku, "diameter") or 150.0
        look, width, height = "hoop", across, across + 8
    colours: tuple[str, ...] = ()
    if line.category == "chart":
        # Each colour once for every twelfth of the stitches, so that proportions can be seen.
        every = float(sum(shade.stitches for shade in kit.shades)) or 1.0
        colours = tuple(
            shade.chart_colour
            for shade in kit.shades
            for _ in range(ceil(12 * float(shade.stitches) / every))
        )
    home = line.sku in brief.choose.own or (line.listed and not line.bought)
    return Thing(look, line.sku, line.name, width, height, line.units, colours, home)


def short_name(name: str) -> str:
    """Return the part of a thread's name that tells it from others: what stands after the comma."""
    return name.rpartition(",")[2].strip() or name


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip(' ,')}…"
