"""Tells that the stock does not make as many copies of a kit as are asked for."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.explain.copies import supplies_of
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.outcome import Outcome


def shortage_sentences(outcome: Outcome, copies: int, catalogue: Catalogue) -> Iterator[str]:
    """Yield how many copies the stock makes, and for each row what must be ordered.

    Nothing is yielded where the stock suffices, or where there is no kit.

    Parameters
    ----------
    outcome : Outcome
        With the kit of which copies are made.
    copies : int
        How many copies are asked for.
    """
    if outcome.kit is None:
        return
    supplies = supplies_of(outcome.kit, outcome.brief, catalogue.stock_of)
    lacking = [each for each in supplies if each.missing(copies)]
    if not lacking:
        return
    yield f"Today's stock makes {lacking[0].copies} of this kit, and {copies} are asked for."
    for each in lacking:
        name = catalogue.row(each.sku)["name"]
        needed = copies * each.units
        yield (
            f"{each.sku} ({name}): {needed} are needed and {each.stock} are in stock: "
            f"order {each.missing(copies)}."
        )
