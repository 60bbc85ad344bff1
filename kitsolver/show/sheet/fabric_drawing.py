"""The fabric to scale: where the design, its margins and its cuts lie, in millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import floor, prod

from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import plan
from kitsolver.craft.fit import Size, within
from kitsolver.craft.lengths import CM
from kitsolver.show.sentences import size_text
from kitsolver.solve.outcome import Kit

# More pieces than this are a pattern, and are drawn as so many.
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
    """A fabric and what lies on it.

    Parameters
    ----------
    width, height : float
        The fabric's.
    boxes : tuple of Box
        What lies on it.
    across, down : str
        The fabric's measures.
    design, cut : str
        The measures of the finished design and of one cut.
    says : str
        What is to be seen, in words.
    units : int
        How many such fabrics there are.
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
    def first(self) -> Box:
        """The design that carries the measures."""
        return next(box for box in self.boxes if box.kind == "design")

    @property
    def type_size(self) -> float:
        """How high letters are, so that they are as large on every sheet."""
        return max(self.width, self.height) / 26


def fabric_drawing(kit: Kit, brief: Brief) -> FabricDrawing | None:
    """Return the drawing of a kit's fabric; None where its size or the design's is not known."""
    fit = kit.fit
    if fit.fabric is None or fit.finished is None or fit.cut is None:
        return None
    boxes = tuple(_cuts(kit, brief) if brief.kits > 1 else _designs(kit, brief))
    unit = brief.units
    across, down = (size_text(Size(side, side), unit) for side in fit.fabric)
    measures = size_text(fit.finished, unit), size_text(fit.cut, unit)
    drawn = sum(box.kind != "cut" for box in boxes)
    says = (
        f"A fabric of {size_text(fit.fabric, unit)}, to scale. The design finishes at "
        f"{measures[0]} and is cut to {measures[1]}; it is drawn {drawn} "
        f"{'time' if drawn == 1 else 'times'}."
    )
    return FabricDrawing(
        width=_mm(fit.fabric.width),
        height=_mm(fit.fabric.height),
        boxes=boxes,
        across=across.partition(" × ")[2],
        down=down.partition(" × ")[2],
        design=measures[0],
        cut=measures[1],
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
    """Yield the pieces as they are cut, one a head at the most, each with its design."""
    fit, margin = kit.fit, brief.fit.margin
    assert fit.cut is not None
    assert fit.fabric is not None
    number = min(brief.kits, fit.pieces or 0, _MOST_DRAWN)
    for cut in plan(fit.cut, fit.fabric, number):
        yield _box("cut", cut.left, cut.top, Size(cut.width, cut.height))
        inner = Size(cut.width - 2 * margin, cut.height - 2 * margin)
        yield _box("design", cut.left + margin, cut.top + margin, inner)


def _designs(kit: Kit, brief: Brief) -> Iterator[Box]:
    """Yield the cut of the one design, and how often it could be stitched beside it."""
    fit, margin = kit.fit, brief.fit.margin
    assert fit.cut is not None
    assert fit.fabric is not None
    assert fit.finished is not None
    ways = [(fit.finished, fit.cut), (fit.finished.turned, fit.cut.turned)]
    fitting = [way for way in ways if within(way[1], fit.fabric)]
    # The way round that leaves room for most.
    design, cut = max(fitting, key=lambda way: prod(_rows(way[0], margin, kit)))
    yield _box("cut", Fraction(0), Fraction(0), cut)
    columns, rows = _rows(design, margin, kit)
    for number in range(min(columns * rows, _MOST_DRAWN)):
        row, column = divmod(number, columns)
        left = margin + column * (design.width + margin)
        top = margin + row * (design.height + margin)
        yield _box("repeat" if number else "design", left, top, design)


def _rows(design: Size, margin: Fraction, kit: Kit) -> tuple[int, int]:
    """Return how often a design goes across and down, neighbours sharing one margin."""
    fabric = kit.fit.fabric
    assert fabric is not None
    across, down = (
        max(0, floor((side - margin) / (length + margin)))
        for side, length in zip(fabric, design, strict=True)
    )
    return across, down
