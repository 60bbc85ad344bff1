"""How far a demand must give so that there is a kit: for each kind of demand its least change.

Each function takes what is asked, the rest being as it is to be, and returns what is asked once
the demand has given way; None where it cannot, or giving way does not help.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from decimal import Decimal
from math import ceil, floor
from typing import Any, NamedTuple

import pandas as pd

from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.craft.lengths import CM, INCH
from kitsolver.explain.no_kit.demands import ANY_DIFFERENCE, Data, Demand
from kitsolver.explain.no_kit.relaxed_brief import Asking
from kitsolver.shop.columns import NUMERIC
from kitsolver.shop.money import MOST_DECIMALS, to_text
from kitsolver.shop.palette import Palette

# Rows that are tried in place of one that is kept.
_SUBSTITUTES = 5


class Eased(NamedTuple):
    """A brief in which one demand has given way.

    Parameters
    ----------
    asking : Asking
        The brief as it is then.
    path : tuple of str
        The key of the brief that is replaced.
    value : Any
        What it is replaced by.
    says : str
        What is changed, as the beginning of a sentence.
    change : float
        By what share of what was asked the demand gave way; 1 if it is given up.
    """

    asking: Asking
    path: tuple[str, ...]
    value: Any
    says: str
    change: float = 1.0


def eased(demand: Demand, asking: Asking) -> Eased | None:
    """Return the least change of a demand with which there is a kit; None if none helps."""
    return _EASE[demand.kind](demand, asking)


def _cap(_: Demand, asking: Asking) -> Eased | None:
    paid, brief = asking.paid, asking.brief
    if paid is None:
        return None
    text = to_text(paid, brief.currency)
    told = f"pay {text} {brief.currency}"
    change = (paid - asking.cap) / max(1, asking.cap)
    return _set(asking, ("cap",), text, told, change)


def _margin(demand: Demand, asking: Asking) -> Eased | None:
    key = demand.key.split(".")[1]
    unit = key.removeprefix("margin_")
    now = Decimal(asking.value("fit", key))
    widest = asking.widest_margin(demand) / {"cm": CM, "in": INCH}[unit]
    # By hundredths of its unit, the widest first that leaves any design a fabric.
    hundredths = range(min(ceil(now * 100) - 1, floor(widest * 100)), -1, -1)
    found = _first(hundredths, asking, "fit", key, form=lambda n: f"{n / 100:g}")
    if found is None:
        return None
    told = f"leave {found} {unit} bare on each side"
    return _set(asking, ("fit", key), found, told, float((now - Decimal(found)) / now))


def _tolerance(_: Demand, asking: Asking) -> Eased | None:
    now = Decimal(asking.value("shades", "tolerance"))
    least = max(_nearest(asking), floor(now * DIFFERENCE_UNIT) + 1)
    differences = range(least, int(ANY_DIFFERENCE) * DIFFERENCE_UNIT + 1)
    found = _first(
        differences, asking, "shades", "tolerance", form=lambda n: str(Decimal(n) / DIFFERENCE_UNIT)
    )
    if found is None:
        return None
    told = f"let thread differ by up to {found} from the charted colours"
    change = float((Decimal(found) - now) / max(now, Decimal(1)))
    return _set(asking, ("shades", "tolerance"), found, told, change)


def _apart(demand: Demand, asking: Asking) -> Eased | None:
    now = Decimal(asking.value("shades", demand.kind))
    hundredths = range(ceil(now * 100) - 1, -1, -1)
    found = _first(hundredths, asking, "shades", demand.kind, form=lambda n: f"{n / 100:g}")
    if found is None:
        return None
    told = f"let shades differ by no more than {found} from the cloth"
    if demand.kind == "contrast":
        told = f"let shades differ by no more than {found} from each other and from the cloth"
    change = float((now - Decimal(found)) / now)
    return _set(asking, ("shades", demand.kind), found, told, change)


def _margin_rate(_: Demand, asking: Asking) -> Eased | None:
    path = ("shop", "margin_rate")
    now = Decimal(asking.value(*path))
    hundredths = range(ceil(now * 100) - 1, -1, -1)
    found = _first(hundredths, asking, *path, form=lambda n: f"{n / 100:g}")
    if found is None:
        return None
    told = f"let a share of {found} be left to the shop"
    return _set(asking, path, found, told, float((now - Decimal(found)) / now))


def _keep_values(_: Demand, asking: Asking) -> Eased | None:
    path = ("shades", "keep_values")
    if not _works(False, asking, *path):
        return None
    return _set(asking, path, False, "let shades be lighter and darker than charted")


def _nearest(asking: Asking) -> int:
    """Return the tolerance below which every chart has a colour without thread."""
    catalogue, keep = asking.least.catalogue, asking.value("choose", "keep")
    have = asking.value("needs", "chart", "have")
    home, palette = asking.value("needs", "thread", "have"), catalogue.palette
    if isinstance(home, list):
        palette = Palette([*home, *palette.number])
    charts = [have["colours"]] if have else _charted(catalogue.shelves["chart"], keep)
    drawn = [[part.partition(":")[0] for part in cell.split(";")] for cell in charts]
    if not len(palette):
        return 0
    nearest = {colour: palette.nearest(colour) for colour in {c for chart in drawn for c in chart}}
    return min(max(nearest[colour] for colour in chart) for chart in drawn)


def _charted(charts: pd.DataFrame, keep: Sequence[str]) -> list[str]:
    """Return what the charts that may be in a kit are drawn with."""
    kept = charts[charts["sku"].isin(keep)]
    return list((charts if kept.empty else kept)["colours"])


def _max_price(demand: Demand, asking: Asking) -> Eased | None:
    path = (*demand.table, "max_price")
    now, currency = Decimal(asking.value(*path)), asking.brief.currency
    held = sorted(set(asking.least.catalogue.shelves[demand.need]["price"].tolist()))
    dearer = [Decimal(price) / 10**MOST_DECIMALS for price in held]
    sums = [to_text(asking.brief.minor(price), currency) for price in dearer if price > now]
    found = _first(sums, asking, *path)
    if found is None:
        return None
    told = f"let the {demand.need} cost up to {found} {currency}"
    return _set(asking, path, found, told, float((Decimal(found) - now) / max(now, Decimal(1))))


def _min_quality(demand: Demand, asking: Asking) -> Eased | None:
    path = (*demand.table, "min_quality")
    now = Decimal(asking.value(*path))
    held = sorted(set(asking.least.catalogue.shelves[demand.need]["quality"].tolist()))
    lower = [str(Decimal(quality) / 100) for quality in reversed(held)]
    found = _first([text for text in lower if Decimal(text) < now], asking, *path)
    if found is None:
        return None
    told = f"let the {demand.need} have a quality of {found}"
    return _set(asking, path, found, told, float((now - Decimal(found)) / now))


def _only(demand: Demand, asking: Asking) -> Eased | None:
    table, column = (*demand.table, "only"), demand.item
    now, rest = asking.value(*table, column), dict(asking.value(*table))
    others = _nearest_first(now, _cells(asking, demand.need, column))
    allowed = [[*now, *others[:number]] for number in range(1, len(others) + 1)]
    more = _first(allowed, asking, *table, column)
    if more is not None:
        # Of what came on the way, what is of no use goes again.
        if len(more) > len(now) + 1 and _works([*now, more[-1]], asking, *table, column):
            more = [*now, more[-1]]
        new = " or ".join(map(str, more[len(now) :]))
        told = f"let the {demand.need} have {column} {new} too"
        return _set(asking, (*table, column), more, told)
    del rest[column]
    if not _works(rest, asking, *table):
        return None
    return _set(asking, table, rest, f"let the {demand.need} have any {column}")


def _cells(asking: Asking, need: str, column: str) -> list[Any]:
    """Return what stands in a column of a need's rows, lists in parts."""
    catalogue = asking.least.catalogue
    if need not in catalogue.shelves or column not in catalogue.text:
        return []
    cells = catalogue.text.loc[catalogue.shelves[need].index, column].unique()
    parts = {part.strip().partition(":")[0] for cell in cells for part in str(cell).split(";")}
    if column in NUMERIC or column == "needle_sizes":
        values = sorted({Decimal(part) for part in parts if part})
        return [int(value) if value == int(value) else float(value) for value in values]
    return sorted(part for part in parts if part)


def _nearest_first(now: Sequence[Any], others: Sequence[Any]) -> list[Any]:
    new = [value for value in others if value not in now]
    numbers = [float(value) for value in now if not isinstance(value, str)]
    if not numbers or any(isinstance(value, str) for value in new):
        return new
    return sorted(new, key=lambda value: min(abs(value - number) for number in numbers))


def _tags(demand: Demand, asking: Asking) -> Eased | None:
    path = (*demand.table, demand.kind)
    words = asking.value(*path)
    fewer = [[word for word in words if word != gone] for gone in words]
    tries = [*fewer, []] if demand.kind == "tags_none" else [[]]
    found = next((some for some in tries if _works(some, asking, *path)), None)
    if found is None:
        return None
    gone = " and ".join(word for word in words if word not in found)
    told = f"let the {demand.need} carry the tag {gone}"
    if demand.kind == "tags_any":
        told = f"let the {demand.need} go without the tag {' or '.join(words)}"
    return _set(asking, path, found, told)


def _all_tags(demand: Demand, asking: Asking) -> Eased | None:
    path = ("all", demand.kind.removeprefix("all_"))
    words = asking.value(*path)
    fewer = [[word for word in words if word != gone] for gone in words]
    found = next((some for some in [*fewer, []] if _works(some, asking, *path)), None)
    if found is None:
        return None
    gone = " and ".join(word for word in words if word not in found)
    does = "carry" if demand.kind == "all_tags_none" else "go without"
    return _set(asking, path, found, f"let goods {does} the tag {gone}")


def _keep(demand: Demand, asking: Asking) -> Eased | None:
    path, sku = ("choose", "keep"), demand.item
    kept = asking.value(*path)
    catalogue = asking.least.catalogue
    shelf = catalogue.shelves[catalogue.row(sku)["category"]]
    own = shelf[shelf["sku"] == sku].iloc[0]
    away = (shelf["price"] - own["price"]).abs()
    like = shelf.assign(away=away).sort_values(["away", "sku"])["sku"].tolist()
    barred = {*kept, *asking.value("choose", "leave_out")}
    for other in [other for other in like if other not in barred][:_SUBSTITUTES]:
        instead = [other if each == sku else each for each in kept]
        if _works(instead, asking, *path):
            told = f"keep {other} (row {catalogue.row_number(other)}) instead of {sku}"
            return _set(asking, path, instead, told)
    rest = [each for each in kept if each != sku]
    if not _works(rest, asking, *path):
        return None
    return _set(asking, path, rest, f"keep {sku} no longer")


def _leave_out(demand: Demand, asking: Asking) -> Eased | None:
    path = ("choose", "leave_out")
    rest = [sku for sku in asking.value(*path) if sku != demand.item]
    if not _works(rest, asking, *path):
        return None
    return _set(asking, path, rest, f"let {demand.item} be in the kit")


def _have(demand: Demand, asking: Asking) -> Eased | None:
    path = ("needs", demand.need, "have")
    if not _works(False, asking, *path):
        return None
    return _set(asking, path, False, f"buy the {demand.need} too")


def _limit(demand: Demand, asking: Asking) -> Eased | None:
    path, row = ("extras", demand.kind), asking.least.catalogue.row
    kept = sorted({row(sku)["category"] for sku in asking.value("choose", "keep")})
    tries: Sequence[Any] = ["leftover"]
    if demand.kind == "categories":
        tries = [[*asking.value(*path), *kept]]
    elif demand.kind == "most":
        tries = range(asking.value(*path) + 1, len(kept) + 1)
    found = _first(tries, asking, *path)
    if found is None:
        return None
    told = {
        "spend": "let extras be bought",
        "categories": f"let extras come from {', '.join(kept)} too",
        "most": f"let there be {found} extras",
    }
    return _set(asking, path, found, told[demand.kind])


def _stock(_: Demand, asking: Asking) -> Eased | None:
    heads = asking.brief.heads
    found = _first(range(heads - 1, 0, -1), asking, "heads")
    if found is None:
        return None
    told = "make one kit" if found == 1 else f"make kits for {found} heads"
    return _set(asking, ("heads",), found, told, (heads - found) / heads)


_EASE: dict[str, Callable[[Demand, Asking], Eased | None]] = {
    "cap": _cap,
    "keep": _keep,
    "have": _have,
    "only": _only,
    "tags_any": _tags,
    "tags_none": _tags,
    "max_price": _max_price,
    "min_quality": _min_quality,
    "leave_out": _leave_out,
    **dict.fromkeys(("spend", "categories", "most"), _limit),
    **dict.fromkeys(("all_tags_none", "all_tags_all"), _all_tags),
    "tolerance": _tolerance,
    **dict.fromkeys(("contrast", "on_cloth"), _apart),
    "keep_values": _keep_values,
    "margin_rate": _margin_rate,
    "margin": _margin,
    "stock": _stock,
}


def put(value: Any, *path: str) -> Callable[[Data], None]:
    """Return what puts a value at a key of a brief."""

    def change(data: Data) -> None:
        *tables, key = path
        table: Any = data
        for name in tables:
            table = table[name]
        table[key] = value
        if path == ("cap",):
            table["cap_per_head"] = None

    return change


def _works(value: Any, asking: Asking, *path: str) -> bool:
    return asking.changed(put(value, *path)).possible


def _first(
    values: Sequence[Any], asking: Asking, *path: str, form: Callable[[Any], Any] = lambda v: v
) -> Any:
    """Return the first value with which there is a kit; with every later one there is, too.

    `form` turns a value into what the brief is to have.
    """

    def works(place: int) -> bool:
        return _works(form(values[place]), asking, *path)

    if not len(values) or not works(-1):
        return None
    # The first is looked for near by, in strides that double.
    low, stride = 0, 1
    while low + stride < len(values) and not works(low + stride - 1):
        low, stride = low + stride, 2 * stride
    near = range(low, min(low + stride, len(values)) - 1)
    return form(values[low + bisect_left(near, True, key=works)])


def _set(
    asking: Asking, path: tuple[str, ...], value: Any, says: str, change: float = 1.0
) -> Eased:
    return Eased(asking.changed(put(value, *path)), path, value, says, change)
