"""What may enter the kit: each row's units, cost and points for this brief."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from math import floor, lcm
from typing import Any, cast

from kitsolver.brief.brief import Brief
from kitsolver.craft.colour import DIFFERENCE_UNIT
from kitsolver.shop.catalogue import Catalogue
from kitsolver.shop.palette import Palette
from kitsolver.shop.till import Till
from kitsolver.solve import rules
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric, Place, Thread
from kitsolver.solve.candidates.from_rows import Barred, at_home, enter
from kitsolver.solve.candidates.matching import Thinning, anywhere, near

Near = Mapping[tuple[str, str], list[Place]]

# Free colours beyond these make ties without number: to tell them apart would take minutes.
_MANY_COLOURS = 300

# Rows of these categories are extras only if the brief names their category.
NEVER_UNASKED = frozenset({"chart", "fabric", "thread", "needle"})


@dataclass(frozen=True)
class Candidates:
    """Everything one kit is chosen from.

    Parameters
    ----------
    brief : Brief
        What is asked.
    needs : mapping of str to tuple of Offer
        The offers of each need, sorted by sku. What is at home stands alone in its need.
        ``chart`` and ``fabric`` always have an entry: where the brief holds none, one unknown.
    extras : tuple of Candidate
        Rows that may be bought with what is left over, sorted by sku.
    weights : mapping of str to int
        Weights of the needs that are bought, in whole parts.
    parts : int
        How many parts make a weight of 1.
    barred : mapping of str to mapping of Rule to frozenset of str
        By category the skus that may not enter, under the first rule that each breaks.
    near : mapping of (str, str) to list of Place
        For every charted colour and kind of thread the places within the tolerance; empty where
        that is of no use.
    """

    brief: Brief
    needs: Mapping[str, tuple[Candidate, ...]]
    extras: tuple[Candidate, ...]
    weights: Mapping[str, int]
    parts: int
    barred: Mapping[str, Barred] = field(repr=False)
    near: Near = field(default_factory=dict, repr=False)

    @property
    def charts(self) -> tuple[Chart, ...]:
        """The charts to choose from; one unknown where none is known."""
        return cast(tuple[Chart, ...], self.needs["chart"])

    @property
    def fabrics(self) -> tuple[Fabric, ...]:
        """The fabrics to choose from; one unknown where none is known."""
        return cast(tuple[Fabric, ...], self.needs["fabric"])

    @property
    def threads(self) -> tuple[Thread, ...]:
        """The thread rows, and the shades at home."""
        return cast(tuple[Thread, ...], self.needs["thread"])

    @cached_property
    def shaded(self) -> bool:
        """Whether thread is matched to chart colours, rather than chosen as one row."""
        return "thread" in self.weights and _known(self.charts, "shades")

    @property
    def free(self) -> bool:
        """Whether the chart's colours are only places, for any thread colours."""
        return self.shaded and self.brief.shades.free

    @property
    def many_colours(self) -> bool:
        """Whether colours are free, and there are so many that ties are not told apart."""
        return self.free and max(map(len, self.near.values()), default=0) > _MANY_COLOURS

    @cached_property
    def taxed_apart(self) -> frozenset[Fraction]:
        """The rates of their own that rows are taxed at."""
        return frozenset(row.tax for row in self._rows if row.tax is not None)

    @cached_property
    def downloads(self) -> bool:
        """Whether some rows are downloaded, where others are delivered at a charge."""
        return self.brief.register.delivery > 0 and any(row.download for row in self._rows)

    @property
    def tied(self) -> bool:
        """Whether choices are tied in ways that only a model can mind."""
        return (
            self.shaded
            and (self.brief.shades.off_cloth > 0 or (self.free and self.brief.shades.keep_values))
        ) or self.beyond_sums

    @property
    def beyond_sums(self) -> bool:
        """Whether it takes more than the goods total to say what may be paid."""
        margined = self.brief.most_trade_cost is not None
        return margined or bool(self.taxed_apart) or self.downloads

    def spendable(self, cap: int) -> int:
        """Return a goods total that no kit within a cap goes beyond, in minor units."""
        till, blur = self._lightest
        return till.most_goods(cap + blur)

    def least_paid(self, goods: int) -> int:
        """Return what is paid at the least for goods of some total or more, in minor units."""
        till, blur = self._lightest
        return max(0, till.least(goods) - blur)

    @cached_property
    def _lightest(self) -> tuple[Till, int]:
        """A till that asks no more than the brief's does, and how far rounding may go below it."""
        till = self.brief.register
        if not (self.taxed_apart or self.downloads):
            return till, 0
        rate = min(self.taxed_apart | {till.tax_rate})
        # Each rate's goods are rounded twice, by up to half a minor unit.
        return replace(till, tax_rate=rate, delivery=0), len(self.taxed_apart) + 2

    @property
    def _rows(self) -> tuple[Candidate, ...]:
        return (*self.extras, *(candidate for need in self.needs.values() for candidate in need))

    @property
    def plain_needs(self) -> list[str]:
        """The needs of which one offer is chosen as it is: all but chart, fabric and shades."""
        apart = {"chart", "fabric"} | ({"thread"} if self.shaded else set())
        return sorted(set(self.needs) - apart)

    @property
    def offered(self) -> frozenset[str]:
        """Every sku that may enter."""
        return frozenset(candidate.sku for candidate in self._rows if candidate.sku)

    @property
    def lost(self) -> tuple[str, ...]:
        """The kept skus that may not enter, so that no kit can hold them."""
        return tuple(sorted(set(self.brief.choose.keep) - self.offered))

    @property
    def hopeless(self) -> bool:
        """Whether a kept sku may not enter, or a need has nothing."""
        return bool(self.lost) or not all(self.needs.values())

    @property
    def crowded(self) -> dict[str, list[str]]:
        """By category the kept skus that would have to share one place in the kit."""
        apart = {"thread"} if self.shaded else set()
        needs = (row for need, rows in self.needs.items() if need not in apart for row in rows)
        kept: dict[str, list[str]] = defaultdict(list)
        for row in (*needs, *sorted(self.extras, key=lambda extra: extra.category)):
            if row.sku in self.brief.choose.keep:
                kept[row.category].append(row.sku)
        return {category: sorted(skus) for category, skus in kept.items() if len(skus) > 1}

    def only(self, skus: Collection[str]) -> Candidates:
        """Return the offers without all rows but these, and what is at home."""
        allowed = {*skus, ""}
        return replace(
            self,
            needs={
                need: tuple(row for row in rows if row.sku in allowed)
                for need, rows in self.needs.items()
            },
            extras=tuple(extra for extra in self.extras if extra.sku in allowed),
            near={
                key: [place for place in places if place.thread.sku in allowed]
                for key, places in self.near.items()
            },
        )

    def places(self, chart: Chart) -> list[list[Place]]:
        """Return for each colour of a chart, in its order, the places within the tolerance."""
        return [self.near.get((asked.colour, asked.kind), []) for asked in chart.shades or ()]


def find_candidates(
    catalogue: Catalogue, brief: Brief, *, thin: bool = False, known: Candidates | None = None
) -> Candidates:
    """Return everything a kit may be chosen from.

    Parameters
    ----------
    catalogue : Catalogue
        What is for sale, held against the brief (`kitsolver.brief.validate_against`).
    brief : Brief
        What is asked.
    thin : bool
        Whether to leave out rows that can be in no best kit.
    known : Candidates, optional
        Of the same catalogue for another brief, as thin: what both briefs treat alike is taken
        from there.
    """
    same = _untouched(known, brief, catalogue) if known else {}
    needs: dict[str, tuple[Candidate, ...]] = {
        category: (at_home(category, None, brief),) for category in ("chart", "fabric")
    }
    barred: dict[str, Barred] = {}
    bought = []
    # Charts first: whether one is known decides how thread is chosen.
    for category in sorted(brief.holds, key=lambda need: need != "chart"):
        have = brief.need(category).have
        listed = isinstance(have, tuple)
        if have and not listed:
            needs[category] = (at_home(category, have, brief),)
            continue
        bought.append(category)
        if category in same:
            needs[category], barred[category] = same[category]
            continue
        shaded = category == "thread" and _known(needs["chart"], "shades")
        elastic = shaded or category == "fabric"
        rows, barred[category] = enter(
            catalogue,
            brief,
            category,
            need=True,
            elastic=elastic,
            thin=thin and not shaded and category != "chart",
        )
        if have:
            rows = (at_home(category, have, brief), *rows)
        kept = tuple(row for row in rows if row.sku in brief.choose.keep)
        if kept and not shaded:
            barred[category][rules.KEEP] = (
                frozenset(row.sku for row in rows) - {""} - {row.sku for row in kept}
            )
            rows = kept
        needs[category] = rows
    weights = {need: Fraction(brief.need(need).weight) for need in bought}
    measures = [*weights.values(), Fraction(brief.extras.weight)]
    parts = lcm(*(weight.denominator for weight in measures))
    found = Candidates(
        brief=brief,
        needs=needs,
        extras=tuple(
            sorted(_extras(catalogue, brief, barred, thin, same), key=lambda extra: extra.sku)
        ),
        weights={need: int(weight * parts) for need, weight in weights.items()},
        parts=parts,
        barred=barred,
    )
    if not found.shaded or found.hopeless:
        return found
    alike = known is not None and known.brief.shades == brief.shades
    if known and known.near and alike and {"chart", "thread"} <= same.keys():
        return replace(found, near=known.near)
    return replace(found, near=_near(found, catalogue.palette, thin))


def _near(candidates: Candidates, palette: Palette, thin: bool) -> Near:
    """Return the places near every charted colour, of the kinds of thread that will do for it."""
    asked = {(one.colour, one.kind) for chart in candidates.charts for one in chart.shades or ()}
    others = candidates.brief.shades.kinds
    by_kind: dict[tuple[str, ...], set[tuple[str, str]]] = defaultdict(set)
    for colour, kind in asked:
        by_kind[tuple(sorted({kind, *others.get(kind, ())}))].add((colour, kind))
    found: dict[tuple[str, str], list[Place]] = {}
    for kinds, keys in sorted(by_kind.items()):
        some = replace(
            candidates, needs={**candidates.needs, "thread": _of_kinds(candidates.threads, kinds)}
        )
        near_by = _near_of_kinds(some, {colour for colour, _ in keys}, palette, thin)
        found |= {key: near_by[key[0]] for key in keys}
    return found


def _of_kinds(threads: tuple[Thread, ...], kinds: Collection[str]) -> tuple[Thread, ...]:
    return tuple(thread for thread in threads if thread.kind in kinds)


def _near_of_kinds(
    candidates: Candidates, charted: set[str], palette: Palette, thin: bool
) -> Mapping[str, list[Place]]:
    brief = candidates.brief
    home = {colour for row in candidates.threads if not row.sku for colour in row.colours}
    if not home <= palette.number.keys():
        palette = Palette(home | palette.number.keys())
    if brief.shades.free:
        return anywhere(charted, candidates.threads, brief.shades)
    tolerance = floor(brief.shades.tolerance * DIFFERENCE_UNIT)
    mismatch = Fraction(brief.shades.mismatch)
    thinning = Thinning(
        colours=max((len(chart.shades or ()) for chart in candidates.charts), default=0),
        keep=frozenset(brief.choose.keep),
        exact=brief.register.window == 1,
        alike=brief.register.has_gap,
        counted=candidates.weights["thread"] > 0,
    )
    # A place that stands back may be the one that shows on the cloth, or that is taxed less.
    plain = not (brief.shades.off_cloth or candidates.beyond_sums)
    thinned = thinning if thin and plain else None
    return near(sorted(charted), candidates.threads, palette, tolerance, mismatch, thinned)


def _known(charts: tuple[Candidate, ...], what: str) -> bool:
    """Tell whether charts are described; those of the shop always are, even if there are none."""
    return all(getattr(chart, what) is not None for chart in charts)


_Same = Mapping[str, tuple[tuple[Candidate, ...], Barred]]


def _untouched(known: Candidates, brief: Brief, catalogue: Catalogue) -> _Same:
    """Return rows and what is barred of the categories that both briefs treat alike."""
    before = known.brief
    if _throughout(before) != _throughout(brief):
        return {}
    skus = set(before.choose.keep) ^ set(brief.choose.keep)
    skus |= set(before.choose.leave_out) ^ set(brief.choose.leave_out)
    skus |= set(before.choose.own) ^ set(brief.choose.own)
    touched = {catalogue.row(sku)["category"] for sku in skus if sku in catalogue}
    touched |= {need for need in brief.holds if before.need(need) != brief.need(need)}
    if "chart" in touched:
        # Whether a chart is known decides how thread is chosen.
        touched.add("thread")
    rows = {need: rows for need, rows in known.needs.items() if need in brief.holds}
    if before.extras == brief.extras:
        for category in known.barred.keys() - rows.keys():
            rows[category] = tuple(one for one in known.extras if one.category == category)
    return {
        category: (rows[category], known.barred[category])
        for category in (known.barred.keys() & rows.keys()) - touched
    }


def _throughout(brief: Brief) -> tuple[Any, ...]:
    """Return what the offers of every category hang on."""
    till = brief.register
    shades = brief.shades.off_cloth > 0
    kept = brief.kits, brief.fit.over, brief.currency, brief.all, brief.shop, shades
    return brief.holds, kept, till.has_gap, till.window


def _extras(
    catalogue: Catalogue, brief: Brief, barred: dict[str, Barred], thin: bool, same: _Same
) -> Iterator[Candidate]:
    asked = brief.extras.categories
    if brief.extras.spend == "none":
        asked = ()
    for category in sorted(set(catalogue.shelves) - set(brief.holds)):
        named = category not in NEVER_UNASKED if asked is None else category in asked
        if category in same:
            rows, barred[category] = same[category]
            yield from rows
        elif named:
            rows, barred[category] = enter(catalogue, brief, category, need=False, thin=thin)
            yield from rows
        else:
            skus = frozenset(catalogue.shelves[category]["sku"])
            barred[category] = {rules.EXTRAS: skus}
