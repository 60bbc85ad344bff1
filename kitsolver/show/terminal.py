"""A result for people at a terminal: readable without colour, at 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import chain
from math import floor
from typing import TYPE_CHECKING

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from kitsolver.brief.asked import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.fit import Size
from kitsolver.craft.lengths import CM, INCH, rounded
from kitsolver.shop.findings import Finding
from kitsolver.shop.money import to_text
from kitsolver.solve.audit.evidence import Shade, number
from kitsolver.solve.outcome import Kit, Line, Outcome, Status

if TYPE_CHECKING:
    from kitsolver.explain.nokit.nokit import NoKit

# A kit is laid out by what it makes; whatever is named nowhere is a tool if it is a need.
_CLOTH = ("chart", "fabric")


def show_outcome(outcome: Outcome, console: Console, why: NoKit | None = None) -> None:
    """Print a kit, or why there is none."""
    brief = outcome.brief
    cap = f"{to_text(brief.total_cap, brief.currency)} {brief.currency}"
    heads = "" if brief.heads == 1 else f", {brief.heads} heads"
    console.print(Text(brief.title or "A kit", style="bold"))
    console.print(f"Cap {cap}{heads}", highlight=False)
    if outcome.kit is None:
        if why is not None:
            show_no_kit(why, console)
        return
    kit = outcome.kit
    for title, lines in _grouped(kit):
        shades = kit.shades if title == "Colour" else ()
        if not (lines or shades):
            continue
        console.print()
        console.print(Text(title, style="bold"))
        if lines:
            console.print(Padding(_lines(lines, brief), (0, 0, 0, 2)))
        if title == "Cloth":
            for told in _fit(kit, brief):
                console.print(f"  {told}", highlight=False)
        if shades:
            console.print(Padding(_shades(shades), (0, 0, 0, 2)))
    console.print()
    console.print(Text("Till", style="bold"))
    console.print(Padding(_till(kit, brief), (0, 0, 0, 2)))
    console.print()
    ending = (_at_home(brief), _verdict(outcome, kit), _unchecked(kit), _cautions(kit, brief))
    for told in chain.from_iterable(ending):
        console.print(told, highlight=False)


def show_findings(findings: Iterable[Finding], console: Console, most: int | None = None) -> None:
    """Print findings: the place, the sentence and the hint; all of them unless `most` is said."""
    every = list(findings)
    for finding in every[:most]:
        value = "" if finding.value is None else f": {finding.value!r}"
        style = "yellow" if finding.warning else "red"
        console.print(
            Text(f"{finding.level} ({finding.code}) ", style=style)
            + Text(f"{finding.place}{value}", style="bold"),
            soft_wrap=True,
        )
        console.print(Text(f"  {finding.sentence}"), soft_wrap=True)
        if finding.hint:
            console.print(Text(f"  hint: {finding.hint}"), soft_wrap=True)
    if most is not None and len(every) > most:
        console.print(f"and {len(every) - most} more", highlight=False)


def _grouped(kit: Kit) -> Iterator[tuple[str, list[Line]]]:
    needs = [line for line in kit.lines if line.role == "need"]
    yield "Cloth", [line for line in needs if line.category in _CLOTH]
    yield "Colour", [line for line in needs if line.category == "thread"]
    yield "Tools", [line for line in needs if line.category not in (*_CLOTH, "thread")]
    yield "Treats", [line for line in kit.lines if line.role == "extra"]


def _lines(lines: Sequence[Line], brief: Brief) -> Table:
    table = Table.grid(padding=(0, 2), expand=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_column(ratio=1, overflow="fold")
    table.add_column(style="dim", overflow="fold", max_width=18)
    for _ in range(2):
        table.add_column(justify="right", no_wrap=True)
    for line in lines:
        owned = line.sku in brief.choose.own
        each = "owned" if owned else f"at {to_text(line.price, brief.currency)}"
        total = to_text(line.total, brief.currency)
        table.add_row(f"{line.units} ×", Text(line.name), Text(line.sku), each, total)
    return table


def _shades(shades: Sequence[Shade]) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="dim")
    table.add_column("charted", no_wrap=True)
    table.add_column("stitches", justify="right", no_wrap=True)
    table.add_column("thread", no_wrap=True)
    table.add_column("from", overflow="fold")
    table.add_column("difference", justify="right", no_wrap=True)
    table.add_column("skeins", justify="right", no_wrap=True)
    for shade in shades:
        table.add_row(
            shade.chart_colour,
            str(shade.stitches),
            shade.thread_colour,
            Text(shade.sku or "home"),
            f"{shade.difference / DIFFERENCE_UNIT:.2f}",
            str(shade.skeins),
        )
    return table


def _fit(kit: Kit, brief: Brief) -> Iterator[str]:
    fit, unit = kit.fit, brief.units
    if fit.finished is not None and fit.cut is not None:
        yield f"finishes at {_size(fit.finished, unit)}, cut to {_size(fit.cut, unit)}"
    if fit.fabric is not None and fit.pieces is not None:
        turned = ", turned" if fit.turned else ""
        yield (
            f"from {_size(fit.fabric, unit)}{turned}: "
            f"{_times(fit.pieces, 'cut', 'cuts')}, or the design "
            f"{_times(fit.repeats or 0, 'time', 'times')} on the uncut piece"
        )
    if fit.effective_count is not None:
        strands = f", {_times(fit.strands, 'strand', 'strands')}" if fit.strands else ""
        yield f"{number(fit.effective_count)} stitches an inch{strands}"


def _till(kit: Kit, brief: Brief) -> Table:
    sums, till = kit.receipt, brief.till
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    rows = [("goods", sums.goods)]
    rows += [("discount", -sums.discount)] if till.discount_rate else []
    rows += [("delivery", sums.delivery)] if till.delivery else []
    rows += [("tax", sums.tax)] if till.tax_rate else []
    rows += [("payable", sums.payable)]
    each = floor(Fraction(sums.payable, brief.heads) + Fraction(1, 2))
    rows += [("about, a head", each)] if brief.heads > 1 else []
    rows += [("left", brief.total_cap - sums.payable)]
    for name, amount in rows:
        style = "bold" if name == "payable" else ""
        table.add_row(Text(name, style), Text(to_text(amount, brief.currency), style))
    return table


def _at_home(brief: Brief) -> Iterator[str]:
    names = [need for need in brief.holds if brief.need(need).have]
    if names:
        yield f"At home: {', '.join(names)}"


def _verdict(outcome: Outcome, kit: Kit) -> Iterator[str]:
    figures, bound = kit.figures, outcome.bound
    yield f"Quality {plain(figures.quality)} of 100, extras {plain(figures.extras)}"
    if outcome.status is Status.BEST:
        yield "Proven best: no kit of this catalogue beats it under the cap."
        yield from _searched(outcome)
        yield from _next_rung(outcome)
    elif bound is not None:
        yield (
            "Not proven best: time ran out. No kit has a quality above "
            f"{plain(bound.quality)}, a gap of {plain(bound.quality - figures.quality)}."
        )


def _searched(outcome: Outcome) -> Iterator[str]:
    charts = outcome.charts
    if charts is not None and charts.considered > 1:
        yield (
            f"Of {charts.considered} charts, {charts.opened} had to be opened: "
            "whatever the others could give is below this kit."
        )


def _next_rung(outcome: Outcome) -> Iterator[str]:
    rung, brief = outcome.next_rung, outcome.brief
    if rung is not None:
        missing = to_text(rung.cap - brief.total_cap, brief.currency)
        yield (
            f"{missing} {brief.currency} more would buy quality {plain(rung.figures.quality)}, "
            f"extras {plain(rung.figures.extras)}."
        )


def _unchecked(kit: Kit) -> Iterator[str]:
    held = sum(check.holds is True for check in kit.checks)
    yield f"{held} of {len(kit.checks)} rules checked again on the catalogue's own rows: all hold."
    for check in kit.checks:
        if check.holds is None:
            yield f"  {check.rule}: {check.detail}"


def _cautions(kit: Kit, brief: Brief) -> Iterator[str]:
    """Tell the usual cautions for points and blades (common practice, no source)."""
    if not {"needle", "scissors"} & {*brief.holds, *(line.category for line in kit.lines)}:
        return
    yield "Sharp points and blades: keep them, and small parts, away from small children."
    if brief.heads > 1:
        yield "Count needles out and in. Hand scissors over handle first."
        yield "A chart is usually licensed to one stitcher: read its licence before sharing."
        yield "The school's or venue's own rules come first."


def show_no_kit(why: NoKit, console: Console, whose: str = "") -> None:
    """Print why there is no kit, or none of some kind."""
    console.print(f"{whose}, no kit." if whose else "No kit.", style="bold")
    for sentence in why.because:
        console.print(f"  {sentence}", highlight=False)
    for mend in why.mends:
        console.print(f"  {mend.says}", highlight=False)
        console.print(f"  hint: {mend.options}", highlight=False, soft_wrap=True)


def _size(size: Size, unit: str) -> str:
    sides = (str(rounded(side, CM if unit == "cm" else INCH)) for side in size)
    return f"{' × '.join(sides)} {unit}"


def plain(value: Fraction) -> str:
    """Return a figure for people."""
    return format(rounded(value, unit=1), "f")


def _times(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
