"""Rules of one's own: limits on sums, pairs of which one asks for the other, rows that are alike.

Each has a name of its own. Where a rule is given none, it is called by its column, or by its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, model_validator

from kitsolver.brief.conditions import Conditions, Fine
from kitsolver.brief.numbers import Flag, Word, as_list, refuse
from kitsolver.brief.part import Part, key

# The keys of a brief that hold a list of such rules, in the order in which names are given.
RULE_LISTS = ("limits", "pairs", "alike")

_LONGEST_NAME = 60
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")


def _name(value: str) -> str:
    if len(value) > _LONGEST_NAME:
        raise refuse(f"has {len(value)} characters, and {_LONGEST_NAME} are the most")
    if _CONTROL.search(value):
        raise refuse("holds a control character")
    return value


def _some(categories: tuple[str, ...]) -> tuple[str, ...]:
    if not categories:
        raise refuse("names no category")
    return categories


def _blank(value: Any) -> Any:
    if isinstance(value, bool):
        raise refuse('is neither 0 nor "leave out"')
    return 0 if value in (0, "0") else value


Name = Annotated[Word, AfterValidator(_name)]
Categories = Annotated[tuple[Word, ...], BeforeValidator(as_list), AfterValidator(_some)]
Blank = Annotated[Literal[0, "leave out"], BeforeValidator(_blank)]


class Where(Conditions):
    """Which rows a rule speaks of: those of some categories that meet conditions."""

    category: Categories | None = key(
        None, "The categories of the rows; every category, if left out.", example=["thread"]
    )

    def names(self, category: str) -> bool:
        """Tell whether rows of a category are spoken of, if they meet the conditions."""
        return self.category is None or category in self.category


class Limit(Part):
    """The least or the most that the lines of the kit come to in a column, or their number."""

    name: Name = key("", "What the limit is called.", example="the letter's 500 g")
    column: Word | None = key(
        None,
        "The column that is added up, units times cell; lines are counted, if left out.",
        example="weight_g",
    )
    where: Where = key(
        Where(), "Which lines count; every line, if left out.", example={"category": ["hoop"]}
    )
    least: Fine | None = key(None, "The sum is at least this.", example=1)
    most: Fine | None = key(None, "The sum is at most this.", example=500)
    a_head: Flag = key(
        False, "Whether the limit is for each kit that is made, and not for all.", example=True
    )
    blank: Blank | None = key(
        None,
        "What a blank cell counts: 0, or the row is left out; bad input, if left out.",
        example=0,
    )

    @model_validator(mode="after")
    def _check(self) -> Limit:
        if self.least is None and self.most is None:
            raise refuse("needs least or most")
        if self.least is not None and self.most is not None and self.least > self.most:
            raise refuse(f"has a least of {self.least:f}, which is above its most of {self.most:f}")
        if self.column is None and self.a_head:
            raise refuse("counts lines, which are not for each head: a_head needs a column")
        return self

    def figure(self, asked: Decimal, kits: int) -> Decimal:
        """Return what a sum is held against, for so many kits."""
        return asked * kits if self.a_head else asked


class Pair(Part):
    """If some row of the kit meets `if`, the kit's rows meet `then`, `with` or `never`.

    Words of Python have other names here.
    """

    name: Name = key("", "What the pair is called.", example="silk wants fine cloth")
    if_: Where | None = key(
        None,
        "The rule holds if some row of the kit meets this; always, if left out.",
        example={"category": "thread", "only": {"kind": ["silk"]}},
        written="if",
    )
    then: Where | None = key(
        None,
        "Every row of its categories meets its conditions.",
        example={"category": "fabric", "at_least": {"count": 16}},
    )
    with_: Where | None = key(
        None, "Some row of the kit meets this.", example={"category": "wrap"}, written="with"
    )
    never: Where | None = key(None, "No row of the kit meets this.", example={"category": "hoop"})

    @model_validator(mode="after")
    def _check(self) -> Pair:
        if sum(side is not None for side in (self.then, self.with_, self.never)) != 1:
            raise refuse("needs exactly one of then, with and never")
        return self

    @property
    def asks(self) -> tuple[Literal["then", "with", "never"], Where]:
        """How rows are asked for, and which."""
        if self.then is not None:
            return "then", self.then
        if self.with_ is not None:
            return "with", self.with_
        assert self.never is not None
        return "never", self.never


class Alike(Part):
    """There is one value of a column that every row has."""

    name: Name = key("", "What the rule is called.", example="everything from one series")
    column: Word = key(..., "The column in which rows are alike.", example="series")
    of: Categories | None = key(
        None, "The categories of the rows; every row, if left out.", example=["fabric", "thread"]
    )
    blank: Literal["any", "refuse"] = key(
        "any", "Whether a blank cell goes with every value, or with none.", example="refuse"
    )


def places_of(data: Mapping[str, Any]) -> Iterator[tuple[str, int, Mapping[str, Any]]]:
    """Yield every such rule of a brief's data with its list and its place there, from 0.

    What is no table, or stands in no list, is passed over: it is found when the brief is read.
    """
    for kind in RULE_LISTS:
        rules = data.get(kind)
        if isinstance(rules, (list, tuple)):
            for place, rule in enumerate(rules):
                if isinstance(rule, Mapping):
                    yield kind, place, rule


def with_names(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return a brief's data in which every rule of one's own has a name.

    A rule without one is called by its column if no other rule bears that name, else by its place,
    "limits 2" for instance.
    """
    every = list(places_of(data))
    taken = {rule["name"] for _, _, rule in every if isinstance(rule.get("name"), str)}
    named: dict[tuple[str, int], dict[str, Any]] = {}
    for kind, place, rule in every:
        if rule.get("name") is not None:
            continue
        column = rule.get("column")
        free = isinstance(column, str) and 0 < len(column) <= _LONGEST_NAME and column not in taken
        name = column if free else f"{kind} {place + 1}"
        taken.add(name)
        named[kind, place] = {**rule, "name": name}
    if not named:
        return dict(data)
    lists = {
        kind: [named.get((kind, place), rule) for place, rule in enumerate(data[kind])]
        for kind in {kind for kind, _ in named}
    }
    return {**data, **lists}


def rule_named(rules: Any, name: str) -> int | None:
    """Return the place of the rule of some name in a list of a brief's data, from 0."""
    for place, rule in enumerate(rules if isinstance(rules, (list, tuple)) else ()):
        if isinstance(rule, Mapping) and rule.get("name") == name:
            return place
    return None
