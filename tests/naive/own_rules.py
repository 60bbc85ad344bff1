"""Ranges, sizes, hours and rules of one's own (section 10 of the specification)."""

from fractions import Fraction

from .choices import at_home, makes, needs_of
from .goods import BLANK_MEANS, conditions_met, figures, numbers
from .numbers import exact

INCH = exact("2.54")
NUMERIC = {
    "price", "quality", "stock", "serves", "trade_cost", "tax_rate", "stitches_wide",
    "stitches_high", "count", "width_cm", "height_cm", "width_in", "height_in", "smallest_cm",
    "step_cm", "skein_m", "strands", "diameter_cm", "diameter_in", "needle_sizes",
    "colour_strands",
}  # fmt: skip
ONLY_OF = {
    "skein_m": "thread",
    "strands": "thread",
    "kind": "thread",
    "smallest_cm": "fabric",
    "step_cm": "fabric",
    "sold_by": "fabric",
}
UNKNOWN = object()


class Thing:
    """A row of the kit, or what is described of a thing at home."""

    def __init__(self, category, cells, brief, described=None):
        self.category, self.cells, self.brief = category, cells, brief
        self.described = described

    def known(self, column):
        if self.described is None:
            return True
        names = {column}
        for here, there in (("_cm", "_in"), ("_in", "_cm")):
            if column.endswith(here):
                names.add(column.removesuffix(here) + there)
        if self.category == "chart" and column in ("stitches", "shades"):
            names.add("colours")
        return bool(names & self.described)

    def numbers(self, column):
        default = ONLY_OF.get(column, self.category) == self.category
        return numbers(self.cells, column, self.brief, default=default)

    def parts(self, column):
        if column in NUMERIC or (self.category == "chart" and column in ("stitches", "shades")):
            return set(self.numbers(column))
        cell = self.cells.get(column, "")
        if not cell and ONLY_OF.get(column, self.category) == self.category:
            cell = {"download": "no", "sold_by": "unit", **BLANK_MEANS}.get(column, "")
        return {part.strip() for part in cell.split(";") if part.strip()}


def three(values):
    """Give whether all hold: False if one does not, else UNKNOWN if one is not known."""
    values = list(values)
    if False in values:
        return False
    return UNKNOWN if UNKNOWN in values else True


def meets(thing, where):
    """Tell whether a thing is what a rule speaks of: True, False or UNKNOWN."""
    categories = where.get("category", thing.category)
    if thing.category not in ([categories] if isinstance(categories, str) else categories):
        return False
    found = []
    for column, condition in one_by_one(where):
        good = thing.known(column) and conditions_met(thing.cells, condition, thing.brief)
        found.append(good if thing.known(column) else UNKNOWN)
    return three(found)


def one_by_one(where):
    """Give every condition alone, with the column that it is about."""
    for key in ("max_price", "min_quality", "tags_any", "tags_none"):
        if key in where:
            yield key.removeprefix("max_").removeprefix("min_").partition("_")[0], {key: where[key]}
    for column, values in where.get("only", {}).items():
        yield column, {"only": {column: values}}
    for column in {*where.get("at_least", {}), *where.get("at_most", {})}:
        keys = [key for key in ("at_least", "at_most") if column in where.get(key, {})]
        yield column, {key: {column: where[key][column]} for key in keys}


def things(lines, rows, brief):
    found = [Thing(rows[sku].category, rows[sku].cells, brief) for sku, _ in lines]
    for category in needs_of(brief):
        have = at_home(brief, category)
        if have is None or isinstance(have, list):
            continue
        described = have if isinstance(have, dict) else {}
        cells = {
            column: ";".join(map(str, said)) if isinstance(said, list) else str(said)
            for column, said in described.items()
        }
        if category == "chart" and "colours" in cells:
            cells |= figures(cells["colours"])
        found.append(Thing(category, cells, brief, set(cells)))
    return found


def limit_kept(limit, lines, rows, brief):
    total = Fraction(0)
    for sku, units in lines:
        thing = Thing(rows[sku].category, rows[sku].cells, brief)
        if meets(thing, limit.get("where", {})) is not True:
            continue
        if "column" not in limit:
            total += 1
            continue
        said = thing.numbers(limit["column"])
        total += units * (said[0] if said else 0)
    times = makes(brief) if limit.get("a_head") else 1
    return ("least" not in limit or total >= exact(limit["least"]) * times) and (
        "most" not in limit or total <= exact(limit["most"]) * times
    )


def pair_kept(pair, present):
    if "if" in pair and True not in [meets(thing, pair["if"]) for thing in present]:
        return True
    if "with" in pair:
        return any(meets(thing, pair["with"]) is not False for thing in present)
    if "never" in pair:
        return all(meets(thing, pair["never"]) is not True for thing in present)
    for thing in present:
        named = meets(thing, {k: v for k, v in pair["then"].items() if k == "category"})
        if named and meets(thing, pair["then"]) is False:
            return False
    return True


def alike_kept(rule, present):
    common = None
    for thing in present:
        if thing.category not in rule.get("of", [thing.category]):
            continue
        if not thing.known(rule["column"]):
            continue
        said = thing.parts(rule["column"])
        if not said and rule.get("blank") == "refuse":
            return False
        if said:
            common = said if common is None else common & said
    return common is None or bool(common)


def keeps_rules(lines, rows, brief):
    """Tell whether lines, as (sku, units), keep every rule of one's own."""
    if not any(brief.get(kind) for kind in ("limits", "pairs", "alike")):
        return True
    present = things(lines, rows, brief)
    return (
        all(limit_kept(limit, lines, rows, brief) for limit in brief.get("limits", []))
        and all(pair_kept(pair, present) for pair in brief.get("pairs", []))
        and all(alike_kept(rule, present) for rule in brief.get("alike", []))
    )


def left_out(row, brief):
    """Tell whether a row is not offered, because a limit would add up what it does not say."""
    thing = Thing(row.category, row.cells, brief)
    return any(
        limit.get("blank") == "leave out"
        and "column" in limit
        and meets(thing, limit.get("where", {})) is True
        and not thing.numbers(limit["column"])
        for limit in brief.get("limits", [])
    )


def size_kept(finished, brief):
    """Tell whether the finished size in cm, if it is known, is what is asked for."""
    for key, sides in brief.get("size", {}).items():
        if finished is None:
            return True
        unit = INCH if key.endswith("_in") else 1
        asked = sorted(exact(side) * unit for side in sides)
        pairs = zip(sorted(finished), asked, strict=True)
        if not all(ours <= most if "at_most" in key else ours >= most for ours, most in pairs):
            return False
    return True


def hours_kept(colours, brief):
    """Tell whether a chart of colours, if they are known, is stitched in time."""
    lesson = brief.get("lesson", {})
    if colours is None or "hours_at_most" not in lesson:
        return True
    stitches = sum((asked.stitches for asked in colours), Fraction(0))
    return stitches <= exact(lesson["hours_at_most"]) * exact(lesson.get("stitches_an_hour", 60))
