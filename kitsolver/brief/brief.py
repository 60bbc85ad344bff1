"""The brief: what one buyer asks for."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import ceil, floor
from typing import Annotated, Any, Literal, Self

from pydantic import (
    Field,
    ModelWrapValidatorHandler,
    ValidationError,
    ValidationInfo,
    model_validator,
)

from kitsolver.brief.conditions import Conditions, WholeKit
from kitsolver.brief.error_findings import findings_of, without_unknown_keys
from kitsolver.brief.goods import Choose, Extras
from kitsolver.brief.home_keys import HomeKeys
from kitsolver.brief.letter_case import lower_case
from kitsolver.brief.needs import DEFAULT_NEEDS, Need, Needs
from kitsolver.brief.numbers import Counted, Currency, Money, Whole, Word
from kitsolver.brief.own_rules import Alike, Limit, Pair, Where, with_names
from kitsolver.brief.part import Part, key
from kitsolver.brief.prices import Shop, TillRules
from kitsolver.brief.stitching import FinishedSize, Fit, Lesson, Shades
from kitsolver.brief.validate import validate_brief
from kitsolver.shop.findings import BadInput
from kitsolver.shop.money import to_minor, to_text
from kitsolver.shop.till import Till

# The context in which data is read that was dumped from a brief, and is in lower case.
DUMPED = "a brief as it was dumped"

_NO_CONDITIONS = Conditions()


class Brief(Part):
    """What one buyer asks for, complete with its defaults.

    Raises
    ------
    BadInput
        With every finding, if its keys and values are no usable brief.
    """

    title: Annotated[str, Field(strict=True)] = key(
        "", "What the kit is called.", example="Gift card for a first project"
    )
    currency: Currency = key(..., "The currency of all sums (ISO 4217).", example="EUR")
    cap: Money | None = key(
        None, "The most that is paid for the whole order.", unit="the currency", example="30.00"
    )
    cap_per_head: Money | None = key(
        None,
        "The most that is paid for each head, in place of `cap`.",
        unit="the currency",
        example="18.00",
    )
    heads: Counted = key(1, "How many people get a kit.", unit="heads", example=12)
    spare: Whole = key(0, "How many kits are made on top.", unit="kits", example=1)
    units: Literal["cm", "in"] = key("cm", "The unit in which lengths are shown.", example="in")
    holds: tuple[Word, ...] = key(
        DEFAULT_NEEDS,
        "The needs: categories of which the kit holds exactly one choice.",
        example=["chart", "fabric", "thread"],
    )
    needs: Needs = key(
        ...,
        "How each need is chosen, a table each.",
        example={"fabric": {"weight": 2}},
        default_factory=lambda: Needs.model_validate({}),
    )
    all: WholeKit = key(
        WholeKit(), "What every row of the kit must be like.", example={"tags_none": ["nickel"]}
    )
    extras: Extras = key(Extras(), "Which extras may be bought.", example={"most": 2})
    choose: Choose = key(
        Choose(), "Single skus that are kept, left out or owned.", example={"keep": ["CH-HERMIT"]}
    )
    fit: Fit = key(
        ...,
        "How the design lies on the fabric.",
        example={"margin_cm": 5},
        default_factory=lambda: Fit.model_validate({}),
    )
    size: FinishedSize = key(
        FinishedSize(), "How large the finished design is.", example={"at_most_cm": [20, 25]}
    )
    shades: Shades = key(
        Shades(), "How threads are matched to the chart's colours.", example={"tolerance": 4}
    )
    till: TillRules = key(
        TillRules(), "Discount, delivery, tax and rounding.", example={"delivery": "4.90"}
    )
    shop: Shop = key(
        Shop(), "The margin that the shop asks for.", example={"uncosted": "leave out"}
    )
    home: HomeKeys = key(
        HomeKeys.model_validate({}),
        "The list of what is at home.",
        example={"from": "cupboard.csv"},
    )
    lesson: Lesson = key(Lesson(), "A class's speed and lessons.", example={"minutes": 90})
    limits: tuple[Limit, ...] = key(
        (),
        "What the lines come to at least or at most, a table each.",
        example=[{"column": "weight_g", "most": 500}],
    )
    pairs: tuple[Pair, ...] = key(
        (),
        "What the kit holds if it holds something else, a table each.",
        example=[{"with": {"category": "wrap"}}],
    )
    alike: tuple[Alike, ...] = key(
        (), "In which columns rows are alike, a table each.", example=[{"column": "series"}]
    )

    @model_validator(mode="before")
    @classmethod
    def _give_every_rule_its_name(cls, data: Any) -> Any:
        return with_names(data) if isinstance(data, dict) else data

    @model_validator(mode="before")
    @classmethod
    def _give_every_need_its_table(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        holds, needs = data.get("holds", DEFAULT_NEEDS), data.get("needs", {})
        if not isinstance(holds, (list, tuple)) or not isinstance(needs, dict):
            return data
        tables: dict[str, Any] = {need.strip(): {} for need in holds if isinstance(need, str)}
        given = {need: table for need, table in needs.items() if table is not None}
        return {**data, "needs": tables | given}

    @model_validator(mode="before")
    @classmethod
    def _hold_categories_in_lower_case(cls, data: Any, info: ValidationInfo) -> Any:
        # Written last, for what is written last is called first.
        return lower_case(data) if isinstance(data, dict) and info.context != DUMPED else data

    @model_validator(mode="wrap")
    @classmethod
    def _refuse_with_findings(
        cls, data: Any, handler: ModelWrapValidatorHandler[Self], info: ValidationInfo
    ) -> Self:
        """Raise BadInput, whose findings call the brief by the name that `info.context` is."""
        name = str(info.context or "brief")
        try:
            brief = handler(data)
        except ValidationError as fault:
            found = dict.fromkeys(findings_of(fault, name, cls))
            if (known := without_unknown_keys(fault, data)) is not None:
                try:
                    cls.model_validate(known, context=name)
                except BadInput as further:
                    found |= dict.fromkeys(further.findings)
            raise BadInput(found) from None
        if findings := validate_brief(brief, name):
            raise BadInput(findings)
        return brief

    def need(self, category: str) -> Need:
        """Return the table of a need.

        Raises
        ------
        KeyError
            If `category` is no need of this brief.
        """
        return self._tables[category]

    @cached_property
    def _tables(self) -> dict[str, Need]:
        return dict(self.need_tables)

    @property
    def need_tables(self) -> Iterator[tuple[str, Need]]:
        """Every table of needs with its category."""
        fixed = ((name, getattr(self.needs, name)) for name in type(self.needs).model_fields)
        extra = (self.needs.__pydantic_extra__ or {}).items()
        yield from ((name, table) for name, table in (*fixed, *extra) if table is not None)

    @property
    def kits(self) -> int:
        """How many kits are made: one for every head, and the spare ones."""
        return self.heads + self.spare

    def buys(self, category: str) -> bool:
        """Tell whether a category is a need that is not met by what is at home.

        Shades at home do not meet the need for thread: they are candidates beside the shop's.
        """
        if category not in self.holds:
            return False
        have = self.need(category).have
        return not have or isinstance(have, tuple)

    def conditions(self, category: str) -> Conditions:
        """Return the conditions for a category's rows, be it a need or not."""
        if category in self.holds:
            return self.need(category)
        return self.extras.conditions.get(category, _NO_CONDITIONS)

    @property
    def condition_tables(self) -> Iterator[tuple[str, Conditions]]:
        """Every table of conditions with its place in the brief, ``needs.fabric`` or the like."""
        for need, table in self.need_tables:
            yield f"needs.{need}", table
        for category, conditions in self.extras.conditions.items():
            yield f"extras.conditions.{category}", conditions

    @property
    def may_need_extras(self) -> bool:
        """Whether a rule of one's own may ask for rows that no need asks for."""
        least = any(limit.least for limit in self.limits)
        return least or any(pair.with_ is not None for pair in self.pairs)

    def rules_look_at(self, column: str) -> bool:
        """Tell whether a rule of one's own looks at what rows say in a column."""
        named = {limit.column for limit in self.limits} | {rule.column for rule in self.alike}
        for _, where in self.wheres:
            named |= {*where.only, *where.at_least, *where.at_most}
            named |= {"price"} if where.max_price is not None else set()
            named |= {"quality"} if where.min_quality is not None else set()
        return column in named

    @property
    def wheres(self) -> Iterator[tuple[str, Where]]:
        """Every choice of rows by a rule of one's own with its place, ``limits "NAME".where``."""
        for limit in self.limits:
            yield f'limits "{limit.name}".where', limit.where
        for pair in self.pairs:
            for side, where in (("if", pair.if_), pair.asks):
                if where is not None:
                    yield f'pairs "{pair.name}".{side}', where

    @property
    def total_cap(self) -> int:
        """The cap for the whole order in minor units."""
        if self.cap is not None:
            return self.minor(self.cap)
        return self.minor(self.cap_per_head or Decimal(0)) * self.heads

    def with_cap(self, minor: int) -> Brief:
        """Return the same brief with another cap for the whole order, in minor units."""
        cap = Decimal(to_text(minor, self.currency))
        return self.model_copy(update={"cap": cap, "cap_per_head": None})

    @property
    def most_trade_cost(self) -> int | None:
        """The most that a kit may cost the shop, in minor units; None where no margin is asked."""
        if self.shop.sell_at is None or self.shop.margin_rate is None:
            return None
        return floor(self.minor(self.shop.sell_at) * (1 - Fraction(self.shop.margin_rate)))

    def least_sell_at(self, trade_cost: int) -> int | None:
        """Return the least price, in minor units, at which goods of some cost leave the margin.

        None where no margin is asked, or where no price leaves it.
        """
        left = 1 - Fraction(self.shop.margin_rate or 0)
        if self.shop.margin_rate is None or (not left and trade_cost):
            return None
        return ceil(trade_cost / left) if trade_cost else 0

    def minor(self, amount: Decimal) -> int:
        """Return a sum of this brief in minor units."""
        return to_minor(amount, self.currency)

    @cached_property
    def exact_till(self) -> Till:
        """The till in minor units and exact rates."""
        return Till(
            discount_rate=Fraction(self.till.discount_rate),
            delivery=self.minor(self.till.delivery),
            delivery_free_from=self.minor(self.till.delivery_free_from),
            tax_rate=Fraction(self.till.tax_rate),
            tax_on_delivery=self.till.tax_on_delivery,
            half_even=self.till.rounding == "half-even",
        )
