"""What explanations know of one rule of the kit; each rule has a file of its own beside this.

Every file has the name of the rule's file in `kitsolver.solve.rules`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.explain.demands.demand import Demand
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.rules.rule import Rule


@dataclass(frozen=True)
class Conflict:
    """Demands that cannot be met together.

    Parameters
    ----------
    demands : tuple of Demand
        None of them could be spared. Empty where no kit can be made, whatever is demanded.
    alone : RelaxedBrief
        The brief with these demands only.
    whole : RelaxedBrief
        The brief with all its demands.
    """

    demands: tuple[Demand, ...]
    alone: RelaxedBrief
    whole: RelaxedBrief

    @property
    def only_of_money(self) -> bool:
        """Whether there is a kit as soon as the cap does not count."""
        if not self.alone.capped:
            return False
        # Of all demands it is known already, if they can be met, and then some of them can be.
        return any(replace(one, capped=False).possible for one in (self.whole, self.alone))

    def has(self, *kinds: type[Demand]) -> bool:
        """Tell whether a demand of some kinds is part of the conflict."""
        return any(isinstance(demand, kinds) for demand in self.demands)


@dataclass(frozen=True)
class Obstacle:
    """What among the goods stands in the way of a kit.

    Parameters
    ----------
    says : str
        As a clause.
    at_home : mapping of str to object
        By need what could be at home, so that it is no longer in the way: True, or shades.
    pain : float
        What having it at home weighs beside other changes.
    """

    says: str
    at_home: Mapping[str, Any] = field(default_factory=dict)
    pain: float = 1.0


def _none(*_: Any) -> Iterable[Any]:
    return ()


@dataclass(frozen=True)
class RuleExplanation:
    """What explanations know of one rule.

    Parameters
    ----------
    rule : type of Rule
        The rule.
    eases : tuple of str
        The keys of the brief that mends change, ``*`` for any category.
    demands : callable
        Returns what a brief demands under this rule, what is hardest to give up coming first.
    obstacles : callable
        Returns what among the goods makes a conflict.
    bars : callable
        Returns why one row of the catalogue breaks the rule by itself, as sentences.
    """

    rule: type[Rule]
    eases: tuple[str, ...] = ()
    demands: Callable[[Brief, Catalogue], Iterable[Demand]] = _none
    obstacles: Callable[[Conflict], Iterable[Obstacle]] = _none
    bars: Callable[[str, Brief, Catalogue], Iterable[str]] = _none
