"""The kit as a picture: the cloth and all that goes with it, laid out on a table to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from markupsafe import Markup

from kitsolver.brief.brief import Brief
from kitsolver.show.sheet.fabric_drawing import FabricDrawing, fabric_drawing
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.theme import UNDYED
from kitsolver.show.sheet.thing_html import body_of
from kitsolver.show.sheet.things import Thing, things_of
from kitsolver.show.sheet.tide import Band, bands
from kitsolver.solve.outcome import Kit

WIDTH, HEIGHT = 1000.0, 600.0
_EDGE, _GAP, _LETTERS, _LINE = 26.0, 22.0, 15.0, 18.0
# The cloth takes no more of the table's width than this.
_MOST_CLOTH = 0.56
# Scales that are tried, in units of the picture for a millimetre, from the largest down.
_SCALES = [step / 50 for step in range(150, 3, -1)]
# Goods beside a large cloth are drawn no smaller than this, if there is room.
_LEAST = (1.0, 0.8, 0.6, 0.45, 0.3, 0.2)
# Several of a kind lie on each other, each so much further to the right, or down.
_STACKED, _SUNK = 7.0, 4.0


class Placed(NamedTuple):
    """A thing and where it lies, in units of the picture; its name stands at `text`."""

    thing: Thing
    left: float
    top: float
    width: float
    height: float
    text: tuple[float, float]
    anchor: str
    lines: tuple[str, ...]

    @property
    def body(self) -> Markup:
        """The thing as it is drawn."""
        return body_of(self.thing.look, self.thing.colours, self.width, self.height)


@dataclass(frozen=True)
class Scene:
    """The picture of a kit.

    Parameters
    ----------
    cloth : FabricDrawing or None
        The cloth with its cuts and designs, in millimetres; None where it is not known.
    cloth_sku : str
        The line of the cloth; blank for one at home.
    colour : str
        The cloth's own.
    left, top, scale : float
        Where the cloth lies, and how many units of the picture a millimetre of it has.
    bands : tuple of Band
        What fills each design.
    placed : tuple of Placed
        All other things.
    same_scale : bool
        Whether the goods are drawn at the cloth's scale; else they are drawn larger or smaller.
    """

    cloth: FabricDrawing | None
    cloth_sku: str
    colour: str
    left: float
    top: float
    scale: float
    bands: tuple[Band, ...]
    placed: tuple[Placed, ...]
    same_scale: bool
    height: float = HEIGHT


def scene_of(kit: Kit, brief: Brief, facts: GoodsFacts) -> Scene:
    """Return the picture of a kit."""
    cloth = fabric_drawing(kit, brief)
    sku = next((line.sku for line in kit.lines if line.category == "fabric"), "")
    threads, others = things_of(kit, brief, facts)
    rooms = [(scale, *_cloth_room(cloth, scale)) for scale in _SCALES]
    fitting = [
        (scale, wide)
        for scale, wide, high in rooms
        if wide <= _MOST_CLOTH * WIDTH and high <= HEIGHT
    ]
    for least in _LEAST:
        for scale, wide in fitting:
            goods = max(scale, least) if cloth else scale
            placed = _laid(threads, others, wide + _EDGE, min(goods, 2.0))
            if placed is None:
                continue
            return _scene(cloth, sku, kit, scale, placed, same_scale=goods == scale)
    return _scene(cloth, sku, kit, _SCALES[-1], (), same_scale=True)


def _cloth_room(cloth: FabricDrawing | None, scale: float) -> tuple[float, float]:
    if cloth is None:
        return 0.0, 0.0
    return cloth.width * scale + 2 * _GAP + _LINE, cloth.height * scale + 2 * _EDGE + 2 * _LINE


def _scene(
    cloth: FabricDrawing | None,
    sku: str,
    kit: Kit,
    scale: float,
    placed: Sequence[Placed],
    *,
    same_scale: bool,
) -> Scene:
    bottom = max(
        (one.top + one.height + _LINE * max(2, len(one.lines)) for one in placed), default=0.0
    )
    cloth_bottom = cloth.height * scale + 2 * _EDGE + 2 * _LINE if cloth else 0.0
    height = max(bottom, cloth_bottom) + _EDGE / 2
    lift = (height - bottom - _EDGE / 2) / 2 if bottom < height else 0.0
    top = (height - (cloth.height * scale if cloth else 0)) / 2 + _LINE / 2
    return Scene(
        cloth=cloth,
        cloth_sku=sku,
        colour=kit.fit.cloth or UNDYED,
        left=_EDGE + _LINE,
        top=top,
        scale=scale,
        bands=tuple(bands(kit.shades)),
        placed=tuple(
            one._replace(top=one.top + lift, text=(one.text[0], one.text[1] + lift))
            for one in placed
        ),
        same_scale=same_scale,
        height=round(height, 1),
    )


def _laid(
    threads: Sequence[Thing], others: Sequence[Thing], left: float, scale: float
) -> tuple[Placed, ...] | None:
    """Return all things laid out to the right of the cloth; None if there is no room for them."""
    right = WIDTH - _EDGE
    placed = list(_thread_rows(threads, left, right, scale))
    top = max((one.top + one.height for one in placed), default=_EDGE - _GAP) + _GAP
    if any(one.left + one.width > right for one in placed):
        return None
    rows = []
    for row in _rows(others, right - left, scale):
        high = max(one.height for one in row) * scale
        rows.append((row, top, high))
        top += high + max(2, *(len(one.label) for one in row)) * _LINE + _GAP
        # Most scales are too large, so this is looked at before anything is placed.
        if top > HEIGHT:
            return None
    for row, begin, high in rows:
        wide = sum(max(one.width * scale, one.label_width) + _GAP for one in row) - _GAP
        spread = min(_GAP, (right - left - wide) / max(1, len(row)))
        at = left + spread / 2
        for one in row:
            room = max(one.width * scale, one.label_width)
            width, height = one.width * scale, one.height * scale
            x, y = at + (room - width) / 2, begin + high - height
            text = (at + room / 2, begin + high + _LINE + _SUNK * (one.drawn - 1))
            placed.append(Placed(one, x, y, width, height, text, "middle", one.label))
            at += room + _GAP + spread
    if top > HEIGHT or any(one.left + one.width > right + 1 for one in placed):
        return None
    return tuple(placed)


def _thread_rows(
    threads: Sequence[Thing], left: float, right: float, scale: float
) -> Iterator[Placed]:
    """Yield skeins and packs one above the other, in as many columns as they need."""
    if not threads:
        return
    widest = max(one.width for one in threads) * scale
    label = 150.0 if len(threads) <= 24 else 0.0
    columns = max(1, min(3, int((right - left + _GAP) // (widest + label + _GAP))))
    each = -(-len(threads) // columns)
    y = _EDGE
    for number, one in enumerate(threads):
        column, row = divmod(number, each)
        y = _EDGE if row == 0 else y
        width, height = one.width * scale, one.height * scale
        x = left + column * (widest + label + _GAP)
        text = (x + widest + 14 + _STACKED * (one.drawn - 1), y + height / 2 + _LETTERS / 3)
        yield Placed(one, x, y, width, height, text, "start", one.label if label else ())
        y += max(height, _LETTERS) + 9


def _rows(others: Sequence[Thing], room: float, scale: float) -> Iterator[list[Thing]]:
    row: list[Thing] = []
    used = 0.0
    for one in others:
        wide = max(one.width * scale, one.label_width) + _GAP
        if row and used + wide - _GAP > room:
            yield row
            row, used = [], 0.0
        row.append(one)
        used += wide
    if row:
        yield row
