"""The view model of a class plan: what is handed out, cut and shared, and a card for each table."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.show.class_plan import buying_sentences, offcut_sentences, time_sentence
from kitsolver.show.from_home import bring_sentence
from kitsolver.show.sentences import size_text
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.things import short_name
from kitsolver.solve.class_plan import ThreadShare
from kitsolver.solve.outcome import Kit, Outcome
from kitsolver.solve.planning.stitching_time import stitching_time

# How high a card is without its threads, and what each thread adds; usual and set closer. Then the
# room on a page of either paper between its margins, and between two cards. In millimetres.
_CARD, _COMPACT_CARD = (48.5, 5.8), (37.0, 5.8)
_PAGE, _CARD_GAP = 255.0, 6.0


def class_view(outcome: Outcome, kit: Kit, facts: GoodsFacts) -> dict[str, Any]:
    """Return what the class plan and its cards show, by name."""
    brief, plan = outcome.brief, outcome.plan
    heads = plan.heads_a_table if plan else brief.kits
    needles = sum(
        line.units * facts.serves(line.sku) for line in kit.lines if line.category == "needle"
    )
    shared = brief.need("needle").shared_by if "needle" in brief.holds else 1
    shares = [] if plan is None else [_share(share, kit) for share in plan.thread_shares]
    cut = None if kit.fit.cut is None else size_text(kit.fit.cut, brief.units)
    return {
        "needle_pieces": needles,
        "needles_shared": shared > 1,
        "spare": brief.spare,
        "kits": brief.kits,
        "shares": shares,
        "cards": [
            {
                "table": table + 1,
                "people": people,
                "needles": ceil(people / shared) if needles else 0,
                "pieces": people,
            }
            for table, people in enumerate(_seats(brief, heads))
        ],
        "tables": len(_seats(brief, heads)),
        "compact": _compact(len(_seats(brief, heads)), len(shares)),
        "cut_size": cut,
        "class_sentences": list(_sentences(outcome, kit)),
    }


def _sentences(outcome: Outcome, kit: Kit) -> Iterator[str]:
    """Yield what the tables of the plan do not say: packs to buy, offcuts, and the time."""
    plan = outcome.plan
    if bring := bring_sentence(kit):
        yield bring
    if plan is None:
        time = stitching_time((shade.stitches for shade in kit.shades), outcome.brief.lesson)
    else:
        time = plan.time
        if plan.pack_mixes:
            yield from buying_sentences(plan, kit, outcome.brief)
        if plan.cuts is not None:
            yield from offcut_sentences(plan.cuts, outcome.brief)
    if time is not None:
        yield time_sentence(time)


def _seats(brief: Brief, heads: int) -> list[int]:
    """Return how many people sit at each table; the last may have fewer."""
    tables = ceil(brief.kits / max(1, heads))
    return [min(heads, brief.kits - table * heads) for table in range(tables)]


def _compact(cards: int, threads: int) -> bool:
    """Return whether cards are set closer, because that leaves less of the last page blank."""
    filled = []
    for bare, line in (_CARD, _COMPACT_CARD):
        high = bare + line * threads
        on_a_page = 2 * max(1, int((_PAGE + _CARD_GAP) // (high + _CARD_GAP)))
        filled.append((cards % on_a_page or on_a_page) / on_a_page)
    return filled[1] > filled[0]


def _share(share: ThreadShare, kit: Kit) -> dict[str, Any]:
    line = next((line for line in kit.lines if line.sku == share.sku), None)
    return {
        "thread": share.thread_colour,
        "name": short_name(line.name) if line else "at home",
        "sku": share.sku or "home",
        "skeins": share.skeins_a_table,
        "metres": "" if share.metres_a_head is None else f"{share.metres_a_head}",
    }
