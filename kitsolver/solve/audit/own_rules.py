"""The audit's checks of the rules of one's own, and of what the finished design is to be.

Shares nothing with the solver.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from typing import Any

from pydantic import BaseModel

from kitsolver.brief.conditions import MOST_DECIMALS
from kitsolver.brief.own_rules import Alike, Limit, Pair, Where
from kitsolver.craft.fit import Size, finished_size
from kitsolver.craft.lengths import CM, INCH, rounded
from kitsolver.solve.audit.conditions import Thing, meets
from kitsolver.solve.audit.evidence import Evidence, Verdict, number, with_figures

# Columns whose cells are compared by value.
_BY_VALUE = frozenset(
    [
        "price",
        "quality",
        "stock",
        "serves",
        "trade_cost",
        "tax_rate",
        "stitches_wide",
        "stitches_high",
        "count",
        "width_cm",
        "height_cm",
        "width_in",
        "height_in",
        "smallest_cm",
        "step_cm",
        "skein_m",
        "strands",
        "diameter_cm",
        "diameter_in",
        "needle_sizes",
        "colour_strands",
    ]
)


def own_checks(seen: Evidence) -> Iterator[tuple[str, Callable[[Evidence], Verdict]]]:
    """Yield the checks that a brief asks for beyond those that every kit has."""
    brief = seen.brief
    if brief.size.largest or brief.size.smallest:
        yield "size", size
    if brief.lesson.hours_at_most is not None:
        yield "hours", hours
    for limit in brief.limits:
        yield f"limits: {limit.name}", partial(_limit, limit)
    for pair in brief.pairs:
        yield f"pairs: {pair.name}", partial(_pair, pair)
    for rule in brief.alike:
        yield f"alike: {rule.name}", partial(_alike, rule)


def size(seen: Evidence) -> Verdict:
    """Hold the size of the finished design against the rectangles."""
    if seen.stitches is None or seen.count is None:
        return None, "not checked: the size of the finished design is not known"
    finished, asked = finished_size(*seen.stitches, seen.count), seen.brief.size
    rooms = [(asked.at_most_cm, CM), (asked.at_most_in, INCH)]
    cores = [(asked.at_least_cm, CM), (asked.at_least_in, INCH)]
    inside = all(_inside(finished, sides, unit) for sides, unit in rooms)
    around = all(_around(finished, sides, unit) for sides, unit in cores)
    unit = CM if seen.brief.units == "cm" else INCH
    sides = " × ".join(number(side / unit) for side in finished)
    return inside and around, f"finishes at {sides} {seen.brief.units}"


def _inside(finished: Size, sides: Any, unit: int) -> bool:
    if sides is None:
        return True
    room = sorted(Fraction(side) * unit for side in sides)
    return all(a <= b for a, b in zip(sorted(finished), room, strict=True))


def _around(finished: Size, sides: Any, unit: int) -> bool:
    if sides is None:
        return True
    core = sorted(Fraction(side) * unit for side in sides)
    return all(a <= b for a, b in zip(core, sorted(finished), strict=True))


def hours(seen: Evidence) -> Verdict:
    """Hold the stitches against the hours."""
    lesson = seen.brief.lesson
    if seen.charted is None or lesson.hours_at_most is None:
        return None, "not checked: the chart's stitches are not known"
    stitches = sum((Fraction(one.stitches) for one in seen.charted), Fraction(0))
    takes = stitches / Fraction(lesson.stitches_an_hour)
    good = takes <= Fraction(lesson.hours_at_most)
    return good, f"{number(takes)} hours of {lesson.hours_at_most.normalize():f}"


def _limit(limit: Limit, seen: Evidence) -> Verdict:
    """Add up the lines that count, and hold the sum against the limit."""
    total, silent = Fraction(0), []
    for line in seen.claim.lines:
        thing = Thing(line.sku, line.category, seen.rows[line.sku])
        if _meets(thing, limit.where, seen) is not True:
            continue
        if limit.column is None:
            total += 1
            continue
        said = thing.numbers(limit.column, _tax_rate(seen), everywhere=False)
        if said:
            total += line.units * said[0]
        elif limit.blank != 0:
            silent.append(line.sku)
    if silent:
        return False, f"no {limit.column} is given by {', '.join(silent)}"
    times = seen.kits if limit.a_head else 1
    least = None if limit.least is None else Fraction(limit.least) * times
    most = None if limit.most is None else Fraction(limit.most) * times
    bounds = [f"at least {_exact(least)}"] if least is not None else []
    bounds += [f"at most {_exact(most)}"] if most is not None else []
    good = (least is None or total >= least) and (most is None or total <= most)
    what = "lines" if limit.column is None else limit.column
    return good, f"{_exact(total)} {what}, of {' and '.join(bounds)}"


def _exact(figure: Fraction | int) -> str:
    """Return a figure with as many decimals as a limit may have, without those that say nothing."""
    return format(rounded(figure, 1, MOST_DECIMALS), "f").rstrip("0").rstrip(".")


def _pair(pair: Pair, seen: Evidence) -> Verdict:
    """Hold what the pair asks about against what makes it ask."""
    things = list(_things(seen))
    asking = [(each.name, _meets(each, pair.if_, seen)) for each in things]
    asks = pair.if_ is None or _any([met for _, met in asking])
    side, where = ("with", pair.with_)
    if pair.then is not None:
        side, where = "then", pair.then
    if pair.never is not None:
        side, where = "never", pair.never
    about = [
        (each.name, _meets(each, where, seen))
        for each in things
        if side != "then" or (where and where.names(each.category))
    ]
    found = [met for _, met in about]
    good = _any(found)
    if side == "then":
        broken = _any([None if met is None else not met for met in found])
        good = None if broken is None else not broken
    elif side == "never":
        good = None if good is None else not good
    if asks is False:
        return True, "no row of the kit asks for it"
    by = ", ".join(name for name, met in asking if met)
    start = f"asked by {by}, and " if by else ""
    if good:
        return True, f"{start}met"
    if asks is None or good is None:
        unknown = sorted({name for name, met in (*asking, *about) if met is None})
        return None, f"not checked: {' and '.join(unknown)} is not described enough"
    wrong = [name for name, met in about if bool(met) == (side == "never")]
    return False, f"{start}not met by {', '.join(wrong) or 'any row'}"


def _any(met: list[bool | None]) -> bool | None:
    """Tell whether one is true; None if that is not known."""
    if any(met):
        return True
    return None if None in met else False


def _alike(rule: Alike, seen: Evidence) -> Verdict:
    """Tell whether one value is among those of every row."""
    common: set[object] | None = None
    unknown, blank = [], []
    for thing in _things(seen):
        if rule.of is not None and thing.category not in rule.of:
            continue
        if not thing.knows(rule.column):
            unknown.append(thing.name)
            continue
        said = _values(thing, rule.column, seen)
        if not said:
            blank.append(thing.name)
        else:
            common = said if common is None else common & said
    if blank and rule.blank == "refuse":
        return False, f"no {rule.column} is given by {', '.join(blank)}"
    if common is not None and not common:
        return False, f"no {rule.column} that all have"
    if unknown:
        return None, f"not checked: of {' and '.join(unknown)} no {rule.column} is described"
    shared = " or ".join(sorted(map(_shown, common or ())))
    return True, f"{rule.column} {shared}" if shared else f"no row says its {rule.column}"


def _shown(value: object) -> str:
    return number(value) if isinstance(value, Fraction) else str(value)


def _values(thing: Thing, column: str, seen: Evidence) -> set[object]:
    figure = thing.category == "chart" and column in ("stitches", "shades")
    if column in _BY_VALUE or figure:
        return set(thing.numbers(column, _tax_rate(seen), everywhere=False))
    cell = thing.cells.get(column, "") or thing.default(column, everywhere=False)
    parts = {part.strip() for part in cell.split(";") if part.strip()}
    if column == "colours":
        return {part.split(":")[0].strip().lower() for part in parts}
    return set(parts)


def _tax_rate(seen: Evidence) -> Fraction:
    return Fraction(seen.brief.till.tax_rate)


def _meets(thing: Thing, where: Where | None, seen: Evidence) -> bool | None:
    if where is None or not where.names(thing.category):
        return False
    return meets(thing, where, _tax_rate(seen))


def _things(seen: Evidence) -> Iterator[Thing]:
    """Yield every line, and what is known of the things at home; single shades are no rows."""
    for line in seen.claim.lines:
        yield Thing(line.sku, line.category, seen.rows[line.sku])
    for need in seen.brief.holds:
        have = seen.home(need)
        if isinstance(have, BaseModel):
            said = have.model_dump(mode="json", exclude_none=True)
            cells = {
                key: ";".join(map(str, value)) if isinstance(value, list) else str(value)
                for key, value in said.items()
            }
            yield Thing(f"the {need} at home", need, with_figures(need, cells), whole=False)
        elif have is True:
            yield Thing(f"the {need} at home", need, {}, whole=False)
