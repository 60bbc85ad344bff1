"""A range, and how many copies of a kit the stock makes: on the terminal and as JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from kitsolver.brief.range import RangeKit
from kitsolver.explain.copies import Copies
from kitsolver.explain.no_kit.why_no_kit import NoKit
from kitsolver.shop.money import to_text
from kitsolver.show.a_head import a_head_text
from kitsolver.show.json_record import (
    JsonObject,
    check_records,
    figure_number,
    no_kit_record,
    skipped_records,
)
from kitsolver.show.kit_record import record_of
from kitsolver.show.sentences import figure_text
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.tables import headed_table
from kitsolver.solve.outcome import Kit, Outcome, Status
from kitsolver.solve.ranges.range import RangeOutcome


def range_record(found: RangeOutcome, why: NoKit | None = None) -> JsonObject:
    """Return a range as a JSON object, schema ``kitsolver/range/1``."""
    asked, made = found.asked, bool(found.kits)
    record: JsonObject = {
        "schema": "kitsolver/range/1",
        "status": str(found.status),
        "title": asked.title,
        "currency": asked.currency,
        "plan": "in order" if asked.in_order else "together",
        "distinct": list(asked.distinct),
        "quality": figure_number(found.quality) if made else None,
        "bound": None if found.bound is None or not made else figure_number(found.bound),
        "payable": to_text(found.payable, asked.currency) if made else None,
        "kits": [
            {
                "name": kit.name,
                "copies": kit.copies,
                "kit": record_of(outcome_of(kit, one, found)),
            }
            for kit, one in zip(asked.kits, found.kits, strict=False)
        ],
        "stock": [
            {"sku": one.sku, "stock": one.stock, "taken": one.taken, "left": one.left}
            for one in found.stock
        ],
        "contended": [
            {"sku": one.sku, "stock": one.stock, "wanted": one.wanted, "kits": list(one.kits)}
            for one in found.contended
        ],
        "checks": check_records(found.checks),
        "skipped": skipped_records(found.row_counts),
    }
    if found.status is Status.NO_KIT:
        record["lacking"] = found.lacking.name if found.lacking else None
        record["why"] = None if why is None else no_kit_record(why, asked.currency)
    return record


def outcome_of(asked: RangeKit, kit: Kit, found: RangeOutcome) -> Outcome:
    """Return one kit of a range with what is known of it: a bound only where it is proven best."""
    bound = kit.figures if found.status is Status.BEST else None
    return Outcome(found.status, asked.brief, kit, bound, row_counts=found.row_counts)


def show_range(found: RangeOutcome, console: Console, why: NoKit | None = None) -> None:
    """Print each kit of a range, the stock that is left and the proof; or why there is no range."""
    asked = found.asked
    console.print(Text(asked.title or "A range", style="bold"))
    if not found.kits:
        _show_none(found, console, why)
        return
    for kit, made in zip(asked.kits, found.kits, strict=True):
        paid = to_text(made.receipt.payable, asked.currency)
        if (each := a_head_text(made.receipt.payable, kit.brief)) is not None:
            paid += f" (about {each} a head)"
        copies = "1 copy" if kit.copies == 1 else f"{kit.copies} copies"
        console.print()
        console.print(
            Text(kit.name, style="bold")
            + Text(f"  {copies} at {paid}, quality {figure_text(made.figures.quality)}, ")
            + Text(f"extras {figure_text(made.figures.extras)}")
        )
        table = Table.grid(padding=(0, 2))
        table.add_column(justify="right", no_wrap=True)
        table.add_column(overflow="fold")
        table.add_column(style="dim", overflow="fold")
        for line in made.lines:
            table.add_row(f"{line.units} ×", Text(line.name), Text(line.sku))
        console.print(Padding(table, (0, 0, 0, 2)))
    console.print()
    for sentence in (*ending_sentences(found), *skipped_sentences(found.row_counts)):
        console.print(sentence, highlight=False)


def ending_sentences(found: RangeOutcome, called: Callable[[str], str] = str) -> Iterator[str]:
    """Yield what kits come to together, what they clashed over, and how well they are proven.

    `called` says what a row that kits clashed over is called, by its sku.
    """
    asked = found.asked
    yield f"All copies come to {to_text(found.payable, asked.currency)} {asked.currency}."
    for one in found.contended:
        yield _contention(called(one.sku), one.stock, one.wanted, one.kits)
    short = sorted(found.stock, key=lambda one: (one.left, one.sku))[:5]
    if short:
        names = {line.sku: line.name for kit in found.kits for line in kit.lines}
        left = "; ".join(f"{names.get(one.sku, one.sku)} ({one.left})" for one in short)
        yield f"Least is left of: {left}."
    if found.status is Status.BEST:
        yield (
            "Each is proven best of what those before it leave."
            if asked.in_order
            else "Proven best together: no other kits from this stock have more quality in all."
        )
    elif found.bound is not None:
        gap = figure_text(found.bound - found.quality)
        yield f"Not proven best together: time ran out. In all there may be {gap} more quality."
    held = sum(check.holds is True for kit in found.kits for check in kit.checks)
    yield f"{held} checks on the shop's own rows hold, and the stock is enough for all of them."


def _contention(goods: str, stock: int | None, wanted: int, kits: tuple[str, ...]) -> str:
    named = " and ".join(kits)
    if stock is None:
        return f"{goods} would have been best for {named}, which may not share it."
    return f"{goods} would have been best for {named}: {wanted} of it, and {stock} are in stock."


def _show_none(found: RangeOutcome, console: Console, why: NoKit | None) -> None:
    """Print why there is no range, and which rows were not offered."""
    for sentence in (*none_sentences(found, why), *skipped_sentences(found.row_counts)):
        console.print(sentence, highlight=False)


def none_sentences(
    found: RangeOutcome, why: NoKit | None, called: Callable[[str], str] = str
) -> Iterator[str]:
    """Yield why kits cannot all be made; `called` is as in `ending_sentences`."""
    if found.lacking is None:
        yield "Each kit can be made by itself, but not all of them from this stock."
        for one in found.contended:
            yield f"  {_contention(called(one.sku), one.stock, one.wanted, one.kits)}"
        return
    left = " of what those before it leave" if found.asked.in_order else ""
    copies = found.lacking.copies
    many = "a kit" if copies == 1 else f"{copies} copies"
    yield f"There is no way to make {many} of {found.lacking.name}{left}."
    if why is not None:
        yield from (f"  {sentence}" for sentence in why.because)
        yield from (f"  {mend.says}" for mend in why.mends)


def copies_record(found: Copies) -> JsonObject:
    """Return how many copies the stock makes, schema ``kitsolver/copies/1``."""
    return {
        "schema": "kitsolver/copies/1",
        "title": found.saved.brief.title,
        "copies": found.most,
        "lines": [
            {"sku": one.sku, "units": one.units, "stock": one.stock, "copies": one.copies}
            for one in found.supplies
        ],
        "skipped": skipped_records(found.row_counts),
    }


def show_copies(found: Copies, console: Console) -> None:
    """Print how many copies of a kit the stock makes, and which rows run out first."""
    console.print(Text(found.saved.brief.title or "A kit", style="bold"))
    if found.most is None:
        console.print("Nothing in it runs out.")
        return
    console.print(f"Today's stock makes {found.most}.", highlight=False)
    table = headed_table()
    table.add_column("runs out", overflow="fold")
    for name in ("a copy", "stock", "copies"):
        table.add_column(name, justify="right", no_wrap=True)
    for one in found.supplies:
        if one.copies is not None:
            table.add_row(Text(one.sku), str(one.units), str(one.stock), str(one.copies))
    console.print(Padding(table, (0, 0, 0, 2)))
    for sentence in skipped_sentences(found.row_counts):
        console.print(sentence, highlight=False)
