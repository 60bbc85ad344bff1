"""What the templates of a ladder are filled with."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache

from markupsafe import Markup

from kitsolver.brief.brief import Brief
from kitsolver.page.address import Address, encoded
from kitsolver.page.packed_ladder import PackedLadder
from kitsolver.page.view_models import Context, page_of
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet.ladder_drawing import HEIGHT, WIDTH, across

Pairs = tuple[tuple[str, str], ...]


def ladder_context(
    address: Address, brief: Brief, ladder: PackedLadder | None, next_look: float
) -> Context:
    """Return what is shown of the ladder, or the address that shows it.

    `next_look` is how many seconds it is looked for if it is asked for now.
    """
    context: Context = {
        "ladder": ladder,
        "ladder_href": address.href("/ladder"),
        "currency": brief.currency,
        "cap": to_text(brief.total_cap, brief.currency),
        "next_look": round(next_look),
        "alone": False,
    }
    if ladder is None:
        return context
    context["high"] = to_text(ladder.high, brief.currency)
    if not ladder.rungs:
        return context
    cap, currency = brief.total_cap, brief.currency
    anywhere = tuple(
        (key, "" if key == "cap" else text)
        for key, text in address.at(cap, brief, ladder.high).pairs
    )
    at = bisect_right(ladder.rungs, cap, key=lambda rung: rung.cap)

    def rung(number: int) -> Context | None:
        return _rung(ladder, number, anywhere) if 0 <= number < len(ladder.rungs) else None

    # A cap between two rungs gives the kit of the lower one, so that one is the first below.
    here = rung(at - 1)
    below = rung(at - 1 if at and ladder.rungs[at - 1].cap < cap else at - 2)
    return context | {
        "steps": ladder.drawing,
        "frame": (WIDTH, HEIGHT),
        "cap_x": across(cap, ladder.low, ladder.high),
        "unknown_to": across(ladder.proven_from, ladder.low, ladder.high),
        "low": to_text(ladder.low, currency),
        "step": to_text(1, currency),
        "caps": ladder.caps_text,
        "here": here,
        "below": below,
        "above": rung(at),
        "complete": ladder.complete,
        "proven_from": to_text(ladder.proven_from, currency),
        "mains": _mains(ladder, anywhere),
        # What the form sends besides the cap where no script runs.
        "hidden": [pair for pair in anywhere if pair[0] != "cap"],
    }


def _rung(ladder: PackedLadder, place: int, anywhere: Pairs) -> Context:
    """Return a rung of a ladder; its address is `anywhere` on the ladder but for the cap."""
    found, cap = ladder.rungs[place], ladder.caps[place]
    return {
        "cap": cap,
        "quality": figure_text(found.figures.quality),
        "extras": figure_text(found.figures.extras),
        "href": "/?" + encoded((key, cap if key == "cap" else text) for key, text in anywhere),
    }


@lru_cache(16)
def _mains(ladder: PackedLadder, anywhere: Pairs) -> Markup:
    """Return the list of the rungs at which quality changes: every move on a ladder shows it."""
    mains = [_rung(ladder, place, anywhere) for place in ladder.main_rungs]
    return Markup(page_of("mains.html", {"mains": mains}))
