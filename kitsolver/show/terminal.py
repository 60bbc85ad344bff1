"""A kit on the terminal: readable without colour, and in 80 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import sum_text
from kitsolver.show.class_plan import plan_sentences
from kitsolver.show.from_home import from_home_text
from kitsolver.show.sentences import (
    at_home_sentences,
    caution_sentences,
    check_sentences,
    cloth_warnings,
    fit_sentences,
    line_groups,
    margin_sentences,
    till_rows,
    verdict_sentences,
)
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.tables import headed_table
from kitsolver.solve.audit.evidence import Shade
from kitsolver.solve.outcome import Kit, Line, Outcome

if TYPE_CHECKING:
    from kitsolver.explain.no_kit.why_no_kit import NoKit
    from kitsolver.shop.skipped import RowCounts


def show_outcome(
    outcome: Outcome, console: Console, why: NoKit | None = None, *, swatches: bool = False
) -> None:
    """Print a kit, or why there is none.

    Parameters
    ----------
    outcome : Outcome
        What `pick` returned.
    console : Console
        Where it is printed.
    why : NoKit, optional
        Why there is no kit, if there is none.
    swatches : bool
        Whether to print the colours of the shades, where the console has colours.
    """
    brief = outcome.brief
    cap = sum_text(brief.total_cap, brief)
    heads = "" if brief.heads == 1 else f", {brief.heads} heads"
    heads += f" and {brief.spare} spare" if brief.spare else ""
    console.print(Text(brief.title or "A kit", style="bold"))
    console.print(f"Cap {cap}{heads}", highlight=False)
    if outcome.kit is None:
        if why is not None:
            show_no_kit(why, outcome.row_counts, console)
        return
    kit = outcome.kit
    for title, lines in line_groups(kit):
        shades = kit.shades if title == "Colour" else ()
        if not (lines or shades):
            continue
        console.print()
        console.print(Text(title, style="bold"))
        if lines:
            console.print(Padding(_lines(lines, brief), (0, 0, 0, 2)))
        if title == "Cloth":
            for sentence in fit_sentences(kit, brief):
                console.print(f"  {sentence}", highlight=False)
        if shades:
            console.print(Padding(_shades(shades), (0, 0, 0, 2)))
            if swatches and console.color_system is not None:
                for name, blocks in _swatches(shades):
                    console.print(Text(f"  {name:8}") + blocks)
    console.print()
    console.print(Text("Till", style="bold"))
    console.print(Padding(_till(kit, brief), (0, 0, 0, 2)))
    if outcome.plan is not None:
        console.print()
        console.print(Text("Class", style="bold"))
        for sentence in plan_sentences(outcome.plan, kit, brief):
            console.print(f"  {sentence}", highlight=False)
    console.print()
    for sentence in chain(
        at_home_sentences(brief),
        verdict_sentences(outcome, kit),
        cloth_warnings(kit),
        margin_sentences(kit, brief),
        check_sentences(kit),
        caution_sentences(kit, brief),
    ):
        console.print(sentence, highlight=False)


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
        name = Text(line.name)
        if home := from_home_text(line):
            name.append(f" ({home})", style="dim")
        table.add_row(f"{line.units} ×", name, Text(line.sku), each, total)
    return table


def _shades(shades: Sequence[Shade]) -> Table:
    table = headed_table()
    table.add_column("charted", no_wrap=True)
    table.add_column("stitches", justify="right", no_wrap=True)
    table.add_column("thread", no_wrap=True)
    table.add_column("from", overflow="fold")
    table.add_column("difference", justify="right", no_wrap=True)
    table.add_column("skeins", justify="right", no_wrap=True)
    for shade in shades:
        table.add_row(
            shade.chart_colour,
            f"{float(shade.stitches):g}" if shade.stitches % 1 else str(shade.stitches),
            shade.thread_colour,
            Text(shade.sku or "home"),
            f"{shade.difference / DIFFERENCE_UNIT:.2f}",
            str(shade.skeins),
        )
    return table


def _swatches(shades: Sequence[Shade]) -> Iterator[tuple[str, Text]]:
    """Yield a row of blocks in the charted colours, and one in the thread colours."""
    for name, colours in (
        ("charted", [shade.chart_colour for shade in shades]),
        ("thread", [shade.thread_colour for shade in shades]),
    ):
        blocks = (Text("    ", style=f"on {colour}") for colour in colours)
        yield name, Text(" ").join(blocks)


def _till(kit: Kit, brief: Brief) -> Table:
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    for name, amount in till_rows(kit, brief):
        style = "bold" if name == "payable" else ""
        table.add_row(Text(name, style), Text(to_text(amount, brief.currency), style))
    return table


def show_no_kit(
    why: NoKit, counts: RowCounts, console: Console, whose: str = "", cap_option: str = "--cap"
) -> None:
    """Print why there is no kit, which rows were not offered, and mends as options to type.

    Parameters
    ----------
    why : NoKit
        Why there is none.
    counts : RowCounts
        The rows that were looked at, and those that were not.
    console : Console
        Where it is printed.
    whose : str
        The kit that is meant, if it is not the best one.
    cap_option : str
        The option that replaces the cap in the command that was asked.
    """
    console.print(f"{whose}, no kit." if whose else "No kit.", style="bold")
    for sentence in (*why.because, *skipped_sentences(counts)):
        console.print(f"  {sentence}", highlight=False)
    for mend in why.mends:
        console.print(f"  {mend.says}", highlight=False)
        console.print(f"  hint: {mend.as_options(cap_option)}", highlight=False, soft_wrap=True)
