"""What the candidates of a category depend on, and a memory of those found for earlier briefs."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.own_rules import Limit
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidates import Candidates
from kitsolver.solve.candidates.places import Places
from kitsolver.solve.presolve.admitted_rows import AdmittedRows
from kitsolver.solve.presolve.affordable import Affordable
from kitsolver.solve.presolve.place_dominance import PlaceDominance
from kitsolver.solve.presolve.possible_charts import Matching


class RowKeys:
    """All of a brief that the candidates of each category depend on, before any limits."""

    def __init__(self, brief: Brief, catalogue: Catalogue) -> None:
        self.brief, self.catalogue = brief, catalogue
        self._common = _common(brief)

    def of(self, *categories: str) -> Hashable:
        """Return the key of some categories: briefs of one key have the same candidates."""
        return self._common, *map(self._of_category, categories)

    def _of_category(self, category: str) -> Hashable:
        brief = self.brief
        keep, *others = (
            self.catalogue.skus_of(category, skus)
            for skus in (brief.choose.keep, brief.choose.leave_out, brief.choose.own)
        )
        if category not in brief.holds:
            return category, brief.extras, keep, *others
        asked = brief.need(category)
        # Of charts, and of thread that is matched to them, no row is left out because others
        # dominate it.
        unweighed = asked.model_copy(update={"weight": None})
        if category == "chart":
            return category, unweighed, keep, *others
        if category != "thread":
            return category, asked, keep, *others
        if brief.buys("chart"):
            # Kept rows leave all others beside them.
            return category, unweighed, *others
        # Whether the colours of a chart at home are known decides how thread is chosen.
        return category, asked, keep, *others, self._of_category("chart")


class RowMemory:
    """The rows admitted in one catalogue for some briefs, as thin, and before any limits.

    Briefs that treat a category alike share its candidates, and the places of its colours.

    Parameters
    ----------
    most : int, optional
        When more rows than this are remembered, those asked for longest ago are forgotten; the
        last ones never are. None for no bound.
    """

    def __init__(self, most: int | None = None) -> None:
        self._most = most
        self._rows = OrderedDict[Hashable, AdmittedRows | None]()
        self._places: dict[Hashable, Places] = {}
        self._affordable: dict[Hashable, Affordable | None] = {}
        self._matchings: dict[Hashable, Matching | None] = {}

    def affordable(self, key: Hashable, find: Callable[[], Affordable | None]) -> Affordable | None:
        """Return what the rows of a brief cost at least, by their key, found now if need be."""
        if key not in self._affordable:
            self._affordable[key] = find()
        return self._affordable[key]

    def matching(self, keys: RowKeys, find: Callable[[], Matching | None]) -> Matching | None:
        """Return how the charts and threads of a brief match, found now if need be."""
        key = keys.of("chart", "thread"), keys.brief.shades
        if key not in self._matchings:
            self._matchings[key] = find()
        return self._matchings[key]

    def without_places(self) -> RowMemory:
        """Return a memory of the same rows that has places of its own, and none yet."""
        other = RowMemory(self._most)
        other._rows = self._rows
        return other

    def rows(self, key: Hashable, find: Callable[[], AdmittedRows | None]) -> AdmittedRows | None:
        """Return the rows of a category by its key, found now if need be."""
        if key not in self._rows:
            self._rows[key] = find()
            self._forget()
        elif self._most is not None:
            self._rows.move_to_end(key)
        return self._rows[key]

    def _forget(self) -> None:
        """Forget the rows that were asked for longest ago, and all places with them."""
        if self._most is None:
            return
        kept = sum(map(_number, self._rows.values()))
        while kept > self._most and len(self._rows) > 1:
            _, rows = self._rows.popitem(last=False)
            kept -= _number(rows)
            self._places.clear()
            self._affordable.clear()
            self._matchings.clear()

    def places(
        self,
        found: Candidates,
        keys: RowKeys,
        dominance: PlaceDominance | None,
        find: Callable[[], Places],
    ) -> Places:
        """Return the places near the colours of some candidates' charts, found now if need be."""
        # Limits can bar charts, and the cap bars rows.
        skus = (tuple(row.sku for row in rows) for rows in (found.charts, found.threads))
        key = keys.of("chart", "thread"), *skus, found.brief.shades, dominance
        if key not in self._places:
            self._places[key] = find()
        return self._places[key]


def _number(rows: AdmittedRows | None) -> int:
    # One more, so that many categories without rows are forgotten, too.
    return 1 + (0 if rows is None else len(rows))


def _common(brief: Brief) -> Hashable:
    """Return what the candidates of every category depend on.

    That is the whole brief but for what no rule looks at before the search, and what is compared
    category by category: a new key counts until it is named here.
    """
    till = brief.exact_till
    others: dict[str, Any] = {
        "title": "",
        "units": "cm",
        "cap": None,
        "cap_per_head": None,
        "needs": None,
        "extras": None,
        "choose": None,
        "shades": None,
        "till": None,
        "shop": None,
        "lesson": None,
        "size": None,
        "fit": brief.fit.model_copy(update={"margin_cm": None, "margin_in": None}),
        "limits": tuple(map(_unbounded, brief.limits)),
    }
    margin = brief.most_trade_cost is not None, brief.shop.uncosted
    money = till.has_gap, till.window, till.tax_rate
    return brief.model_copy(update=others), brief.shades.cloth_contrast > 0, margin, money


def _unbounded(limit: Limit) -> Hashable:
    """Return a limit without its figures; which of the two it has decides what dominates."""
    bounds = limit.least is None, limit.most is None
    return limit.model_copy(update={"least": None, "most": None}), bounds
