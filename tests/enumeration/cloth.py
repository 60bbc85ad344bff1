"""A fabric under a chart: how it is cut and bought, and what goes with it."""

from fractions import Fraction
from functools import cache
from math import lcm

from .goods import INCH, length_of, number, up

# Up to this effective count, the sizes of needle that suit.
NEEDLES = ((8, (18, 20, 22)), (11, (22, 24)), (16, (24, 26)), (22, (26, 28)))


class Sheet:
    """A fabric under a chart: the units that are bought, and what it asks of other rows."""

    def __init__(self, lines, cells, count, patch, finished):
        """Hold what is known; None where it is not."""
        self.lines, self.count, self.patch, self.finished = lines, count, patch, finished
        self.colour = cells.get("colours", "").lower()


@cache
def cuts(wide, high, long, short):
    """Count the pieces that straight cuts from edge to edge give, sides in whole units."""
    if min(wide, high) < short or max(wide, high) < long:
        return 0
    most = 1
    # A cut can be moved back to where sides of pieces add up.
    for side, other, turned in ((wide, high, False), (high, wide, True)):
        for a in range(side // long + 1):
            for b in range((side - a * long) // short + 1):
                at = a * long + b * short
                if 0 < at <= side - short:
                    one, two = (at, other), (side - at, other)
                    if turned:
                        one, two = one[::-1], two[::-1]
                    most = max(most, cuts(*one, long, short) + cuts(*two, long, short))
    return most


def pieces_of(size, cut):
    scale = lcm(*(Fraction(side).denominator for side in (*size, *cut)))
    sides = [int(side * scale) for side in size]
    piece = sorted(int(side * scale) for side in cut)
    return cuts(*sides, piece[1], piece[0])


def within(inner, outer):
    return all(a <= b for a, b in zip(sorted(inner), sorted(outer), strict=True))


class Cloths:
    """Fabric for designs, under a brief of so many kits."""

    def __init__(self, brief, kits):
        """Read margin, needles and sizes."""
        self.brief, self.kits, self.fit = brief, kits, brief.get("fit", {})

    def sheets(self, stitches, options):
        """Give every way to have fabric for a design, of options (row or None, cells)."""
        fit = self.fit
        margin = length_of(fit, "margin")
        margin = 3 * INCH if margin is None else margin
        for row, cells in options:
            count = finished = cut = None
            if cells.get("weave") and cells.get("count"):
                over = 1 if cells["weave"] == "aida" else number(fit.get("over", 2))
                count = number(cells["count"]) / over
            if count is not None and stitches is not None:
                finished = [side / count * INCH for side in stitches]
                cut = [side + 2 * margin for side in finished]
            size = length_of(cells, "width"), length_of(cells, "height")
            lines = []
            if row is not None and row.by_length:
                units, size = self.length_of_roll(row, size[0], cut)
                if units is None or not row.there_are(units):
                    continue
                lines = [(row, units)]
            else:
                size = None if None in size else size
                yields = None if cut is None or size is None else pieces_of(size, cut)
                if yields == 0:
                    continue
                if row is not None:
                    units = self.kits if yields is None else up(Fraction(self.kits, yields))
                    if not row.there_are(units):
                        continue
                    lines = [(row, units)]
                elif yields is not None and yields < self.kits:
                    continue
            patch = size if self.kits == 1 or (cut is None and row is not None) else cut
            yield Sheet(lines, cells, count, patch, finished)

    def length_of_roll(self, row, width, cut):
        """Give (steps, the piece that one head has if nothing is cut from it)."""
        step = number(row.cell("step_cm"))
        least = up(number(row.cell("smallest_cm")) / step)
        if cut is None:
            return self.kits * least, (width, least * step)
        if min(cut) > width:
            return None, None
        steps = least
        while pieces_of((width, steps * step), cut) < self.kits:
            steps += 1
        return steps, (width, steps * step)

    def goes_with(self, row, sheet):
        said = row.cells.get("opening_cm") or row.cells.get("opening_in")
        if said and sheet.finished and row.category not in ("chart", "fabric", "thread"):
            unit = 1 if row.cells.get("opening_cm") else INCH
            sides = [number(side) * unit for side in said.split("x")]
            if not within(sheet.finished, sides * 2 if len(sides) == 1 else sides):
                return False
        return self.tool_suits(row.category, row.cells, sheet)

    def tool_suits(self, category, cells, sheet):
        if category == "needle" and sheet.count is not None and cells.get("needle_sizes"):
            suit = next((sizes for most, sizes in NEEDLES if sheet.count <= most), (28,))
            for count, sizes in self.brief.get("fit", {}).get("needles", {}).items():
                if number(count) == sheet.count:
                    suit = sizes
            said = cells["needle_sizes"]
            sizes = said if isinstance(said, list) else said.split(";")
            return any(int(size) in suit for size in sizes)
        across = length_of(cells, "diameter") if category == "hoop" else None
        return across is None or sheet.patch is None or across + 5 <= min(sheet.patch)

    def sized(self, sheet):
        for key, sides in self.brief.get("size", {}).items():
            if sheet.finished is None:
                continue
            sides = [number(side) * (INCH if key.endswith("_in") else 1) for side in sides]
            pair = (sheet.finished, sides) if "at_most" in key else (sides, sheet.finished)
            if not within(*pair):
                return False
        return True
