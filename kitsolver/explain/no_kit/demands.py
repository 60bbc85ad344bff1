"""What a brief demands, one by one, the dearest first.

The order is that in which a buyer would rather give up the later: the cap; what is to be kept, as
listed; what is at home; the shop's margin; the conditions of each need, as held, of extras and of
the whole kit; what is left out; how extras are limited; how near thread must be, or how it must
contrast; how much fabric stays bare; that goods are in stock.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Any

from kitsolver.brief.brief import Brief, Shades
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.money import to_text

# A brief as it is dumped.
Data = dict[str, Any]

# Further off than any two colours are.
ANY_DIFFERENCE = "1000"
# What each demand on colours comes to once it is given up.
_ANY_COLOURS: dict[str, Any] = {
    "tolerance": ANY_DIFFERENCE,
    "contrast": "0",
    "keep_values": False,
    "on_cloth": None,
}


@dataclass(frozen=True)
class Demand:
    """One thing a brief demands.

    Parameters
    ----------
    kind : str
        What sort of demand it is.
    key : str
        The dotted key of the brief, with the sku or the column where there are several.
    says : str
        What is demanded, as part of a sentence.
    need : str
        The category that it is a condition of; blank otherwise.
    item : str
        The sku or the column; blank otherwise.
    extra : bool
        Whether it is a condition of extras.
    """

    kind: str
    key: str
    says: str
    need: str = ""
    item: str = ""
    extra: bool = False

    @property
    def table(self) -> tuple[str, ...]:
        """The keys that lead to the conditions it is one of."""
        return ("extras", "conditions", self.need) if self.extra else ("needs", self.need)

    def drop(self, data: Data) -> None:
        """Take the demand out of a brief, if that is all there is to giving it up."""
        if self.kind in _DROP:
            _DROP[self.kind](data, self)


def _drop_condition(data: Data, demand: Demand) -> None:
    blank = {"max_price": None, "min_quality": None}
    _table(data, demand)[demand.kind] = blank.get(demand.kind, [])


def _drop_column(data: Data, demand: Demand) -> None:
    del _table(data, demand)["only"][demand.item]


def _table(data: Data, demand: Demand) -> Data:
    for key in demand.table:
        data = data[key]
    return data


def _drop_tags(data: Data, demand: Demand) -> None:
    data["all"][demand.kind.removeprefix("all_")] = []


def _drop_sku(data: Data, demand: Demand) -> None:
    chosen = data["choose"]
    chosen[demand.kind] = [sku for sku in chosen[demand.kind] if sku != demand.item]


def _drop_limit(data: Data, demand: Demand) -> None:
    data["extras"][demand.kind] = "leftover" if demand.kind == "spend" else None


def _drop_margin_rate(data: Data, _: Demand) -> None:
    data["shop"] |= {"margin_rate": None, "sell_at": None}


def _drop_margin(data: Data, _: Demand) -> None:
    data["fit"] |= {"margin_cm": "0", "margin_in": None}


def _drop_colours(data: Data, demand: Demand) -> None:
    data["shades"][demand.kind] = _ANY_COLOURS[demand.kind]


_DROP: dict[str, Callable[[Data, Demand], None]] = {
    "keep": _drop_sku,
    "leave_out": _drop_sku,
    "only": _drop_column,
    **dict.fromkeys(("tags_any", "tags_none", "max_price", "min_quality"), _drop_condition),
    **dict.fromkeys(("spend", "categories", "most"), _drop_limit),
    **dict.fromkeys(("all_tags_none", "all_tags_all"), _drop_tags),
    **dict.fromkeys(_ANY_COLOURS, _drop_colours),
    "margin": _drop_margin,
    "margin_rate": _drop_margin_rate,
}


def demands(brief: Brief, catalogue: Catalogue, hard: Collection[str] = ()) -> tuple[Demand, ...]:
    """Return everything that a brief demands of a catalogue's goods, the dearest first.

    Skus that are `hard` are kept whatever else is given up.
    """
    return tuple(each for each in _demands(brief, catalogue) if each.item not in hard)


def _demands(brief: Brief, catalogue: Catalogue) -> Iterator[Demand]:
    kept = {catalogue.row(sku)["category"] for sku in brief.choose.keep}
    cap = to_text(brief.total_cap, brief.currency)
    yield Demand("cap", "cap", f"no more than {cap} {brief.currency} is to be paid")
    for sku in brief.choose.keep:
        row = catalogue.row_number(sku)
        yield Demand("keep", f"choose.keep: {sku}", f"{sku} (row {row}) is to be kept", item=sku)
    for need in brief.holds:
        have = brief.need(need).have
        # Shades at home are never in the way: the shop's compete with them.
        if isinstance(have, tuple):
            continue
        if have and (have is not True or need in kept):
            says = f"the {need} that is at home is to do"
            yield Demand("have", f"needs.{need}.have", says, need)
    if brief.most_trade_cost is not None:
        sold, rate = brief.shop.sell_at, brief.shop.margin_rate
        says = f"a share of {rate} is to be left of {sold} {brief.currency}"
        yield Demand("margin_rate", "shop.margin_rate", says)
    for need in brief.holds:
        if brief.need(need).have is not True:
            yield from _conditions(brief, need)
    for category in sorted(kept - set(brief.holds)):
        if category in brief.extras.conditions:
            yield from _conditions(brief, category, extra=True)
    for kind, tags, says in (
        ("tags_none", brief.all.tags_none, "everything is to go without the tag {}"),
        ("tags_all", brief.all.tags_all, "everything is to carry the tag {}"),
    ):
        if tags:
            joined = " or ".join(tags) if kind == "tags_none" else " and ".join(tags)
            yield Demand(f"all_{kind}", f"all.{kind}", says.format(joined))
    for sku in brief.choose.leave_out:
        if sku in catalogue:
            yield Demand("leave_out", f"choose.leave_out: {sku}", f"{sku} is left out", item=sku)
    if not kept <= set(brief.holds):
        yield from _limits(brief)
    if _matched(brief):
        yield from _colours(brief.shades)
    if {"chart", "fabric"} <= set(brief.holds) and brief.fit.margin:
        inches = brief.fit.margin_in is not None
        margin = f"{brief.fit.margin_in} in" if inches else f"{brief.fit.margin_cm} cm"
        key = "fit.margin_in" if inches else "fit.margin_cm"
        yield Demand("margin", key, f"{margin} of fabric are to stay bare on each side")
    heads = "" if brief.heads == 1 else f" for {brief.heads} heads"
    yield Demand("stock", "heads", f"goods are to be in stock{heads}")


def _matched(brief: Brief) -> bool:
    """Tell whether thread that is bought is matched to charted colours."""
    if not {"chart", "thread"} <= set(brief.holds) or brief.need("thread").have is True:
        return False
    chart = brief.need("chart").have
    return not chart or getattr(chart, "shades", None) is not None


def _colours(shades: Shades) -> Iterator[Demand]:
    if not shades.free:
        within = f"thread is to be within {shades.tolerance} of the charted colours"
        yield Demand("tolerance", "shades.tolerance", within)
    elif shades.contrast:
        says = f"shades are to differ by {shades.contrast} from each other and from the cloth"
        yield Demand("contrast", "shades.contrast", says)
    if shades.free and shades.keep_values:
        says = "shades are to stay dark to light as charted"
        yield Demand("keep_values", "shades.keep_values", says)
    if shades.on_cloth:
        says = f"shades are to differ by {shades.on_cloth} from the cloth"
        yield Demand("on_cloth", "shades.on_cloth", says)


def _conditions(brief: Brief, need: str, *, extra: bool = False) -> Iterator[Demand]:
    asked = brief.conditions(need)
    place = f"extras.conditions.{need}" if extra else f"needs.{need}"
    the = f"the {need} {'are' if need.endswith('s') else 'is'}"
    for column, allowed in asked.only.items():
        values = " or ".join(map(str, allowed))
        says = f"{the} to have {column} {values}"
        yield Demand("only", f"{place}.only.{column}", says, need, column, extra)
    for kind, says in (
        ("tags_any", f"{the} to carry the tag {' or '.join(asked.tags_any)}"),
        ("tags_none", f"{the} to go without the tag {' or '.join(asked.tags_none)}"),
        ("max_price", f"{the} to cost no more than {asked.max_price} {brief.currency}"),
        ("min_quality", f"{the} to have a quality of {asked.min_quality} or more"),
    ):
        if getattr(asked, kind) not in (None, ()):
            yield Demand(kind, f"{place}.{kind}", says, need, extra=extra)


def _limits(brief: Brief) -> Iterator[Demand]:
    extras = brief.extras
    if extras.spend == "none":
        yield Demand("spend", "extras.spend", "no extras are wanted")
    if extras.categories is not None:
        named = ", ".join(extras.categories) or "nothing"
        yield Demand("categories", "extras.categories", f"extras are to come from {named} only")
    if extras.most is not None:
        many = "one extra is" if extras.most == 1 else f"{extras.most} extras are"
        yield Demand("most", "extras.most", f"no more than {many} wanted")
