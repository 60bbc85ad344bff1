"""What a rule of the kit is: a name, a sentence, and what it says to each stage of the search."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from kitsolver.brief.brief import Brief
from kitsolver.brief.meeting import Shelf
from kitsolver.shop.row_table import RowTable
from kitsolver.shop.till import Receipt
from kitsolver.solve.candidates.candidate import Candidate, Chart, Fabric

if TYPE_CHECKING:
    from kitsolver.solve.candidates.candidates import Candidates
    from kitsolver.solve.model.kit_model import KitModel

Mask = NDArray[np.bool_]

# So many skus are looked for one by one.
_FEW = 4
Ints = NDArray[np.int64]
# Columns by name, one entry a row.
Table = dict[str, NDArray[Any]]


@dataclass(frozen=True)
class Rows:
    """The rows of one category, as a brief sees them.

    Parameters
    ----------
    category : str
        Their category.
    table : dict of str to array
        Their columns in whole units, sorted by sku, with the ``units`` that the kit takes of each
        and the ``stock`` and ``price`` that this brief sees.
    shelf : RowTable
        The whole shelf as the catalogue holds it.
    text : RowTable
        The catalogue as written.
    brief : Brief
        What is asked.
    need : bool
        Whether the category is a need, and no extra.
    owned : array of bool
        Which rows the buyer owns.
    places : array of int, optional
        The places of the rows on the shelf; None where they are the whole shelf.
    """

    category: str
    table: Table
    shelf: RowTable
    text: RowTable
    brief: Brief
    need: bool
    owned: Mask
    places: Ints | None = None

    def __len__(self) -> int:
        return len(self.table["sku"])

    @property
    def as_written(self) -> Shelf:
        """The rows as conditions look at them."""
        shelf = self.shelf if self.places is None else self.shelf.where(self.places)
        return Shelf(self.category, shelf, self.text, self.brief.exact_till.tax_rate)

    def where(self, keep: Mask) -> Rows:
        """Return some of the rows."""
        table = {name: values[keep] for name, values in self.table.items()}
        # Few ask for the rows as written again, and their cells take time to copy.
        places = np.flatnonzero(keep) if self.places is None else self.places[keep]
        return replace(self, table=table, owned=self.owned[keep], places=places)


class Dominance(NamedTuple):
    """What a row has to match so that it may dominate another.

    Parameters
    ----------
    equal : tuple of array
        Columns, one entry a row, in which both rows are equal.
    at_least : tuple of array
        Columns in which the dominating row has no less.
    """

    equal: tuple[Ints, ...] = ()
    at_least: tuple[Ints, ...] = ()


class Added(Protocol):
    """A selection added up (`kitsolver.solve.tally.Tally`), as rules see it."""

    @property
    def units(self) -> Mapping[str, int]:
        """Units by sku."""

    @property
    def rows(self) -> Mapping[str, Candidate]:
        """The candidates by sku."""

    @property
    def taken(self) -> Collection[Candidate]:
        """Every candidate, from home too."""

    @property
    def receipt(self) -> Receipt:
        """What is paid."""

    def total(self, column: str) -> int:
        """Return the sum over all lines of units times what a row says in a column."""


class Rule:
    """One rule. Each method has a default for rules that have nothing to say to that stage."""

    name: ClassVar[str]
    sentence: ClassVar[str]

    def columns(self, brief: Brief) -> tuple[str, ...]:
        """Return the columns that the rule reads by `Candidate.measure` or `Candidate.values`."""
        return ()

    def reads(self, rows: Rows) -> Table:
        """Return what the rule reads from the cells of each row, under names of `columns`."""
        return {}

    def reads_at_home(
        self, category: str, known: Mapping[str, str] | None, brief: Brief
    ) -> Mapping[str, Any]:
        """Return the same of a thing at home.

        Parameters
        ----------
        known : mapping of str to str, optional
            What is described of it, by column; None where there is no such thing.
        """
        return {}

    def admits(self, rows: Rows) -> Mask | None:
        """Return which rows may enter a kit by themselves; None if that is no matter of this rule.

        Returns
        -------
        array of bool, shape (rows,)
        """
        return None

    def dominance(self, rows: Rows) -> Dominance:
        """Return what a row has to match so that it does all for this rule that another does."""
        return Dominance()

    def allows(self, chart: Chart, fabric: Fabric, brief: Brief) -> bool:
        """Tell whether a design may be stitched on a fabric."""
        return True

    def ties(self, candidates: Candidates) -> bool:
        """Tell whether the rule ties choices in a way that their goods total does not tell.

        Then a chart's subproblem does not decompose into frontiers that add up, and each chart
        that is opened becomes a model.
        """
        return False

    def constrain(self, model: KitModel) -> None:
        """Add the rule's constraints to the model of the whole problem."""

    def holds(self, added: Added, candidates: Candidates) -> bool:
        """Tell whether a selection that was added up keeps to the rule.

        Only rules about sums answer; what a selection is made of keeps to the others.
        """
        return True


class CompatibilityRule(Rule):
    """A rule that says beside which chart and fabric a row may stand.

    The test looks at one property of chart and fabric, so that fabrics alike in it are tested once.
    """

    by_count: ClassVar[bool] = False
    """Whether that property is the effective count alone."""

    @abstractmethod
    def concerns(self, candidate: Candidate) -> bool:
        """Tell whether the rule says anything of a candidate."""

    @abstractmethod
    def key(self, chart: Chart, fabric: Fabric, brief: Brief) -> Hashable:
        """Return what the test looks at; None where it is unknown, which bars nothing."""

    @abstractmethod
    def accepts(self, candidate: Candidate, key: Any) -> bool:
        """Tell whether a candidate that the rule concerns may stand beside such a fabric."""

    def constrain(self, model: KitModel) -> None:
        """Allow a row beside a chart only on fabrics that it is compatible with."""
        brief = model.candidates.brief
        for candidate, taken in model.rows_by_themselves:
            if not self.concerns(candidate):
                continue
            for chart, chosen in model.charts.items():
                compatible = model.total(
                    variable
                    for (fabric, _), variable in model.fabrics.items()
                    if self.accepts(candidate, self.key(chart, fabric, brief))
                )
                model.add(self, taken + chosen <= 1 + compatible)


def among(skus: NDArray[Any], some: Collection[str]) -> Mask:
    """Return which skus are among some."""
    if not some:
        return np.zeros(len(skus), dtype=bool)
    known = frozenset(some)
    if len(known) <= _FEW:
        found: Mask = np.logical_or.reduce([skus == sku for sku in known])
        return found
    return np.fromiter((sku in known for sku in skus), dtype=bool, count=len(skus))
