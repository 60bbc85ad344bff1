"""From the rows of a category, as arrays, and from what is at home, to candidates."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import repeat
from math import ceil
from typing import Any

from kitsolver.brief.at_home import HomeChart, HomeFabric, HomeHoop, HomeNeedle
from kitsolver.brief.brief import Brief
from kitsolver.craft.cutting import Roll
from kitsolver.craft.fit import Size, effective_count
from kitsolver.craft.thread import USUAL_SKEIN
from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT
from kitsolver.shop.columns.charted import charted
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Hoop, Needle, Thread
from kitsolver.solve.rules import RULES


def candidates_made(
    category: str, cells: Mapping[str, list[Any]], brief: Brief, measures: list[str]
) -> Iterator[Candidate]:
    """Yield the candidates of rows, made column by column: a large shop has very many.

    The columns are in the order of the fields of `Candidate`, and then of those of its kind.
    """
    every = range(len(cells["sku"]))
    common: list[Iterable[Any]] = [
        cells["sku"],
        repeat(category, len(every)),
        cells["price"],
        cells["quality"],
        cells["stock"],
        cells["units"],
        cells["at_home"],
        [None if rate == NOT_GIVEN else Fraction(rate, RATE_UNIT) for rate in cells["tax_rate"]],
        map(bool, cells["download"]),
        map(_opening, cells["opening_cm"], cells["opening_in"]),
        [tuple([(column, cells[column][row]) for column in measures]) for row in every],
    ]
    kind, own = _own_fields(category, cells, brief)
    return map(kind, *common, *own)


def _own_fields(
    category: str, cells: Mapping[str, list[Any]], brief: Brief
) -> tuple[type[Candidate], list[Iterable[Any]]]:
    """Return the kind of candidate that rows of a category are, and its own fields by column."""
    if category == "chart":
        sizes = zip(cells["stitches_wide"], cells["stitches_high"], strict=True)
        asked = map(charted, cells["colours"], cells["colour_kinds"], cells["colour_strands"])
        return Chart, [sizes, asked]
    if category == "fabric":
        widths, by_length = map(Fraction, cells["width"]), cells["sold_by"]
        each = zip(
            widths, cells["height"], by_length, cells["step_cm"], cells["smallest_cm"], strict=True
        )
        rolls: list[Roll | None] = []
        sizes_known: list[Size | None] = []
        for width, height, is_roll, step, smallest in each:
            rolls.append(_roll(width, step, smallest) if is_roll else None)
            sizes_known.append(None if is_roll else Size(width, Fraction(height)))
        counts = (
            effective_count(weave, Fraction(count, 10_000), brief.fit.over)
            for weave, count in zip(cells["weave"], cells["count"], strict=True)
        )
        return Fabric, [counts, sizes_known, cells["colours"], rolls]
    if category == "thread":
        colours = (tuple(said.split(";")) for said in cells["colours"])
        names = ("skein_length", "strands", "kind", "home_length", "home_taken")
        return Thread, [colours, *(cells[name] for name in names)]
    if category == "needle":
        return Needle, [(frozenset(map(int, s.split(";"))) for s in cells["needle_sizes"])]
    if category == "hoop":
        return Hoop, [map(Fraction, cells["diameter"])]
    return Candidate, []


def _roll(width: Fraction, step_cm: int, smallest_cm: int) -> Roll:
    step = Fraction(step_cm)
    return Roll(width, step, ceil(smallest_cm / step))


def _opening(in_cm: str, in_inches: str) -> Size | None:
    said = in_cm or in_inches
    return Size(*map(Fraction, said.split(";"))) if said else None


def _described(have: Any) -> dict[str, str] | None:
    """Return what is said of a thing at home by column; None for shades, which are no rows."""
    match have:
        case None | tuple():
            return None
        case bool():
            return {}
    given = have.model_dump(mode="json", exclude_none=True)
    return {
        column: ";".join(map(str, said)) if isinstance(said, list) else str(said)
        for column, said in given.items()
    }


def at_home(category: str, have: Any, brief: Brief) -> Candidate:
    """Return what is at home as a candidate; what the brief does not describe stays unknown."""
    said = {
        column: value
        for rule in RULES
        for column, value in rule.reads_at_home(category, _described(have), brief).items()
    }
    common: dict[str, Any] = {
        "sku": "",
        "category": category,
        "measures": tuple(sorted(said.items())),
    }
    match have:
        case HomeChart():
            wide, high = have.stitches_wide, have.stitches_high
            size = (wide, high) if wide is not None and high is not None else None
            return Chart(**common, size=size, shades=have.shades)
        case HomeFabric():
            known = have.weave is not None and have.count is not None
            count = (
                effective_count(str(have.weave), Fraction(have.count or 0), brief.fit.over)
                if known
                else None
            )
            return Fabric(**common, count=count, size=have.size, colour=have.colours or "")
        case HomeNeedle():
            return Needle(**common, sizes=frozenset(have.needle_sizes))
        case HomeHoop():
            return Hoop(**common, diameter=have.diameter)
        case tuple():
            return Thread(**common, points=100_00, colours=have, skein_length=USUAL_SKEIN)
    unknown = {"chart": Chart, "fabric": Fabric, "needle": Needle, "hoop": Hoop}
    candidate: Candidate = unknown.get(category, Candidate)(**common)
    return candidate
