"""The view models of what stands beside a kit: copies, a kit that is held, several kits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.page.address import Address
from kitsolver.page.several import SeveralAsked, SeveralFound
from kitsolver.page.wishes.colour_wishes import FAR
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.things import short_name
from kitsolver.show.sheet.tide import from_dark_to_light
from kitsolver.solve.outcome import Kit


def several_context(address: Address, asked: SeveralAsked, found: SeveralFound) -> dict[str, Any]:
    """Return several kits side by side, each with the address that shows it alone."""
    shown = []
    for one, kit, brief in zip(asked.kits, found.kits, found.briefs, strict=False):
        every = float(sum(shade.stitches for shade in kit.shades)) or 1.0
        left, bands = 0.0, []
        for shade in from_dark_to_light(kit.shades):
            width = 100 * float(shade.stitches) / every
            bands.append({"colour": shade.thread_colour, "left": left, "width": width + 0.1})
            left += width
        alone = address.asking(brief).choosing(keep=[line.sku for line in kit.lines])
        shown.append(
            {
                "name": one.name,
                "copies": one.copies,
                "payable": to_text(kit.receipt.payable, brief.currency),
                "quality": figure_text(kit.figures.quality),
                "bands": bands,
                "colours": [shade.thread_colour for shade in kit.shades],
                "lines": kit.lines,
                "href": replace(alone, way="bundles", copies=one.copies).href(),
            }
        )
    return {"shown": shown, "says": found.says}


def copies_context(address: Address, brief: Brief, kit: Kit, facts: GoodsFacts) -> dict[str, Any]:
    """Return how many copies of a kit the stock makes, and what is lacking for those asked for."""
    supplies = []
    for line in kit.lines:
        stock = facts.stock(line.sku)
        if stock is None or not line.bought or line.sku in brief.choose.own:
            continue
        supplies.append((stock // line.bought, line, stock))
    supplies.sort(key=lambda one: (one[0], one[1].sku))
    lacking = [
        {
            "name": line.name,
            "needed": line.bought * address.copies,
            "stock": stock,
            "order": line.bought * address.copies - stock,
        }
        for made, line, stock in supplies
        if made < address.copies
    ]
    return {
        "copies": address.copies,
        "made": supplies[0][0] if supplies else None,
        "first": supplies[0][1].name if supplies else "",
        "lacking": lacking,
        "enough": address.href("/enough"),
    }


def colour_notes(brief: Brief, kit: Kit) -> Iterator[str]:
    """Yield which colours are far from those wished for, and that missing them costs less."""
    t, shades = texts("kitsolver.page").colours, brief.shades
    if not (shades.free and shades.wish):
        return
    names = {line.sku: short_name(line.name) for line in kit.lines}
    far = [shade for shade in kit.shades if shade.difference > FAR]
    if far:
        told = ", ".join(names.get(shade.sku or "", shade.thread_colour) for shade in far)
        yield t.far.format(far=len(far), every=len(kit.shades), names=told)
    usual = type(shades).model_fields["mismatch"].default
    if shades.mismatch < usual:
        yield t.mismatch.format(mismatch=f"{shades.mismatch:f}")


def held_context(address: Address, brief: Brief, kit: Kit, held: Kit | None) -> dict[str, Any]:
    """Return a kit that is held beside this one: what came and went, and both their sums."""
    context: dict[str, Any] = {"hold": address.holding().href(), "held": None}
    if held is None:
        return context

    def lines(one: Kit, other: Kit) -> list[dict[str, Any]]:
        units = {line.sku: line.units for line in other.lines}
        return [
            {
                "units": line.units - units.get(line.sku, 0),
                "name": line.name,
                "sum": to_text((line.units - units.get(line.sku, 0)) * line.price, brief.currency),
            }
            for line in one.lines
            if line.units > units.get(line.sku, 0)
        ]

    context["held"] = {
        "payable": to_text(held.receipt.payable, brief.currency),
        "quality": figure_text(held.figures.quality),
        "came": lines(kit, held),
        "went": lines(held, kit),
        "back": f"/?{address.held}",
        "let_go": replace(address, held="").href(),
    }
    return context


def sent_context(address: Address, brief: Brief, kit: Kit) -> dict[str, Any]:
    """Return the address to send, and how the kit differs from the one that was sent, if it does.

    The address that is sent holds the sum and the skus of the kit.
    """
    payable = to_text(kit.receipt.payable, brief.currency)
    skus = [line.sku for line in kit.lines]
    sending = replace(address, held="", seen="\n".join([payable, *skus]))
    context: dict[str, Any] = {"send": sending.href(), "differs": None}
    then, *were = address.seen.split("\n")
    if address.seen and (then, sorted(were)) != (payable, sorted(skus)):
        names = {line.sku: line.name for line in kit.lines}
        context["differs"] = {
            "then": then[:40],
            "came": [names[sku] for sku in skus if sku not in were],
            "went": [sku for sku in were if sku not in skus],
        }
    return context
