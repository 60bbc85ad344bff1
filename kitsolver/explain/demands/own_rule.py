"""What the demands of rules of one's own have in common: their words, and how they give way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitsolver.brief.conditions import Conditions
from kitsolver.brief.own_rules import Where
from kitsolver.explain.demands.demand import Demand, Easing, easing
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.wording import listed


@dataclass(frozen=True)
class OwnRule(Demand):
    """A rule of one's own, which is dropped as a whole.

    Parameters
    ----------
    kind : str
        ``limits``, ``pairs`` or ``alike``.
    name : str
        What the brief calls it.
    """

    kind: str
    name: str

    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the rule."""
        return relaxed.with_value((self.kind, self.name), {})

    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield that the rule does not matter after all."""
        path = (self.kind, self.name)
        if relaxed.works_with(path, {}):
            yield easing(relaxed, path, {}, f'do without the rule "{self.name}"')


def where_text(where: Where, *, article: bool = True) -> str:
    """Return which rows a rule speaks of, as a part of a sentence."""
    some = "a row" if article else "row"
    noun = some if where.category is None else listed(where.category, "or")
    conditions = list(_conditions(where))
    return f"{noun} {listed(conditions)}" if conditions else noun


def _conditions(asked: Conditions) -> Iterator[str]:
    for column, allowed in asked.only.items():
        yield f"with {column} {listed([str(value) for value in allowed], 'or')}"
    if asked.tags_any:
        yield f"with the tag {listed(asked.tags_any, 'or')}"
    if asked.tags_none:
        yield f"without the tag {listed(asked.tags_none, 'or')}"
    if asked.max_price is not None:
        yield f"for no more than {asked.max_price}"
    if asked.min_quality is not None:
        yield f"with a quality of {asked.min_quality:f} or more"
    for column, least in asked.at_least.items():
        yield f"with {column} at least {least:f}"
    for column, most in asked.at_most.items():
        yield f"with {column} at most {most:f}"
