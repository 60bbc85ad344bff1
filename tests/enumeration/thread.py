"""Colours: how far apart they are, how much thread they take, and every way to choose them."""

from fractions import Fraction
from functools import cache
from math import isqrt

import numpy as np
from colour.difference import delta_E_CIE2000

from .goods import INCH, half_up, number, points_of, up

TO_XYZ = np.array(
    [
        [0.4123907993, 0.3575843394, 0.1804807884],
        [0.2126390059, 0.7151686788, 0.0721923154],
        [0.0193308187, 0.1191947798, 0.9505321522],
    ]
)
WHITE = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])


@cache
def lab(colour):
    """Give CIE L*a*b* of sRGB (IEC 61966-2-1 and CIE 15), with the specification's matrix."""
    levels = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    linear = np.where(levels > 0.04045, ((levels + 0.055) / 1.055) ** 2.4, levels / 12.92)
    ratio = TO_XYZ @ linear / WHITE
    straight = ratio * (29 / 6) ** 2 / 3 + 4 / 29
    x, y, z = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), straight)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


DIFFERENCES = {}


def learn(colours):
    """Compute how far these colours are apart, in ten-thousandths, half up; all of them at once.

    The formula is the library's.
    """
    if all((colour, colour) in DIFFERENCES for colour in colours):
        return
    colours = sorted(colours)
    values = np.array([lab(colour) for colour in colours])
    table = delta_E_CIE2000(values[:, None, :], values[None, :, :])
    DIFFERENCES.clear()
    for one, row in zip(colours, table.tolist(), strict=True):
        for other, away in zip(colours, row, strict=True):
            DIFFERENCES[one, other] = half_up(Fraction(away) * 10_000)


def apart(one, other):
    """Give CIEDE2000 of two colours that were learnt."""
    return DIFFERENCES[min(one, other), max(one, other)]


@cache
def lightness(colour):
    return half_up(Fraction(float(lab(colour)[0])) * 10_000)


class Place:
    """One colour of a thread row, or a shade at home (row None)."""

    def __init__(self, row, index, colour, need):
        """Hold the colour; a shade at home is of quality 100, cotton, 8 m of six strands."""
        self.row, self.key, self.colour = row, ("" if row is None else row.sku, index), colour
        self.points = Fraction(100) if row is None else points_of(row, need)
        self.kind = "cotton" if row is None else row.cell("kind")
        self.skein_m = number(8 if row is None else row.cell("skein_m"))
        self.plies = number(6 if row is None else row.cell("strands"))


def usual_strands(count):
    for most, strands in ((8, 4), (11, 3), (18, 2)):
        if count <= most:
            return strands
    return 1


def exactly_up(root, rest):
    """Round rest + root * sqrt(2) up to a whole number; root is not negative."""
    if root == 0:
        return up(rest)
    scale = rest.denominator * root.denominator
    part = int(root * scale)
    # The sum is irrational, so it is above its whole part.
    return (int(rest * scale) + isqrt(2 * part * part)) // scale + 1


class Dyer:
    """Chooses thread for the colours of a chart on a fabric."""

    def __init__(self, rows, brief, kits):
        """Read the thread rows that may be taken and the brief that asks."""
        self.brief, self.need = brief, brief.get("needs", {}).get("thread", {})
        self.fit, self.shades = brief.get("fit", {}), brief.get("shades", {})
        self.free = self.shades.get("mode") == "free"
        self.counts = number(self.need.get("weight", 1)) > 0
        self.sharing = min(self.need.get("shared_by", 1), kits)
        self.pools = up(Fraction(kits, self.sharing))
        have = self.need.get("have")
        shades = have if isinstance(have, list) else []
        self.places = [Place(None, i, c.lower(), self.need) for i, c in enumerate(shades)]
        for row in rows:
            self.places += [
                Place(row, index, colour.lower(), self.need)
                for index, colour in enumerate(row.parts("colours"))
            ]
        self.contrast = 10_000 * number(self.shades.get("contrast", 10))
        self.tolerance = 10_000 * number(self.shades.get("tolerance", 6))
        self.on_cloth = 10_000 * number(self.shades.get("on_cloth", 0))
        self.keeps_values = self.shades.get("keep_values", True)
        self.go_together = cache(self._go_together)
        self.found = {}

    def metres(self, asked, count):
        """Give (root, rest): one strand for a pool takes rest + root * sqrt(2) metres."""
        strands = self.fit.get("strands") or asked["strands"] or usual_strands(count)
        waste = 1 + number(self.fit.get("waste", "0.2"))
        crosses = 2 * asked["stitches"] / count * INCH / 100 * number(strands)
        back = 2 * asked["backstitch"] / 100
        times = waste * self.sharing
        return crosses * times, (crosses + back) * times

    def skeins(self, place, asked, count):
        """Give how many skeins are bought for all pools."""
        a_pool, root, rest = 1, Fraction(0), place.skein_m
        if count is not None:
            root, rest = (part / place.plies for part in self.metres(asked, count))
            a_pool = exactly_up(root / place.skein_m, rest / place.skein_m)
        if place.row is None or place.row.metres is None:
            return a_pool * self.pools
        # Of c skeins a pool, home may stand for the last one (t metres) or for whole ones.
        have, whole, pools = place.row.metres, place.skein_m, self.pools
        last = rest - (a_pool - 1) * whole
        saved = 0
        while saved < pools and not self.exceeds(root, last, saved + 1, have):
            saved += 1
        more = 0
        if saved == pools:
            while more < pools * (a_pool - 1) and not self.exceeds(
                root, last, pools, have - (more + 1) * whole
            ):
                more += 1
        return pools * a_pool - saved - more

    @staticmethod
    def exceeds(root, last, times, have):
        """Tell whether `times` last skeins are more than the metres that are there."""
        gap = have - last * times
        return gap < 0 or 2 * (root * times) ** 2 > gap * gap

    def points(self, place, asked):
        targets = [asked["colour"]]
        if self.free:
            targets = [colour.lower() for colour in self.shades.get("wish", [])]
        away = min((apart(target, place.colour) for target in targets), default=0)
        lost = number(self.shades.get("mismatch", 5)) * Fraction(away, 10_000)
        return half_up(max(place.points - lost, 0) * 100)

    def may(self, place, asked, cloth_colour):
        """Tell whether a place may colour what a chart asks, on a fabric of a colour."""
        kinds = [asked["kind"], *self.shades.get("kinds", {}).get(asked["kind"], [])]
        if place.kind not in kinds:
            return False
        if not self.free and apart(asked["colour"], place.colour) > self.tolerance:
            return False
        if not cloth_colour:
            return True
        least = max(self.on_cloth, self.contrast) if self.free else self.on_cloth
        return apart(cloth_colour, place.colour) >= least

    def together(self, one, other):
        """Tell whether two (place, asked) may stand beside each other."""
        (place, asked), (its, its_asked) = one, other
        if place is its:
            return False
        return not self.free or self.go_together(
            asked["colour"], place.colour, its_asked["colour"], its.colour
        )

    def _go_together(self, asked, mine, its_asked, its):
        """Tell whether free colours differ enough, and keep the order from dark to light."""
        if apart(mine, its) < self.contrast:
            return False
        charted, given = (lightness(a) - lightness(b) for a, b in ((asked, its_asked), (mine, its)))
        return not (self.keeps_values and charted * given < 0)

    def choices(self, colours, count, cloth_colour):
        """Give every choice: (hundredths of points over all colours, units by row, places)."""
        key = tuple(tuple(asked.items()) for asked in colours), count, cloth_colour
        if key not in self.found:
            offers = [
                [
                    (place, asked, self.skeins(place, asked, count), self.points(place, asked))
                    for place in self.places
                    if self.may(place, asked, cloth_colour)
                ]
                for asked in colours
            ]
            self.found[key] = list(self.ways(offers))
        return self.found[key]

    def ways(self, offers):
        """Keep of the ways to buy the same only the one that comes first.

        Under a weight of 0 the points decide nothing.
        """
        kept = {}
        chosen = []

        def go(level, units, points):
            if level == len(offers):
                lines = tuple(sorted((row.sku, number) for row, number in units.items()))
                places = tuple(place.key for place, _ in chosen)
                rank = (-points * self.counts, places)
                if lines not in kept or rank < kept[lines][0]:
                    kept[lines] = rank, (points, units, places)
                return
            for place, asked, skeins, worth in offers[level]:
                mine = place, asked
                if not all(self.together(mine, other) for other in chosen):
                    continue
                row, now = place.row, units
                if row is not None:
                    taken = max(units.get(row, 0), skeins)
                    if not row.there_are(taken):
                        continue
                    now = units | {row: taken}
                chosen.append(mine)
                go(level + 1, now, points + worth)
                chosen.pop()

        go(0, {}, 0)
        return (way for _, way in kept.values())
