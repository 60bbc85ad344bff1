"""The view model of a class plan: what is handed out, cut and shared, and a card for each table."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from math import ceil
from typing import Any, NamedTuple

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
    cards = [
        {
            "table": seats.table,
            "people": seats.people,
            "spare": seats.spare,
            "needles": ceil(seats.kits / shared) if needles else 0,
            "pieces": seats.kits,
        }
        for seats in _seats(brief, heads)
    ]
    compact, counts = laid_out(len(cards), len(shares))
    following = iter(cards)
    leaves = [list(islice(following, count)) for count in counts]
    cut = None if kit.fit.cut is None else size_text(kit.fit.cut, brief.units)
    return {
        "needle_pieces": needles,
        "needles_shared": shared > 1,
        "spare": brief.spare,
        "kits": brief.kits,
        "shares": shares,
        "leaves": leaves,
        "tables": len(cards),
        "compact": compact,
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


class _Seats(NamedTuple):
    """Who sits at a table: people, and kits to spare."""

    table: int
    people: int
    spare: int

    @property
    def kits(self) -> int:
        return self.people + self.spare


def _seats(brief: Brief, heads: int) -> Iterator[_Seats]:
    """Yield who sits at each table; the last may have fewer, and kits to spare come last."""
    heads = max(1, heads)
    for table in range(ceil(brief.kits / heads)):
        kits = min(heads, brief.kits - table * heads)
        people = max(0, min(kits, brief.heads - table * heads))
        yield _Seats(table + 1, people, kits - people)


def laid_out(cards: int, threads: int) -> tuple[bool, list[int]]:
    """Return whether cards are set closer, which saves a page, and how many stand on each page.

    Pages differ by one row of two cards at most, so that the last one is not nearly empty.
    """
    rows = ceil(cards / 2)
    usual, compact = (
        ceil(rows / max(1, int((_PAGE + _CARD_GAP) // (bare + line * threads + _CARD_GAP))))
        for bare, line in (_CARD, _COMPACT_CARD)
    )
    pages = min(usual, compact)
    counts = [2 * (rows // pages + (page < rows % pages)) for page in range(pages)]
    counts[-1] -= 2 * rows - cards
    return compact < usual, counts


def _share(share: ThreadShare, kit: Kit) -> dict[str, Any]:
    line = next((line for line in kit.lines if line.sku == share.sku), None)
    return {
        "thread": share.thread_colour,
        "name": short_name(line.name) if line else "at home",
        "sku": share.sku or "home",
        "skeins": share.skeins_a_table,
        "metres": "" if share.metres_a_head is None else f"{share.metres_a_head}",
    }
