"""Checks that several kits stand together, recomputed from the catalogue's own rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.audit.audit import Check
from kitsolver.solve.audit.evidence import detail_of


def audit_together(
    kits: Sequence[tuple[int, Mapping[str, int]]], distinct: Collection[str], catalogue: Catalogue
) -> tuple[Check, ...]:
    """Hold kits against the stock they share, and against what they may not share.

    Parameters
    ----------
    kits : sequence of (int, mapping of str to int)
        Of each kit its copies, and the units by sku that a copy takes from the shelves.
    distinct : collection of str
        Categories of which no row is in two kits.
    """
    wanted: Counter[str] = Counter()
    for copies, units in kits:
        for sku, number in units.items():
            wanted[sku] += copies * number
    short = [
        sku
        for sku, number in sorted(wanted.items())
        if (row := catalogue.row(sku)).get("download") != "yes"
        and (stock := row.get("stock"))
        and number > int(stock)
    ]
    bearers = Counter(sku for _, units in kits for sku in units)
    shared = [
        sku
        for sku, times in sorted(bearers.items())
        if times > 1 and catalogue.row(sku)["category"] in distinct
    ]
    one_each = f"no {' or '.join(distinct)} is in two kits" if distinct else "nothing asked for"
    return (
        Check(
            "stock", not short, detail_of(short, "enough of everything for all kits", "too few of")
        ),
        Check("distinct", not shared, detail_of(shared, one_each, "in several kits:")),
    )
