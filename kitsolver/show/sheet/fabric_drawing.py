"""A drawing of the fabric to scale, with the design and its cuts, in millimetres."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import floor, prod

from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import plan
from kitsolver.craft.fit import Size, within
from kitsolver.craft.lengths import CM
from kitsolver.show.sentences import size_text
from kitsolver.solve.outcome import Kit

# More designs than this can hardly be seen, and are not drawn.
_MOST_DRAWN = 200


@dataclass(frozen=True)
class Box:
    """A rectangle of the drawing; `kind` is ``cut``, ``design`` or ``repeat``."""

    kind: str
    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True)
class FabricDrawing:
    """A fabric, and the cuts and designs that lie on it.

    Parameters
    ----------
    width, height : float
        The fabric's size.
    boxes : tuple of Box
        The cuts and the designs.
    across, down : str
        The fabric's width and height, as text.
    design, cut : str
        The sizes of the finished design and of one cut, as text.
    says : str
        A sentence that says what the drawing shows.
    units : int
        How many such pieces of fabric there are.
    """

    width: float
    height: float
    boxes: tuple[Box, ...]
    across: str
    down: str
    design: str
    cut: str
    says: str
    units: int

    @property
    def cut_lines(self) -> tuple[tuple[float, float, float, float], ...]:
        """Where scissors go: lines from one point to another, each once, none along the edge."""
        along: dict[tuple[bool, float], list[tuple[float, float]]] = {}
        for box in self.boxes:
            if box.kind != "cut":
                continue
            right, bottom = round(box.left + box.width, 1), round(box.top + box.height, 1)
            left, top = round(box.left, 1), round(box.top, 1)
            for x in (left, right):
                if 0 < x < round(self.width, 1):
                    along.setdefault((True, x), []).append((top, bottom))
            for y in (top, bottom):
                if 0 < y < round(self.height, 1):
                    along.setdefault((False, y), []).append((left, right))
        return tuple(
            (at, start, at, end) if upright else (start, at, end, at)
            for (upright, at), parts in sorted(along.items())
            for start, end in _joined(parts)
        )


def _joined(parts: Iterable[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Yield the stretches that parts of a line cover, those that touch as one."""
    start, end = 0.0, -1.0
    for low, high in sorted(parts):
        if low > end + 0.2:
            if end >= start:
                yield start, end
            start, end = low, high
        end = max(end, high)
    if end >= start:
        yield start, end


def fabric_drawing(kit: Kit, brief: Brief) -> FabricDrawing | None:
    """Return the drawing of a kit's fabric; None where its size or the design's is not known."""
    fit = kit.fit
    if fit.fabric is None or fit.finished is None or fit.cut is None:
        return None
    boxes = tuple(_cuts(kit, brief) if brief.kits > 1 else _designs(kit, brief))
    unit = brief.units
    across, down = (size_text(Size(side, side), unit) for side in fit.fabric)
    sizes = size_text(fit.finished, unit), size_text(fit.cut, unit)
    drawn = sum(box.kind != "cut" for box in boxes)
    says = (
        f"A fabric of {size_text(fit.fabric, unit)}, to scale. The design finishes at "
        f"{sizes[0]} and is cut to {sizes[1]}; it is drawn {drawn} "
        f"{'time' if drawn == 1 else 'times'}."
    )
    return FabricDrawing(
        width=_mm(fit.fabric.width),
        height=_mm(fit.fabric.height),
        boxes=boxes,
        across=across.partition(" × ")[2],
        down=down.partition(" × ")[2],
        design=sizes[0],
        cut=sizes[1],
        says=says,
        units=1
        if fit.rolled
        else sum(line.units for line in kit.lines if line.category == "fabric") or 1,
    )


def _mm(length: Fraction) -> float:
    return round(float(length / CM) * 10, 2)


def _box(kind: str, left: Fraction, top: Fraction, size: Size) -> Box:
    return Box(kind, _mm(left), _mm(top), _mm(size.width), _mm(size.height))


def _cuts(kit: Kit, brief: Brief) -> Iterator[Box]:
    """Yield the cuts of one piece of fabric, no more than there are kits, each with its design."""
    fit, margin = kit.fit, brief.fit.margin
    assert fit.cut is not None
    assert fit.fabric is not None
    number = min(brief.kits, fit.pieces or 0, _MOST_DRAWN)
    for cut in plan(fit.cut, fit.fabric, number):
        yield _box("cut", cut.left, cut.top, Size(cut.width, cut.height))
        inner = Size(cut.width - 2 * margin, cut.height - 2 * margin)
        yield _box("design", cut.left + margin, cut.top + margin, inner)


def _designs(kit: Kit, brief: Brief) -> Iterator[Box]:
    """Yield the cut of a single design, and the places where it could be stitched again."""
    fit, margin = kit.fit, brief.fit.margin
    assert fit.cut is not None
    assert fit.fabric is not None
    assert fit.finished is not None
    ways = [(fit.finished, fit.cut), (fit.finished.turned, fit.cut.turned)]
    fitting = [way for way in ways if within(way[1], fit.fabric)]
    # The design lies the way round in which it fits most often.
    design, cut = max(fitting, key=lambda way: prod(_rows(way[0], margin, kit)))
    yield _box("cut", Fraction(0), Fraction(0), cut)
    columns, rows = _rows(design, margin, kit)
    for number in range(min(columns * rows, _MOST_DRAWN)):
        row, column = divmod(number, columns)
        left = margin + column * (design.width + margin)
        top = margin + row * (design.height + margin)
        yield _box("repeat" if number else "design", left, top, design)


def _rows(design: Size, margin: Fraction, kit: Kit) -> tuple[int, int]:
    """Return how often a design fits across and down; neighbours share one margin."""
    fabric = kit.fit.fabric
    assert fabric is not None
    across, down = (
        max(0, floor((side - margin) / (length + margin)))
        for side, length in zip(fabric, design, strict=True)
    )
    return across, down
