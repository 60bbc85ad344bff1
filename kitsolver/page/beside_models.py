"""The view models of what stands beside a kit: copies, a kit that is held, several kits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.explain.copies import supplies_of
from kitsolver.explain.why_not import WhyNot
from kitsolver.page.address import Address
from kitsolver.page.everyday import everyday
from kitsolver.page.several import SeveralAsked, SeveralFound
from kitsolver.page.wishes.colour_wishes import FAR
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.scene import scene_of
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.things import short_name
from kitsolver.show.why import break_even_sentences, standing_sentences
from kitsolver.solve.outcome import Kit


def several_context(address: Address, asked: SeveralAsked, found: SeveralFound) -> dict[str, Any]:
    """Return several kits side by side, each with the address that shows it alone."""
    shown = []
    for one, kit, brief in zip(asked.kits, found.kits, found.briefs, strict=False):
        alone = address.asking(brief).choosing(keep=[line.sku for line in kit.lines])
        shown.append(
            {
                "name": one.name,
                "copies": one.copies,
                "payable": to_text(kit.receipt.payable, brief.currency),
                "quality": figure_text(kit.figures.quality),
                "scene": scene_of(kit, brief, found.facts),
                "lines": [
                    {
                        "units": line.units,
                        "name": line.name,
                        "sum": to_text(line.total, brief.currency),
                    }
                    for line in kit.lines
                ],
                "href": replace(alone, way="bundles", copies=one.copies).href(),
            }
        )
    return {
        "shown": shown,
        "says": [everyday(sentence, found.facts.names) for sentence in found.says],
    }


def copies_context(address: Address, brief: Brief, kit: Kit, facts: GoodsFacts) -> dict[str, Any]:
    """Return how many copies of a kit the stock makes, and what is lacking for those asked for."""
    supplies = supplies_of(kit, brief, facts.stock)
    names = {line.sku: line.name for line in kit.lines}
    first = supplies[0] if supplies and supplies[0].copies is not None else None
    lacking = [
        {
            "name": names[each.sku],
            "needed": each.units * address.copies,
            "stock": each.stock,
            "order": each.missing(address.copies),
        }
        for each in supplies
        if each.missing(address.copies)
    ]
    return {
        "copies": address.copies,
        "made": first.copies if first else None,
        "first": names[first.sku] if first else "",
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

    # The difference of the figures as they are shown.
    shown = (Decimal(figure_text(one.figures.quality)) for one in (kit, held))
    better = next(shown) - next(shown)
    context["held"] = {
        "payable": to_text(held.receipt.payable, brief.currency),
        "quality": figure_text(held.figures.quality),
        "dearer": _signed(kit.receipt.payable - held.receipt.payable, brief.currency),
        "better": f"{'−' if better < 0 else '+'}{abs(better)}",
        "came": more_than(held, kit),
        "went": more_than(kit, held),
        "back": f"/?{address.held}",
        "let_go": replace(address, held="").href(),
    }
    return context


def _signed(amount: int, currency: str) -> str:
    return f"{'−' if amount < 0 else '+'}{to_text(abs(amount), currency)}"


def more_than(one: Kit, other: Kit) -> list[dict[str, Any]]:
    """Return what another kit holds more than one, each with its units and what these cost."""
    units = {line.sku: line.units for line in one.lines}
    return [
        {
            "units": line.units - units.get(line.sku, 0),
            "name": line.name,
            "sum": to_text((line.units - units.get(line.sku, 0)) * line.price, other.currency),
        }
        for line in other.lines
        if line.units > units.get(line.sku, 0)
    ]


def why_sentences(found: WhyNot) -> list[str]:
    """Return why a row is in the best kit or not."""
    return [*standing_sentences(found), *(found.why.because if found.why else ())]


def why_context(found: WhyNot, names: Mapping[str, str]) -> dict[str, Any]:
    """Return why a row is in the best kit or not, with the kit that is set beside the best.

    `names` are those of the rows that the reasons name, by sku.
    """
    t = texts("kitsolver.page").why
    beside = []
    for says, other in ((t.with_it, found.with_it), (t.without, found.without)):
        if found.best is None or other is None:
            continue
        figures = t.figures.format(
            payable=to_text(other.receipt.payable, other.currency),
            quality=figure_text(other.figures.quality),
            best_payable=to_text(found.best.receipt.payable, other.currency),
            best_quality=figure_text(found.best.figures.quality),
            currency=other.currency,
        )
        came, went = more_than(found.best, other), more_than(other, found.best)
        beside.append({"says": says, "figures": figures, "came": came, "went": went})
    return {
        "sku": found.sku,
        "name": found.name or found.sku,
        "sentences": [everyday(sentence, names) for sentence in why_sentences(found)],
        "beside": beside,
        "ways": [everyday(sentence) for sentence in break_even_sentences(found)],
    }


def seen_skus(address: Address) -> list[str]:
    """Return the rows of the kit that was shown when an address was sent."""
    return address.seen.split("\n")[1:]


def sent_context(
    address: Address, brief: Brief, kit: Kit, names: Mapping[str, str]
) -> dict[str, Any]:
    """Return the address to send, and how the kit differs from the one that was sent, if it does.

    The address that is sent holds the sum and the skus of the kit; `names` are theirs.
    """
    payable = to_text(kit.receipt.payable, brief.currency)
    skus = [line.sku for line in kit.lines]
    sending = replace(address, held="", seen="\n".join([payable, *skus]))
    context: dict[str, Any] = {"send": sending.href(), "differs": None}
    then, *were = address.seen.split("\n")
    if address.seen and (then, sorted(were)) != (payable, sorted(skus)):
        here = {line.sku: line.name for line in kit.lines}
        context["differs"] = {
            "then": then[:40],
            "came": [here[sku] for sku in skus if sku not in were],
            "went": [names.get(sku, sku) for sku in were if sku not in skus],
        }
    return context
