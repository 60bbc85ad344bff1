"""The view models: what the page's templates are filled with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.explain.lines import Instead
from kitsolver.explain.mend import Mend
from kitsolver.explain.others import Others
from kitsolver.page.address import Address
from kitsolver.page.beside_models import colour_notes, copies_context, more_than
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.colours_html import shades_html, strips_html
from kitsolver.page.everyday import everyday
from kitsolver.page.tasks import TimedAnswer
from kitsolver.page.wishes.form_html import part, wish_groups
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text, margin_sentences
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.kit_view import kit_view
from kitsolver.show.sheet.scene import scene_of
from kitsolver.show.sheet.strips import strips_of
from kitsolver.show.sheet.texts import texts
from kitsolver.show.sheet.verdict import extras_text
from kitsolver.show.skipped import skipped_sentences
from kitsolver.show.templates import templates
from kitsolver.solve.outcome import Kit, Line

Context = dict[str, Any]
NO_TITLE = "A kit"


def page_of(template: str, context: Context) -> str:
    """Return a template of the page, filled; it shares parts with the templates of the sheet."""
    every = templates("kitsolver.page", "kitsolver.show.sheet")
    words = {"t": texts("kitsolver.page"), "paper": texts("kitsolver.show.sheet"), "n": str}
    parts = {
        "part": part,
        "wish_groups": wish_groups,
        "strips_html": strips_html,
        "shades_html": shades_html,
    }
    return every.get_template(template).render(words | parts | context)


@dataclass(frozen=True)
class Action:
    """What can be done about a row: the key of its text, the address it leads to, and the row."""

    says: str
    href: str
    about: str = ""

    @property
    def beside(self) -> bool:
        """Whether its answer is shown beside the row, and not in the place of the kit."""
        return self.says in ("others", "why", "why_or_not")


def frame(address: Address, catalogue: str, summary: CatalogueSummary | None) -> Context:
    """Return what every view shows."""
    return {
        "address": address,
        "catalogue": catalogue,
        "summary": summary,
        "made_elsewhere": False,
        "findings": (),
        "home": address.href(),
    }


def kit_context(address: Address, brief: Brief, found: TimedAnswer) -> Context:
    """Return what is shown of a kit, or of why there is none."""
    outcome, why = found.answer
    names = found.facts.names
    context: Context = {
        "title": brief.title or NO_TITLE,
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "heads": brief.heads,
        "copies": address.copies,
        "because": [everyday(sentence, names) for sentence in (why.because if why else ())],
        "skipped": list(skipped_sentences(outcome.row_counts)),
        "mends": [_mended(mend, address, brief, names) for mend in (why.mends if why else ())],
        "kit": None,
        "actions": {},
        "chosen": list(_chosen(address, brief, found.facts)),
    }
    if outcome.kit is None:
        return context
    kit = outcome.kit
    skus = [line.sku for line in kit.lines]
    view = kit_view(outcome, kit)
    return (
        context
        | view
        | {
            "line_groups": view["groups"],
            "scene": scene_of(kit, brief, found.facts),
            "strips": strips_of(kit, brief),
            "kept": brief.choose.keep,
            # What is said first is told above the kit.
            "proof_sentences": view["verdict_sentences"][1:],
            "papers": list(_papers(address, brief)),
            "colour_notes": list(colour_notes(brief, kit)),
            "supply": copies_context(address, brief, kit, found.facts),
            "margin": list(margin_sentences(kit, brief)),
            "quality": figure_text(kit.figures.quality),
            "extras": extras_text(kit),
            "left": to_text(brief.total_cap - kit.receipt.payable, brief.currency),
            "actions": {sku: list(_actions(sku, address, brief, kit)) for sku in skus},
        }
    )


def _mended(mend: Mend, address: Address, brief: Brief, names: Mapping[str, str]) -> Context:
    """Return a mend with the address of the brief that it makes."""
    return {
        "says": everyday(mend.says.rstrip("."), names),
        "payable": to_text(mend.payable, brief.currency),
        "href": address.asking(mend.applied(brief)).href(),
    }


def _actions(sku: str, address: Address, brief: Brief, kit: Kit) -> Iterator[Action]:
    """Yield what can be done about a line of the kit."""
    line = next(line for line in kit.lines if line.sku == sku)
    choose = brief.choose
    if sku in choose.keep:
        kept = [other for other in choose.keep if other != sku]
        yield Action("let_go", address.choosing(keep=kept).href(), line.name)
    else:
        yield Action("keep", address.choosing(keep=[*choose.keep, sku]).href(), line.name)
    yield Action("not_this", _without(sku, address, brief).href(), line.name)
    # A skein among several, or an extra, is no need that could be at home as a whole.
    whole_need = line.role == "need" and not (kit.shades and line.category == "thread")
    if sku not in choose.own and whole_need:
        yield Action("own", address.having(line.category).href(), line.name)
    elif sku not in choose.own and not line.listed:
        # What a home list has is not owned beside it: such a brief is refused.
        yield Action("own", address.choosing(own=[*choose.own, sku]).href(), line.name)
    yield Action("others", address.href("/others", sku=sku), line.name)
    yield Action("why", address.href("/why", sku=sku), line.name)


def _without(sku: str, address: Address, brief: Brief) -> Address:
    """Return the address with a row left out, and neither kept nor owned."""
    choose = brief.choose
    return address.choosing(
        keep=[other for other in choose.keep if other != sku],
        own=[other for other in choose.own if other != sku],
        leave_out=[*choose.leave_out, sku],
    )


def row_actions(sku: str, address: Address, brief: Brief, *, listed: bool) -> Iterator[Action]:
    """Yield what can be done about a row that was looked up; a home list may have it `listed`."""
    choose = brief.choose
    out = [other for other in choose.leave_out if other != sku]
    if sku not in choose.keep:
        yield Action("keep", address.choosing(keep=[*choose.keep, sku], leave_out=out).href())
    if sku not in choose.leave_out:
        yield Action("not_this", _without(sku, address, brief).href())
    if sku not in choose.own and not listed:
        yield Action("own", address.choosing(own=[*choose.own, sku], leave_out=out).href())
    yield Action("why_or_not", address.href("/why", sku=sku))


def _papers(address: Address, brief: Brief) -> Iterator[Context]:
    """Yield the papers of a kit, the one that it is most likely wanted for first."""
    readers = {"sheet": "", "card": "card", "picking": "shop"}
    if brief.heads > 1:
        readers = {"plan": "class", "order": "office", **readers}
    if address.copies > 1:
        readers = {"picking": "shop", **readers}
    for says, reader in readers.items():
        more = {"reader": reader} if reader else {}
        yield {"says": says, "href": address.href("/sheet", **more)}


def _chosen(address: Address, brief: Brief, facts: GoodsFacts) -> Iterator[Context]:
    """Yield the rows that are kept, left out or owned, each with the address that undoes it."""
    for name in ("keep", "leave_out", "own"):
        skus = getattr(brief.choose, name)
        for sku in skus:
            rest = [other for other in skus if other != sku]
            href = address.choosing(**{name: rest}).href()
            yield {"says": name, "sku": sku, "name": facts.cell(sku, "name"), "href": href}


def comparison(
    address: Address, brief: Brief, best: Kit, kit: Kit, without: Line | None = None
) -> Context:
    """Return another kit beside the best: its figures, what comes and goes, and its address.

    It may be the best of the kits `without` a line, which is then at home or left out.
    """
    taken = address.choosing(keep=[line.sku for line in kit.lines])
    if without is not None:
        need = without.role == "need"
        taken = address.having(without.category) if need else _without(without.sku, address, brief)
    return {
        "payable": to_text(kit.receipt.payable, brief.currency),
        "quality": figure_text(kit.figures.quality),
        "came": more_than(best, kit),
        "went": more_than(kit, best),
        "href": taken.href(),
    }


def others_context(
    address: Address, brief: Brief, found: Others, instead: Instead | None
) -> Context:
    """Return other kits beside the best, and what a line of it could give way to."""
    context: Context = {
        "currency": brief.currency,
        "complete": found.complete,
        "instead": None,
        "others": [],
    }
    if not found.kits:
        return context
    best, *rest = found.kits
    context["others"] = [comparison(address, brief, best, one) for one in rest]
    if instead:
        replaced, given_up = instead.replaced, instead.given_up
        context["instead"] = {
            "name": instead.line.name,
            "replaced": replaced and comparison(address, brief, best, replaced),
            "given_up": given_up and comparison(address, brief, best, given_up, instead.line),
        }
    return context
