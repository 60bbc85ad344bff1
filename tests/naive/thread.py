"""Every way to give each chart colour a thread colour of its own."""

from fractions import Fraction
from math import isqrt
from typing import NamedTuple

from .choices import Choice, bill, makes, need_of
from .cloth import INCH, strands
from .colour import difference, light
from .goods import bought, in_stock, worth
from .home import fewest_bought
from .numbers import ceiling, exact, half_up

HOME_QUALITY = 100
HOME_SKEIN = Fraction(8) * 6


class Place(NamedTuple):
    """One colour of one thread row, or (row None) one shade at home."""

    row: object
    index: int
    colour: str
    quality: Fraction
    skein: Fraction  # metres of single strand
    kind: str = "cotton"

    @property
    def key(self):
        return ("" if self.row is None else self.row.sku, self.index)


def places_of(rows, home, need=None):
    found = [
        Place(None, index, colour.lower(), Fraction(HOME_QUALITY), HOME_SKEIN)
        for index, colour in enumerate(home)
    ]
    for row in rows:
        [skein_m], [plies] = row.parts("skein_m"), row.parts("strands")
        [kind] = row.parts("kind")
        found += [
            Place(
                row,
                index,
                colour.lower(),
                worth(row, need or {}),
                exact(skein_m) * exact(plies),
                kind,
            )
            for index, colour in enumerate(row.parts("colours"))
        ]
    return found


def skeins(stitches, count, heads, skein, fit, plies=None, backstitch=0):
    """Skeins of one colour in one pool: ceil(a + a * sqrt(2) + b), exactly."""
    plies = exact(fit["strands"]) if "strands" in fit else plies or strands(count, fit)
    wasted = 1 + exact(fit.get("waste", "0.20"))
    a = 2 * Fraction(stitches) / count * INCH / 100 * plies * heads / skein * wasted
    b = 2 * Fraction(backstitch) / 100 * heads / skein * wasted
    if a == 0:
        return ceiling(b, 1)
    # a > 0, so the sum is irrational: its ceiling is its floor plus one.
    below = a.denominator * b.denominator
    p, q = a.numerator * b.denominator, b.numerator * a.denominator
    return (p + q + isqrt(2 * p**2)) // below + 1


def bought_beside(row, asked, count, shared, fit):
    """Give the skeins to buy of a single thread that is listed at home, over all pools."""
    sharing, pools = shared
    skein, plies = exact(row.cells["skein_m"] or 8), exact(row.cells["strands"] or 6)
    whole, root = skein, Fraction(0)
    if count is not None:
        needle = exact(fit["strands"]) if "strands" in fit else asked.strands
        wasted = (1 + exact(fit.get("waste", "0.20"))) * sharing / plies
        root = 2 * asked.stitches / count * INCH / 100 * (needle or strands(count, fit)) * wasted
        whole = root + 2 * asked.backstitch / 100 * wasted
    return fewest_bought(Fraction(whole), root, skein, pools, row.metres)


def score(place, colour, shades):
    """Points of a place; where colours are free, it is wishes that it is held against."""
    wanted = shades.get("wish", []) if is_free(shades) else [colour]
    away = min((difference(one, place.colour) for one in wanted), default=0)
    lost = exact(shades.get("mismatch", 5)) * away
    return Fraction(half_up(max(0, place.quality - lost) * 100), 100)


def is_free(shades):
    return shades.get("mode") == "free"


def seen_on(place, cloth, shades):
    """Tell whether a colour shows on a cloth; a cloth of unknown colour shows all."""
    least = exact(shades.get("on_cloth", 0))
    if is_free(shades):
        least = max(least, exact(shades.get("contrast", 10)))
    return not cloth or difference(cloth, place.colour) >= least


def go_together(one, other, charted, shades):
    """Tell whether two places may be given to two chart colours."""
    if one.key == other.key:
        return False
    if not is_free(shades):
        return True
    if difference(one.colour, other.colour) < exact(shades.get("contrast", 10)):
        return False
    if not shades.get("keep_values", True):
        return True
    mine, its = charted
    asked, got = light(mine) - light(its), light(one.colour) - light(other.colour)
    return asked * got >= 0


def assignments(offers, charted, shades, given=()):
    """Give every choice of a place for each chart colour, of which all go together."""
    if len(given) == len(offers):
        yield given
        return
    for offer in offers[len(given)]:
        mine = charted[len(given)]
        if all(
            go_together(offer[0], other[0], (mine, its), shades)
            for other, its in zip(given, charted, strict=False)
        ):
            yield from assignments(offers, charted, shades, (*given, offer))


def coloured(colours, sheet, rows, home, brief):
    """Give every choice of places for a chart's colours, each as a choice of thread."""
    count = sheet.count
    fit, shades, heads = brief.get("fit", {}), brief.get("shades", {}), makes(brief)
    need = need_of(brief, "thread")
    sharing = min(need.get("shared_by", 1), heads)
    pools = ceiling(heads, sharing)
    weight = exact(need.get("weight", 1))
    tolerance = exact(shades.get("tolerance", 6))

    def skeins_of(place, asked):
        if place.row is not None and place.row.metres is not None:
            return bought_beside(place.row, asked, count, (sharing, pools), fit)
        a_pool = 1
        if count is not None:
            own = asked.strands, asked.backstitch
            a_pool = skeins(asked.stitches, count, sharing, place.skein, fit, *own)
        return pools * a_pool

    def kinds_for(asked):
        return {asked.kind, *shades.get("kinds", {}).get(asked.kind, [])}

    offers = [
        [
            (place, skeins_of(place, asked), score(place, asked.colour, shades))
            for place in places_of(rows, home, need)
            if (is_free(shades) or difference(asked.colour, place.colour) <= tolerance)
            and place.kind in kinds_for(asked)
            and seen_on(place, sheet.colour, shades)
        ]
        for asked in colours
    ]

    by_lines = {}
    for given in assignments(offers, [asked.colour for asked in colours], shades):
        used = [place.key for place, _, _ in given]
        units = {}
        for place, number, _ in given:
            if place.row is not None:
                units[place.row] = max(units.get(place.row, 0), number)
        if not all(in_stock(row, number) for row, number in units.items()):
            continue
        choice = Choice(
            points=weight * sum(points for _, _, points in given) / len(given),
            **bill(list(units.items())),
            places=tuple(used),
            skeins=tuple(
                number if place.row is None else bought(place.row, number)
                for place, number, _ in given
            ),
        )
        # Of two choices that buy the same, only the one that ranks first can be in the best kit.
        other = by_lines.get(choice.lines)
        if other is None or (-choice.points, choice.places) < (-other.points, other.places):
            by_lines[choice.lines] = choice
    return list(by_lines.values())
