"""What is said of a kit in sentences and sums, on the terminal, on the sheet and on the page."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT, differences
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH, rounded
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import a_head, sum_text
from kitsolver.show.skipped import among, skipped_sentences
from kitsolver.solve.audit.evidence import number
from kitsolver.solve.outcome import Kit, Line, Outcome, Status

# Colours that differ by less are hard to see apart at arm's length (common practice, no source).
_HARD_TO_SEE = 5

_CLOTH = ("chart", "fabric")


def line_groups(kit: Kit) -> Iterator[tuple[str, list[Line]]]:
    """Yield the lines of a kit in groups, each with its title.

    A need that is neither cloth nor thread is a tool.
    """
    needs = [line for line in kit.lines if line.role == "need"]
    yield "Cloth", [line for line in needs if line.category in _CLOTH]
    yield "Colour", [line for line in needs if line.category == "thread"]
    yield "Tools", [line for line in needs if line.category not in (*_CLOTH, "thread")]
    yield "Treats", [line for line in kit.lines if line.role == "extra"]


def fit_sentences(kit: Kit, brief: Brief) -> Iterator[str]:
    """Yield the size of the design, what the fabric yields, and the stitches an inch."""
    fit, unit = kit.fit, brief.units
    if fit.finished is not None and fit.cut is not None:
        yield f"finishes at {size_text(fit.finished, unit)}, cut to {size_text(fit.cut, unit)}"
    if fit.fabric is not None and fit.pieces is not None:
        turned = ", turned" if fit.turned else ""
        yield (
            f"from {size_text(fit.fabric, unit)}{turned}: "
            f"{_counted(fit.pieces, 'cut piece', 'cut pieces')}, or the design "
            f"{_times(fit.repeats or 0)} on the uncut cloth"
        )
    if fit.effective_count is not None:
        strands = f", {_counted(fit.strands, 'strand', 'strands')}" if fit.strands else ""
        yield f"{number(fit.effective_count)} stitches an inch{strands}"


def till_rows(kit: Kit, brief: Brief) -> list[tuple[str, int]]:
    """Return the sums of the till by name, in minor units; without those that the till has not."""
    receipt, till = kit.receipt, brief.till
    rows = [("goods", receipt.goods)]
    rows += [("discount", -receipt.discount)] if till.discount_rate else []
    rows += [("delivery", receipt.delivery)] if till.delivery else []
    rows += [("tax", receipt.tax)] if till.tax_rate or receipt.tax else []
    rows += [("payable", receipt.payable)]
    rows += [("about, a head", a_head(receipt.payable, brief))] if brief.heads > 1 else []
    rows += [("left", brief.total_cap - receipt.payable)]
    return rows


def at_home_sentences(brief: Brief) -> Iterator[str]:
    """Yield which needs are met at home."""
    names = [need for need in brief.holds if brief.need(need).have]
    if names:
        yield f"At home: {', '.join(names)}"


def verdict_sentences(outcome: Outcome, kit: Kit) -> Iterator[str]:
    """Yield the figures of a kit, and whether it is proven best."""
    figures, bound = kit.figures, outcome.bound
    yield f"Quality {figure_text(figures.quality)} of 100, extras {figure_text(figures.extras)}"
    if outcome.status is Status.BEST:
        rows = among(outcome.row_counts)
        yield (
            f"Proven best among {rows}: no kit of these beats it under the cap."
            if rows
            else "Proven best: no kit of this catalogue beats it under the cap."
        )
        yield from _opened_charts(outcome)
        yield from _next_rung(outcome)
    elif bound is not None:
        yield (
            "Not proven best: time ran out. No kit has a quality above "
            f"{figure_text(bound.quality)}, "
            f"a gap of {figure_text(bound.quality - figures.quality)}."
        )
    yield from skipped_sentences(outcome.row_counts)


def _opened_charts(outcome: Outcome) -> Iterator[str]:
    charts = outcome.charts
    if charts is not None and charts.considered > 1:
        yield (
            f"Of {charts.considered} charts, {charts.opened} had to be opened: "
            "whatever the others could give is below this kit."
        )


def _next_rung(outcome: Outcome) -> Iterator[str]:
    rung, brief = outcome.next_rung, outcome.brief
    if rung is not None:
        yield (
            f"{sum_text(rung.cap - brief.total_cap, brief)} more would buy "
            f"quality {figure_text(rung.figures.quality)}, "
            f"extras {figure_text(rung.figures.extras)}."
        )


def margin_sentences(kit: Kit, brief: Brief) -> Iterator[str]:
    """Yield what the shop keeps, where a margin is asked. No page for customers may show it."""
    if kit.trade_cost is None or brief.shop.sell_at is None:
        return
    sold = brief.minor(brief.shop.sell_at)
    kept = sold - kit.trade_cost
    sums = [to_text(minor, brief.currency) for minor in (sold, kit.trade_cost, kept)]
    share = f", {figure_text(Fraction(100 * kept, sold))} %" if sold else ""
    yield f"Sold at {sums[0]} it costs the shop {sums[1]} and leaves {sums[2]}{share}."
    least = brief.least_sell_at(kit.trade_cost)
    if least is not None:
        price = to_text(least, brief.currency)
        yield f"The least price that leaves the margin asked for is {price}."
    yield f"Singly its contents cost {to_text(kit.receipt.goods, brief.currency)}."


def cloth_warnings(kit: Kit) -> Iterator[str]:
    """Yield a warning for each shade that is hard to see on the fabric."""
    if kit.fit.cloth is None or not kit.shades:
        return
    names = {line.sku: line.name for line in kit.lines}
    found = _from_cloth(kit.fit.cloth, tuple(shade.thread_colour for shade in kit.shades))
    for shade, difference in zip(kit.shades, found, strict=True):
        if difference < _HARD_TO_SEE * DIFFERENCE_UNIT:
            by = number(Fraction(difference, DIFFERENCE_UNIT))
            name = names.get(shade.sku or "", shade.thread_colour)
            yield f"Hard to see on this cloth: {name}. The two differ by {by} only."


@lru_cache(256)
def _from_cloth(cloth: str, colours: tuple[str, ...]) -> tuple[int, ...]:
    """Return by how much each colour differs from a cloth."""
    return tuple(map(int, differences([cloth], colours)[0]))


def check_sentences(kit: Kit) -> Iterator[str]:
    """Yield how many rules were checked again, and which could not be checked."""
    held = sum(check.holds is True for check in kit.checks)
    yield f"{held} of {len(kit.checks)} rules checked again on the catalogue's own rows: all hold."
    for check in kit.checks:
        if check.holds is None:
            yield f"  {check.rule}: {check.detail}"


def caution_sentences(kit: Kit, brief: Brief) -> Iterator[str]:
    """Yield the usual cautions for points and blades (common practice, no source)."""
    if not {"needle", "scissors"} & {*brief.holds, *(line.category for line in kit.lines)}:
        return
    yield "Sharp points and blades: keep them, and small parts, away from small children."
    if brief.kits > 1:
        yield "Count needles out and in. Hand scissors over handle first."
        yield "A chart is usually licensed to one stitcher: read its licence before sharing."
        yield "The school's or venue's own rules come first."


@lru_cache(1024)
def size_text(size: Size, unit: str) -> str:
    """Return a size as text, in ``"cm"`` or ``"in"``."""
    sides = (str(rounded(side, CM if unit == "cm" else INCH)) for side in size)
    return f"{' × '.join(sides)} {unit}"


def percent_text(rate: Decimal | Fraction) -> str:
    """Return a rate in per cent; rates have a few decimals, and all of them are shown."""
    exact = 100 * Fraction(rate)
    return format((Decimal(exact.numerator) / exact.denominator).normalize(), "f")


# A ladder shows the same figures again and again.
@lru_cache(4096)
def figure_text(value: Fraction) -> str:
    """Return a figure as text, with two decimals."""
    return format(rounded(value, unit=1), "f")


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
