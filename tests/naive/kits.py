"""Every kit there is, and the one that ranks first (sections 5 and 8 of the specification)."""

from fractions import Fraction
from functools import cache
from itertools import product
from typing import NamedTuple

from .choices import (
    NOTHING,
    Choice,
    at_home,
    bill,
    bought,
    choice,
    makes,
    need_of,
    needs_of,
    plain,
    usable,
)
from .choices import units as plain_units
from .cloth import INCH, Cloth, cloth, cut_size, holds_hoop, length, pieces, suits
from .goods import in_stock, meets, read
from .numbers import ceiling, exact
from .own_rules import hours_kept, keeps_rules, left_out, size_kept
from .thread import HOME_QUALITY, coloured
from .till import Till, minor

NAMED_ONLY = {"chart", "fabric", "thread", "needle"}  # extras only where the brief names them


class Asked(NamedTuple):
    """What a chart asks of one colour."""

    colour: str
    stitches: Fraction
    backstitch: Fraction
    kind: str
    strands: Fraction | None


class Design(NamedTuple):
    """What is known of a chart; None where unknown."""

    stitches: tuple | None
    colours: tuple | None


def parted(cell, entries, blank):
    return [part.strip() for part in cell.split(";")] if cell else [blank] * len(entries)


def design(cells):
    stitches = colours = None
    if cells.get("stitches_wide") and cells.get("stitches_high"):
        stitches = int(cells["stitches_wide"]), int(cells["stitches_high"])
    if cells.get("colours"):
        entries = [entry.strip().split(":") for entry in cells["colours"].split(";")]
        kinds = parted(cells.get("colour_kinds", ""), entries, "cotton")
        plies = parted(cells.get("colour_strands", ""), entries, None)
        colours = tuple(
            Asked(
                entry[0].strip().lower(),
                exact(entry[1]),
                exact(entry[2]) if len(entry) > 2 else Fraction(0),
                kind,
                number and exact(number),
            )
            for entry, kind, number in zip(entries, kinds, plies, strict=True)
        )
    return Design(stitches, colours)


def charts(rows, brief):
    if bought(brief, "chart"):
        shared_by = need_of(brief, "chart").get("shared_by", 1)
        return [
            (one, design(row.cells))
            for row in usable(rows, brief, "chart")
            for one in choice(row, plain_units(row, brief, shared_by), brief)
        ]
    have = at_home(brief, "chart")
    return [(NOTHING, design(have) if isinstance(have, dict) else Design(None, None))]


class Bench(NamedTuple):
    """A fabric with a design on it: how it is bought and what it asks of the tools."""

    fabric: Choice
    sheet: Cloth
    patch: tuple | None  # the piece that a head works on
    pieces: int | None
    finished: tuple | None = None

    @property
    def count(self):
        return self.sheet.count


def laid_out(sheet, drawing, brief):
    """Give (pieces, cut size) of a fabric for a design, each None where unknown."""
    if drawing.stitches is None or sheet.count is None:
        return None, None
    cut = cut_size(drawing.stitches, sheet.count, brief.get("fit", {}))
    return (None if sheet.size is None else pieces(sheet.size, cut)), cut


def off_the_roll(row, sheet, drawing, brief):
    """Try one step more and one step more, until all pieces come from the length."""
    step = exact(row.cells["step_cm"] or 10)
    width, kits = length(row.cells, "width"), makes(brief)
    least = ceiling(exact(row.cells["smallest_cm"] or 10), step)
    _, cut = laid_out(sheet, drawing, brief)
    steps, number = least if cut else kits * least, None
    if cut:
        if min(cut) > width:
            return
        while (number := pieces((width, steps * step), cut)) < kits:
            steps += 1
    # Without a known chart each head works on the smallest length.
    patch = (width, (steps if cut else least) * step) if makes(brief) == 1 or not cut else cut
    for one in choice(row, steps, brief):
        yield Bench(one, sheet, patch, number, finished(sheet, drawing))


def finished(sheet, drawing):
    """Give the size of the stitched design in cm, None where not known."""
    if drawing.stitches is None or sheet.count is None:
        return None
    return tuple(number / sheet.count * INCH for number in drawing.stitches)


def benches(rows, brief, drawing):
    heads, fit = makes(brief), brief.get("fit", {})
    if not bought(brief, "fabric"):
        have = at_home(brief, "fabric")
        sheet = cloth(have, fit) if isinstance(have, dict) else Cloth(None, None)
        number, cut = laid_out(sheet, drawing, brief)
        if number is None or number >= heads:
            patch = sheet.size if heads == 1 else cut
            yield Bench(NOTHING, sheet, patch, number, finished(sheet, drawing))
        return
    for row in usable(rows, brief, "fabric"):
        sheet = cloth(row.cells, fit)
        if row.cells.get("sold_by") == "length":
            yield from off_the_roll(row, sheet, drawing, brief)
            continue
        number, cut = laid_out(sheet, drawing, brief)
        if number == 0:
            continue
        # Without a known chart each head works on a whole unit.
        bolts = heads if number is None else ceiling(heads, number)
        patch = sheet.size if heads == 1 or cut is None else cut
        for one in choice(row, bolts, brief):
            yield Bench(one, sheet, patch, number, finished(sheet, drawing))


def framed(row, bench):
    """Tell whether the finished design is within the opening of what is to frame it."""
    said = row.cells.get("opening_cm") or row.cells.get("opening_in")
    if not said or bench.finished is None or row.category in ("chart", "fabric", "thread"):
        return True
    unit = 1 if row.cells.get("opening_cm") else INCH
    sides = [exact(side.strip()) * unit for side in said.split("x")]
    opening = sorted((sides[0], sides[-1]))
    return all(have <= room for have, room in zip(sorted(bench.finished), opening, strict=True))


def tool_fits(row, bench, brief):
    if not framed(row, bench):
        return False
    if row.category == "needle":
        return suits(map(int, row.parts("needle_sizes")), bench.count, brief.get("fit", {}))
    return row.category != "hoop" or holds_hoop(bench.patch, length(row.cells, "diameter"))


def home_tools_fit(bench, brief):
    needle, hoop = at_home(brief, "needle"), at_home(brief, "hoop")
    if isinstance(needle, dict) and "needle_sizes" in needle:
        sizes = map(int, needle["needle_sizes"])
        if not suits(sizes, bench.count, brief.get("fit", {})):
            return False
    return not isinstance(hoop, dict) or holds_hoop(bench.patch, length(hoop, "diameter"))


def threads(rows, brief, colours, sheet):
    if not bought(brief, "thread"):
        return [NOTHING]
    home = at_home(brief, "thread") or []
    if colours is not None:
        return coloured(colours, sheet, usable(rows, brief, "thread"), home, brief)
    weight = exact(need_of(brief, "thread").get("weight", 1))
    free = [Choice(points=weight * HOME_QUALITY)] if home else []
    return free + plain(rows, brief, "thread")


def extras(rows, brief, bench):
    """Give every set of extras as a choice, its points the sum of their quality."""
    table = brief.get("extras", {})
    allowed = {row.category for row in rows} - NAMED_ONLY
    if table.get("spend") == "none":
        allowed = set()
    elif "categories" in table:
        allowed = set(table["categories"])
    shelves = []
    for category in sorted(allowed - set(needs_of(brief))):
        shelf = [None]
        for row in rows:
            if row.category != category or not tool_fits(row, bench, brief):
                continue
            if not meets(row, table.get("conditions", {}).get(category, {}), brief):
                continue
            number = makes(brief) if category == "fabric" else plain_units(row, brief)
            if row.cells.get("sold_by") == "length":
                step, least = (exact(row.cells[n] or 10) for n in ("step_cm", "smallest_cm"))
                number *= ceiling(least, step)
            if in_stock(row, number):
                shelf.append(Choice(row.quality, **bill([(row, number)])))
        shelves.append(shelf)
    for picked in product(*shelves):
        present = [one for one in picked if one is not None]
        if len(present) <= table.get("most", len(present)):
            yield sum(present, NOTHING)


def kits(rows, brief):
    """Give every (needs, extras, pieces) that breaks no rule but perhaps the cap."""
    others = [
        category
        for category in needs_of(brief)
        if category not in ("chart", "fabric", "thread") and bought(brief, category)
    ]
    category_of = {row.sku: row.category for row in rows}
    kept = set(brief.get("choose", {}).get("keep", []))
    kept_needs = {sku for sku in kept if category_of.get(sku) in needs_of(brief)}

    @cache
    def thread_choices(colours, sheet):
        return threads(rows, brief, colours, sheet)

    for chart, drawing in charts(rows, brief):
        if not hours_kept(drawing.colours, brief):
            continue
        for bench in benches(rows, brief, drawing):
            if not home_tools_fit(bench, brief) or not size_kept(bench.finished, brief):
                continue
            suitable = [row for row in rows if tool_fits(row, bench, brief)]
            bundles = [
                bundle
                for bundle in extras(rows, brief, bench)
                if kept - kept_needs <= {sku for sku, _ in bundle.lines}
            ]
            for tools in product(*(plain(suitable, brief, category) for category in others)):
                basis = sum(tools, chart + bench.fabric)
                for thread in thread_choices(drawing.colours, bench.sheet._replace(size=None)):
                    needs = basis + thread
                    if kept_needs <= {sku for sku, _ in needs.lines}:
                        yield needs, bundles, bench.pieces


def leaves_margin(trade, brief):
    shop = brief.get("shop", {})
    if "sell_at" not in shop:
        return True
    sold = minor(shop["sell_at"], brief["currency"])
    return trade <= sold * (1 - exact(shop["margin_rate"]))


def best(catalogue_csv_text, brief, home_csv_text=""):
    """Give the best kit, or None.

    Parameters
    ----------
    catalogue_csv_text : str
        A catalogue without findings, its header naming every column of the format.
    brief : dict
        The brief as TOML tables; numbers are int, Decimal or str.
    home_csv_text : str
        A home list without findings; blank for none.
    """
    rows, till = read(catalogue_csv_text, brief, home_csv_text), Till(brief)
    rows = [row for row in rows if not left_out(row, brief)]
    by_sku = {row.sku: row for row in rows}
    spend = brief.get("extras", {})
    together = spend.get("spend") == "together"
    share = exact(spend.get("weight", "0.25"))
    weights = sum(
        exact(need_of(brief, category).get("weight", 1))
        for category in needs_of(brief)
        if bought(brief, category)
    )
    receipt = cache(till.receipt)
    first = None
    for needs, bundles, number in kits(rows, brief):
        for bundle in bundles:
            whole = needs + bundle
            paid = receipt(whole.goods, whole.downloaded, tuple(sorted(whole.taxed)))
            if paid.payable > till.cap or not leaves_margin(whole.trade, brief):
                continue
            if not keeps_rules(whole.lines, by_sku, brief):
                continue
            if together:
                figures = (-needs.points - share * bundle.points, paid.payable, -needs.points)
            else:
                figures = (-needs.points, -bundle.points, paid.payable)
            if first is not None and figures > first[0][:3]:
                continue
            lines = sorted(needs.lines + bundle.lines)
            rank = (*figures, lines, needs.places)
            if first is None or rank < first[0]:
                first = rank, needs, bundle, paid, number
    if first is None:
        return None
    _, needs, bundle, paid, number = first
    roles = {sku: "need" for sku, _ in needs.lines} | {sku: "extra" for sku, _ in bundle.lines}
    return {
        "quality": needs.points / weights if weights else Fraction(0),
        "extras": bundle.points,
        "combined": needs.points + share * bundle.points if together else None,
        **paid._asdict(),
        "lines": sorted((sku, units, roles[sku]) for sku, units in needs.lines + bundle.lines),
        "places": [(sku or None, index) for sku, index in needs.places],
        "skeins": list(needs.skeins),
        "pieces": number,
    }
