"""The audit's checks of the craft: fit, needle, thread and hoop.

Shares nothing with the solver.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from kitsolver.craft.colour import DIFFERENCE_UNIT, differences, lightness, paired_differences
from kitsolver.craft.cutting import pieces
from kitsolver.craft.fit import Size, finished_size, fits, hoop_fits
from kitsolver.craft.lengths import CM, INCH, rounded
from kitsolver.craft.needles import suiting
from kitsolver.craft.thread import USUAL_KIND, Charted, skeins, strands
from kitsolver.solve.audit import home
from kitsolver.solve.audit.evidence import Evidence, Row, Verdict, detail_of, number


def fit(seen: Evidence) -> Verdict:
    """Hold the cut against the fabric, and the cuts against the heads."""
    if seen.cut is None or seen.fabric is None:
        unknown = "chart's size" if seen.stitches is None else "fabric"
        return None, f"not checked: the {unknown} is not known"
    unit = seen.brief.units
    what = f"a cut of {_size(seen.cut, unit)} on {_size(seen.fabric, unit)}"
    if not fits(seen.cut, seen.fabric):
        return False, f"{what} does not fit"
    yielded, heads = pieces(seen.cut, seen.fabric), seen.kits
    have = 1 if seen.rolled else sum(line.units for line in seen.needed("fabric")) or 1
    return yielded * have >= heads, f"{what}: {yielded} a unit, {yielded * have} for {heads}"


def needle(seen: Evidence) -> Verdict:
    """Hold the needles' sizes against the effective count."""
    if seen.count is None:
        return None, "not checked: the effective count is not known"
    if seen.home("needle") is True and not seen.needles:
        return None, "not checked: the needle at home is not described"
    suits = suiting(seen.count, seen.brief.fit.needle_table)
    wrong = [name for name, sizes in seen.needles.items() if not sizes & suits]
    sizes = " or ".join(str(size) for size in sorted(suits))
    good = f"effective count {number(seen.count)} takes size {sizes}"
    return not wrong, detail_of(wrong, good, f"{good}, not")


def thread(seen: Evidence) -> Verdict:
    """Hold every shade against the chart, the tolerance and the skeins it takes."""
    if not seen.bought("thread"):
        at_home = "thread" in seen.brief.holds
        return None, "not checked: the thread is at home" if at_home else "no thread asked for"
    if seen.charted is None:
        return None, "not checked: the chart's colours are not known, one row was chosen"
    shades = seen.claim.shades
    said = [(shade.chart_colour, shade.stitches) for shade in shades]
    if said != [(asked.colour, asked.stitches) for asked in seen.charted]:
        return False, "the shades are not those of the chart"
    places = Counter((shade.sku, shade.thread_colour) for shade in shades)
    for (sku, colour), times in places.items():
        if times > _colours(seen, sku).count(colour):
            return False, f"{colour} of {sku or 'what is at home'} is given to several colours"
    asked = seen.brief.shades
    away = _away(seen)
    for shade, charted, far in zip(shades, seen.charted, away, strict=True):
        allowed = Fraction(asked.tolerance) * DIFFERENCE_UNIT
        if far != shade.difference or (asked.mode != "free" and far > allowed):
            return False, f"{shade.thread_colour} is not within the tolerance"
        kind = (seen.rows[shade.sku].get("kind") if shade.sku else "") or USUAL_KIND
        if kind != charted.kind and kind not in asked.kinds.get(charted.kind, ()):
            return False, f"{shade.thread_colour} is {kind}, where {charted.kind} is charted"
        if shade.skeins != bought_skeins(seen, charted, shade.sku):
            return False, f"{shade.skeins} skeins of {shade.thread_colour} are not what it takes"
    unused = {line.sku for line in seen.needed("thread")} - {shade.sku for shade in shades}
    if unused:
        return False, f"colours nothing: {', '.join(sorted(unused))}"
    if seen.count is None:
        return None, "amount not checked: no effective count is known, one skein a colour is taken"
    chosen = "freely chosen" if asked.mode == "free" else "within the tolerance"
    return True, f"{len(shades)} colours, each with enough thread of its own, {chosen}"


def _away(seen: Evidence) -> list[int]:
    """Return how far each shade is from what is charted, or from the nearest colour wished for."""
    asked, shades = seen.brief.shades, seen.claim.shades
    colours = [shade.thread_colour for shade in shades]
    if asked.mode != "free":
        charted = [shade.chart_colour for shade in shades]
        return list(map(int, paired_differences(charted, colours)))
    if not asked.wish:
        return [0] * len(shades)
    return list(map(int, differences(colours, asked.wish).min(axis=1)))


def contrast(seen: Evidence) -> Verdict:
    """Hold shades against each other and the cloth, as far as the brief asks for it."""
    asked, shades = seen.brief.shades, seen.claim.shades
    free = asked.mode == "free"
    if not shades or not (free or asked.on_cloth):
        return True, "no contrast asked for"
    least = Fraction(asked.contrast) if free else Fraction(0)
    off_cloth = max(least, Fraction(asked.on_cloth or 0))
    colours = [shade.thread_colour for shade in shades]
    between = differences(colours, colours)
    pairs = [(a, b) for a in range(len(colours)) for b in range(a)]
    closest = min((int(between[pair]) for pair in pairs), default=0)
    if pairs and closest < least * DIFFERENCE_UNIT:
        return False, f"two shades differ by {number(Fraction(closest, DIFFERENCE_UNIT))} only"
    if seen.cloth:
        away = int(differences(colours, [seen.cloth]).min())
        if away < off_cloth * DIFFERENCE_UNIT:
            away_by = number(Fraction(away, DIFFERENCE_UNIT))
            return False, f"a shade differs from the cloth by {away_by} only"
    if free and asked.keep_values:
        charted, light = (
            lightness([getattr(shade, which) for shade in shades])
            for which in ("chart_colour", "thread_colour")
        )
        if any(
            (charted[a] < charted[b] and light[a] > light[b])
            or (charted[a] > charted[b] and light[a] < light[b])
            for a, b in pairs
        ):
            return False, "shades are not dark to light as charted"
    seen_on = f"and {number(off_cloth)} from the cloth" if seen.cloth else "the cloth is not known"
    apart = f"at least {number(least)} between shades, {seen_on}"
    return (True if seen.cloth or not off_cloth else None), apart


def finishing(seen: Evidence) -> Verdict:
    """Hold the finished design against every opening in hand."""
    if not seen.openings:
        return True, "nothing to frame it"
    if seen.stitches is None or seen.count is None:
        return None, "not checked: the finished size is not known"
    finished = finished_size(*seen.stitches, seen.count)
    wrong = [sku for sku, opening in seen.openings.items() if not fits(finished, opening)]
    size = _size(finished, seen.brief.units)
    return not wrong, detail_of(wrong, f"{size} is within every opening", f"{size} is not within")


def _colours(seen: Evidence, sku: str | None) -> list[str]:
    if sku is None:
        home = seen.home("thread")
        return list(home) if isinstance(home, tuple) else []
    return [colour.strip().lower() for colour in seen.rows[sku]["colours"].split(";")]


def bought_skeins(seen: Evidence, asked: Charted, sku: str | None) -> int:
    """Return the skeins of a colour that are bought, or taken of what a need has at home."""
    if sku is None or seen.listed(sku) is None:
        return skeins_of(seen, asked, sku)
    if seen.single(sku):
        return home.of_colour(seen, asked, sku).skeins
    return max(0, skeins_of(seen, asked, sku) - home.at_home(seen, sku))


def skeins_of(seen: Evidence, asked: Charted, sku: str | None) -> int:
    """Return the skeins of a colour that all pools need, by a row; None for thread at home."""
    heads = seen.kits
    sharing = min(seen.brief.need("thread").shared_by, heads)
    pools = -(-heads // sharing)
    if seen.count is None:
        return pools
    row: Row = {} if sku is None else seen.rows[sku]
    metres, plies = Fraction(row.get("skein_m") or 8), Fraction(row.get("strands") or 6)
    return pools * skeins(
        asked,
        seen.count,
        seen.brief.fit.strands or asked.strands or strands(seen.count),
        Fraction(seen.brief.fit.waste),
        int(metres * plies * 10_000),
        sharing,
    )


def hoop(seen: Evidence) -> Verdict:
    """Hold the hoops against the piece a head works on."""
    if not seen.hoops:
        if seen.home("hoop") is True:
            return None, "not checked: the hoop at home is not described"
        return True, "no hoop in the kit"
    if seen.worked_on is None:
        return None, "not checked: the piece a head works on is not known"
    piece = _size(seen.worked_on, seen.brief.units)
    wrong = [name for name, across in seen.hoops.items() if not hoop_fits(across, seen.worked_on)]
    return not wrong, detail_of(wrong, f"the hoop is within {piece}", f"not within {piece}:")


def _size(size: Size, unit: str) -> str:
    sides = (rounded(side, CM if unit == "cm" else INCH) for side in size)
    return f"{' × '.join(map(str, sides))} {unit}"
