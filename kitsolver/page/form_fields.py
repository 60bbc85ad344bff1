"""The fields of the form in which a brief is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.page.catalogue_summary import CatalogueSummary

# Fields that are no key of the brief: which cap key is meant, the chart that is kept, and the
# shades that are at home.
CAP_IS, CHART, SHADES = "cap_is", "chart", "shades_at_home"
EXTRAS = ("extras", "categories")


class Kind(Enum):
    """How a field is filled in and read."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    WORDS = "words"
    FLAG = "flag"
    CHOICE = "choice"
    SEVERAL = "several"


@dataclass(frozen=True)
class Field:
    """One field of the form.

    Parameters
    ----------
    path : tuple of str
        The brief's key.
    label : str
        What people read beside it.
    options : tuple of (str, str)
        Values and their names, for one choice or several.
    hint : str
        An example, or what a blank field means.
    """

    path: tuple[str, ...]
    kind: Kind
    label: str
    options: tuple[tuple[str, str], ...] = ()
    hint: str = ""

    @property
    def name(self) -> str:
        """Its name in the form."""
        return ".".join(self.path)


@dataclass(frozen=True)
class Group:
    """Fields that belong together, under a title."""

    title: str
    fields: tuple[Field, ...]


def groups_of(holds: Sequence[str], summary: CatalogueSummary) -> tuple[Group, ...]:
    """Return the fields for a brief with these needs and a catalogue, group by group."""
    others = [name for name in summary.categories if name not in holds]
    extras = Group(
        "extras",
        (
            Field(
                ("extras", "spend"),
                Kind.CHOICE,
                "bought with",
                (
                    ("leftover", "what the needs leave over"),
                    ("together", "weighed together with the needs"),
                    ("none", "nothing: none wanted"),
                ),
            ),
            Field(("extras", "most"), Kind.WHOLE, "at most", hint="no limit"),
            Field(("extras", "weight"), Kind.NUMBER, "weight, where weighed together"),
            Field(
                EXTRAS,
                Kind.SEVERAL,
                "from these categories",
                tuple((name, name) for name in others),
            ),
        ),
    )
    return (*(_need(need, summary) for need in holds), extras, _making(), _till())


def sum_group() -> Group:
    """Return the fields for what is to be spent, and on what."""
    units = (("cm", "centimetres"), ("in", "inches"))
    whole = (("cap", "for the whole order"), ("cap_per_head", "for each head"))
    return Group(
        "the sum",
        (
            Field(("cap",), Kind.NUMBER, "cap", hint="30.00"),
            Field(("currency",), Kind.TEXT, "currency", hint="EUR"),
            Field(("heads",), Kind.WHOLE, "heads", hint="1"),
            Field((CAP_IS,), Kind.CHOICE, "the cap is", whole),
            Field(("title",), Kind.TEXT, "title"),
            Field(("units",), Kind.CHOICE, "measures in", units),
            Field(("holds",), Kind.WORDS, "needs", hint="; ".join(DEFAULT_NEEDS)),
        ),
    )


def _need(need: str, summary: CatalogueSummary) -> Group:
    def of(key: str, kind: Kind, label: str, *, hint: str = "") -> Field:
        return Field(("needs", need, key), kind, label, hint=hint)

    fields = [of("have", Kind.FLAG, "at home, not to be bought")]
    if need == "thread":
        fields.append(Field((SHADES,), Kind.WORDS, "shades at home", hint="#e8e0c8; #7fc4c8"))
    if need == "chart" and summary.charts:
        options = (("", "any of them"), *summary.charts)
        fields.append(Field((CHART,), Kind.CHOICE, "which", options))
    if need == "fabric":
        weaves = tuple((weave, weave) for weave in ("aida", "evenweave", "linen"))
        fields.append(Field(("needs", need, "only", "weave"), Kind.SEVERAL, "weave", weaves))
        hint = "any, or 14; 16"
        fields.append(Field(("needs", need, "only", "count"), Kind.WORDS, "count", hint=hint))
    fields += [
        of("max_price", Kind.NUMBER, "price up to"),
        of("min_quality", Kind.NUMBER, "quality from"),
        of("weight", Kind.NUMBER, "weight"),
        of("tags_any", Kind.WORDS, "with one of these tags"),
        of("tags_none", Kind.WORDS, "with none of these tags"),
    ]
    if need != "fabric":
        fields.append(of("shared_by", Kind.WHOLE, "heads that share one"))
    return Group(need, tuple(fields))


def _making() -> Group:
    return Group(
        "making it",
        (
            Field(("fit", "margin_cm"), Kind.NUMBER, "bare fabric on each side, cm"),
            Field(("fit", "margin_in"), Kind.NUMBER, "or in inches"),
            Field(("fit", "over"), Kind.WHOLE, "threads a stitch spans, evenweave and linen"),
            Field(("fit", "waste"), Kind.NUMBER, "share of thread lost, 0 to 1"),
            Field(("shades", "tolerance"), Kind.NUMBER, "largest difference of a shade"),
            Field(("shades", "mismatch"), Kind.NUMBER, "points lost per unit of difference"),
        ),
    )


def _till() -> Group:
    rounding = (("half-up", "half up"), ("half-even", "half to even"))
    return Group(
        "till",
        (
            Field(("till", "discount_rate"), Kind.NUMBER, "discount, 0 to 1"),
            Field(("till", "delivery"), Kind.NUMBER, "delivery"),
            Field(("till", "delivery_free_from"), Kind.NUMBER, "delivery free from"),
            Field(("till", "tax_rate"), Kind.NUMBER, "tax on top, 0 to 1"),
            Field(("till", "tax_on_delivery"), Kind.FLAG, "delivery is taxed too"),
            Field(("till", "rounding"), Kind.CHOICE, "rounding", rounding),
        ),
    )
