"""What the page's templates are filled with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.explain.answer import Answer
from kitsolver.explain.mend import Mend
from kitsolver.page import form
from kitsolver.page.address import Address
from kitsolver.page.tasks import Look, ProvenRungs
from kitsolver.shop.findings import Finding
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet.kit_view import kit_view
from kitsolver.show.sheet.ladder_drawing import HEIGHT, WIDTH, across
from kitsolver.show.templates import templates
from kitsolver.solve.outcome import Kit, Line

Context = dict[str, Any]


def page_of(template: str, context: Context) -> str:
    """Return a template of the page filled; parts that the sheet has too are the sheet's."""
    every = templates("kitsolver.page", "kitsolver.show.sheet")
    return every.get_template(template).render(context)


@dataclass(frozen=True)
class Act:
    """Something to do about a row or a brief: what it is called, and the address it leads to."""

    says: str
    href: str
    about: str = ""


def frame(address: Address, catalogue: str, look: Look | None) -> Context:
    """Return what every view shows."""
    return {
        "address": address,
        "catalogue": catalogue,
        "look": look,
        "findings": (),
        "home": address.href(),
    }


def asked(
    values: form.Values, groups: Sequence[form.Group], findings: Sequence[Finding] = ()
) -> Context:
    """Return what the form shows: values by field, and findings beside those they are about."""
    return {
        "sum": form.sums(),
        "groups": groups,
        "values": values,
        "faults": {finding.column: finding for finding in findings if finding.column},
        "findings": findings,
    }


def answered(address: Address, brief: Brief, answer: Answer) -> Context:
    """Return what is shown of a kit, or of why there is none."""
    outcome, why = answer
    context: Context = {
        "title": brief.title or "A kit",
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "heads": brief.heads,
        "why": why,
        "mends": [_mended(mend, address, brief) for mend in (why.mends if why else ())],
        "kit": None,
        "acts": {},
        "chosen": list(_chosen(address, brief)),
    }
    if outcome.kit is None:
        return context
    kit = outcome.kit
    skus = [line.sku for line in kit.lines]
    told = kit_view(outcome, kit)
    return (
        context
        | told
        | {
            "line_groups": told["groups"],
            "band": list(_band(kit)),
            "quality": figure_text(kit.figures.quality),
            "extras": figure_text(kit.figures.extras),
            "left": to_text(brief.total_cap - kit.receipt.payable, brief.currency),
            "acts": {sku: list(_acts(sku, address, brief, kit)) for sku in skus},
        }
    )


def _band(kit: Kit) -> Iterator[Context]:
    """Yield the thread colours side by side, as wide as they have stitches, in hundredths."""
    every = float(sum(shade.stitches for shade in kit.shades)) or 1.0
    left = 0.0
    for shade in kit.shades:
        width = round(100 * float(shade.stitches) / every, 3)
        yield {"colour": shade.thread_colour, "left": round(left, 3), "width": width}
        left += width


def _mended(mend: Mend, address: Address, brief: Brief) -> Context:
    """Return a mend with the address of the brief that it makes."""
    return {
        "says": mend.says,
        "payable": to_text(mend.payable, brief.currency),
        "href": address.asking(mend.applied(brief)).href(),
    }


def _acts(sku: str, address: Address, brief: Brief, kit: Kit) -> Iterator[Act]:
    """Yield what can be done about a line of the kit."""
    line = next(line for line in kit.lines if line.sku == sku)
    choose = brief.choose
    if sku in choose.keep:
        kept = [other for other in choose.keep if other != sku]
        yield Act("let it go", address.choosing(keep=kept).href(), line.name)
    else:
        yield Act("keep this", address.choosing(keep=[*choose.keep, sku]).href(), line.name)
    yield Act("not this", _without(sku, address, brief).href(), line.name)
    # One of several skeins, or an extra, is no need of its own that could be at home.
    alone = line.role == "need" and not (kit.shades and line.category == "thread")
    if sku not in choose.own and not alone:
        yield Act("I have one", address.choosing(own=[*choose.own, sku]).href(), line.name)
    elif sku not in choose.own:
        yield Act("I have one", address.having(line.category).href(), line.name)
    yield Act("show me others", address.href("/others", sku=sku), line.name)
    yield Act("why this?", address.href("/why", sku=sku), line.name)


def _without(sku: str, address: Address, brief: Brief) -> Address:
    """Return the address with a row left out, and neither kept nor owned."""
    choose = brief.choose
    return address.choosing(
        keep=[other for other in choose.keep if other != sku],
        own=[other for other in choose.own if other != sku],
        leave_out=[*choose.leave_out, sku],
    )


def row_acts(sku: str, address: Address, brief: Brief) -> Iterator[Act]:
    """Yield what can be done about a row that was looked up."""
    choose = brief.choose
    out = [other for other in choose.leave_out if other != sku]
    if sku not in choose.keep:
        yield Act("keep this", address.choosing(keep=[*choose.keep, sku], leave_out=out).href())
    if sku not in choose.leave_out:
        yield Act("not this", _without(sku, address, brief).href())
    if sku not in choose.own:
        yield Act("I have one", address.choosing(own=[*choose.own, sku], leave_out=out).href())
    yield Act("why, or why not?", address.href("/why", sku=sku))


def _chosen(address: Address, brief: Brief) -> Iterator[Context]:
    """Yield the rows that are kept, left out or owned, and how to take that back."""
    for name, says in (("keep", "kept"), ("leave_out", "left out"), ("own", "at home")):
        skus = getattr(brief.choose, name)
        for sku in skus:
            rest = [other for other in skus if other != sku]
            yield {"says": says, "sku": sku, "href": address.choosing(**{name: rest}).href()}


def climbed(address: Address, brief: Brief, climb: ProvenRungs | None) -> Context:
    """Return what is shown of the ladder, or where to ask for it."""
    context: Context = {
        "climb": climb,
        "ladder_href": address.href("/ladder"),
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
    }
    if climb is None or not climb.stages:
        return context
    cap, currency = brief.total_cap, brief.currency
    at = sum(stage.cap <= cap for stage in climb.stages)

    def rung(number: int) -> Context | None:
        if not 0 <= number < len(climb.stages):
            return None
        stage = climb.stages[number]
        return {
            "cap": to_text(stage.cap, currency),
            "quality": figure_text(stage.figures.quality),
            "extras": figure_text(stage.figures.extras),
            "href": address.at(stage.cap, brief, climb.high).href(),
        }

    # Below the kit that stands there a cap between two rungs gives the same kit.
    here = rung(at - 1)
    below = rung(at - 1 if at and climb.stages[at - 1].cap < cap else at - 2)
    return context | {
        "steps": climb.steps,
        "frame": (WIDTH, HEIGHT),
        "cap_x": across(cap, climb.low, climb.high),
        "low": to_text(climb.low, currency),
        "high": to_text(climb.high, currency),
        "step": to_text(1, currency),
        "caps": " ".join(to_text(stage.cap, currency) for stage in climb.stages),
        "here": here,
        "below": below,
        "above": rung(at),
        "complete": climb.proven_from <= climb.low,
        "proven_from": to_text(climb.proven_from, currency),
        "mains": list(_mains(climb, rung)),
        # What a plain form sends besides the cap.
        "hidden": [
            pair
            for pair in address.at(cap, brief, climb.high).pairs
            if pair[0] not in ("cap", "cap_per_head")
        ],
    }


def _mains(climb: ProvenRungs, rung: Any) -> Iterator[Context]:
    """Yield the rungs at which quality changes."""
    before = None
    for number, stage in enumerate(climb.stages):
        if stage.figures.quality != before:
            yield rung(number)
        before = stage.figures.quality


def compared(
    address: Address, brief: Brief, best: Kit, kit: Kit, without: Line | None = None
) -> Context:
    """Return another kit beside the best: its figures, what comes and goes, and how to take it.

    It may be the best of those `without` a line, of which one is then taken to be at home.
    """
    there, here = ({line.sku: line for line in one.lines} for one in (best, kit))
    came = [line for sku, line in here.items() if sku not in there]
    went = [line for sku, line in there.items() if sku not in here]
    taken = address.choosing(keep=here)
    if without is not None:
        need = without.role == "need"
        taken = address.having(without.category) if need else _without(without.sku, address, brief)
    return {
        "payable": to_text(kit.receipt.payable, brief.currency),
        "quality": figure_text(kit.figures.quality),
        "extras": figure_text(kit.figures.extras),
        "came": [line.name for line in came],
        "went": [line.name for line in went],
        "href": taken.href(),
    }


def by_row(findings: Sequence[Finding], most: int) -> Mapping[str, Any]:
    """Return findings for a table, and how many there are."""
    errors = sum(not finding.warning for finding in findings)
    return {"shown": findings[:most], "number": len(findings), "errors": errors}
