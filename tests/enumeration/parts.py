"""What kits are made of: charts, and for each on each fabric the ways to fill the rest."""

from fractions import Fraction

from .cloth import Cloths
from .goods import meets, number, points_of, rows_of, up
from .rules import OwnRules
from .thread import Dyer, learn

USUAL = ["chart", "fabric", "thread", "needle", "scissors"]
ONLY_NAMED = ("chart", "fabric", "thread", "needle")


class Parts:
    """What the kits of a catalogue are made of, under a brief."""

    def __init__(self, text, brief, home_text=""):
        """Read a catalogue, a brief as TOML tables, and a home list; none has findings."""
        self.brief, self.kits = brief, brief.get("heads", 1) + brief.get("spare", 0)
        self.rules = OwnRules(brief, self.kits)
        self.rows = [row for row in rows_of(text, brief, home_text) if not self.rules.bars(row)]
        self.holds = brief.get("holds", USUAL)
        self.needs = {category: brief.get("needs", {}).get(category, {}) for category in self.holds}
        self.have = {category: need.get("have", False) for category, need in self.needs.items()}
        self.bought = [c for c in self.holds if not self.have[c] or isinstance(self.have[c], list)]
        weights = [number(self.needs[category].get("weight", 1)) for category in self.bought]
        self.total = sum(weights)
        self.weights = dict(zip(self.bought, weights, strict=True))
        extras = brief.get("extras", {})
        self.spend = extras.get("spend", "leftover")
        self.share = number(extras.get("weight", "0.25"))
        self.extras = extras
        self.keep = frozenset(brief.get("choose", {}).get("keep", []))
        self.learn_colours()
        self.dyer = Dyer(self.usable("thread"), brief, self.kits)
        self.cloths = Cloths(brief, self.kits)
        self.parts = list(self.tables())

    def learn_colours(self):
        found = {c.lower() for c in self.brief.get("shades", {}).get("wish", [])}
        have = self.have.get("thread")
        found.update(shade.lower() for shade in (have if isinstance(have, list) else []))
        described = [have for have in self.have.values() if isinstance(have, dict)]
        for cells in [row.cells for row in self.rows] + described:
            said = cells.get("colours") or ""
            found.update(part.split(":")[0].strip().lower() for part in said.split(";") if part)
        if found:
            learn(found)

    def usable(self, category):
        need = self.needs.get(category, {})
        rows = (row for row in self.rows if row.category == category)
        return [row for row in rows if meets(row, need, self.brief)]

    def units(self, row, shared_by=1):
        units = up(Fraction(self.kits, int(row.cell("serves")) * shared_by))
        if row.metres is None:
            return units
        return units - min(units, int(row.metres // number(row.cell("skein_m"))))

    def charts(self):
        """Give (lines, stitches or None, colours or None)."""
        if "chart" in self.bought:
            shared = self.needs["chart"].get("shared_by", 1)
            for row in self.usable("chart"):
                units = self.units(row, shared)
                if row.there_are(units):
                    yield [(row, units)], *design_of(row.cells)
        else:
            have = self.have.get("chart")
            yield [], *design_of(have if isinstance(have, dict) else {})

    def fabrics(self):
        """Give (row, cells) of each fabric; no row where it is at home."""
        if "fabric" in self.bought:
            return [(row, row.cells) for row in self.usable("fabric")]
        have = self.have.get("fabric")
        return [(None, have if isinstance(have, dict) else {})]

    def in_time(self, colours):
        lesson = self.brief.get("lesson", {})
        if colours is None or "hours_at_most" not in lesson:
            return True
        stitches = sum(asked["stitches"] for asked in colours)
        return stitches / number(lesson.get("stitches_an_hour", 60)) <= number(
            lesson["hours_at_most"]
        )

    def tables(self):
        """Give for each chart on each fabric the ways to fill the rest, as lists of options.

        An option is (weighted points, lines, places).
        """
        for chart_lines, stitches, colours in self.charts():
            if not self.in_time(colours):
                continue
            for sheet in self.cloths.sheets(stitches, self.fabrics()):
                if not self.cloths.sized(sheet):
                    continue
                if not all(
                    self.cloths.tool_suits(category, self.have[category], sheet)
                    for category in ("needle", "hoop")
                    if isinstance(self.have.get(category), dict)
                ):
                    continue
                fixed = [self.option(lines) for lines in (chart_lines, sheet.lines)]
                tools = [
                    [self.option([(row, units)]) for row, units in self.fitting(category, sheet)]
                    for category in self.bought
                    if category not in ("chart", "fabric", "thread")
                ]
                thread = self.thread_options(colours, sheet)
                yield [[fixed[0]], [fixed[1]], *tools, thread], self.extras_of(sheet)

    def option(self, lines):
        points = sum(
            (self.weights[row.category] * points_of(row, self.needs[row.category]))
            for row, _ in lines
        )
        return points, tuple(lines), ()

    def fitting(self, category, sheet):
        shared = self.needs[category].get("shared_by", 1)
        for row in self.usable(category):
            units = self.units(row, shared)
            if row.there_are(units) and self.cloths.goes_with(row, sheet):
                yield row, units

    def thread_options(self, colours, sheet):
        if "thread" not in self.bought:
            return [(0, (), ())]
        weight, need = self.weights["thread"], self.needs["thread"]
        if colours is None:
            found = [(weight * 100, (), ())] if isinstance(need.get("have"), list) else []
            for row in self.usable("thread"):
                units = self.units(row, need.get("shared_by", 1))
                if row.there_are(units):
                    found.append(self.option([(row, units)]))
            return found
        return [
            (weight * Fraction(points, 100 * len(colours)), tuple(units.items()), places)
            for points, units, places in self.dyer.choices(colours, sheet.count, sheet.colour)
        ]

    def extras_of(self, sheet):
        """Give the rows of each category that may join, as (row, units)."""
        if self.spend == "none":
            return []
        named = self.extras.get("categories")
        if named is None:
            named = {row.category for row in self.rows} - set(ONLY_NAMED)
        shelves = []
        for category in sorted(set(named) - set(self.holds)):
            table = self.extras.get("conditions", {}).get(category, {})
            shelf = []
            for row in self.rows:
                if row.category != category or not meets(row, table, self.brief):
                    continue
                units = self.units(row)
                if category == "fabric":
                    units = self.kits
                    if row.by_length:
                        sides = number(row.cell("smallest_cm")), number(row.cell("step_cm"))
                        units *= up(sides[0] / sides[1])
                if row.there_are(units) and self.cloths.goes_with(row, sheet):
                    shelf.append((row, units))
            shelves.append([None, *shelf])
        return shelves


def design_of(cells):
    """Give (stitches both ways, what is asked of each colour), each None where unknown."""
    stitches = colours = None
    if cells.get("stitches_wide") and cells.get("stitches_high"):
        stitches = int(cells["stitches_wide"]), int(cells["stitches_high"])
    if cells.get("colours"):
        entries = [entry.strip().split(":") for entry in cells["colours"].split(";")]
        kinds = (cells.get("colour_kinds") or ";".join(["cotton"] * len(entries))).split(";")
        strands = (cells.get("colour_strands") or ";" * (len(entries) - 1)).split(";")
        colours = [
            {
                "colour": entry[0].strip().lower(),
                "stitches": number(entry[1]),
                "backstitch": number(entry[2]) if len(entry) > 2 else Fraction(0),
                "kind": kind.strip() or "cotton",
                "strands": ply.strip(),
            }
            for entry, kind, ply in zip(entries, kinds, strands, strict=True)
        ]
    return stitches, colours
