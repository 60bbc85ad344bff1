"""The view model of the form: its sentences, what its blanks hold, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import non_defaults
from kitsolver.brief.needs import DEFAULT_NEEDS
from kitsolver.page.catalogue_summary import CatalogueSummary
from kitsolver.page.everyday import everyday
from kitsolver.page.page_findings import TwoNumbers
from kitsolver.page.wishes.colour_wishes import as_words, colour_words
from kitsolver.page.wishes.fields import COPIES, Field, Group, Kind, Sentence
from kitsolver.page.wishes.groups import WAYS, all_fields, first_sentences, groups_of
from kitsolver.page.wishes.values import Values, at, blank_values, sums_of, values_beside_sums
from kitsolver.shop.findings import Finding
from kitsolver.show.sentences import percent_text
from kitsolver.show.sheet.texts import texts

_LONGEST_RECAP = 90
# The wishes of so many briefs are remembered: between two moves of the slider they stay the same.
_REMEMBERED = 64
# Of findings that are alike so many are told.
_TOLD = 3


@dataclass(frozen=True)
class Fault:
    """What is wrong with a blank, and the readings of a number that has two."""

    told: str
    readings: tuple[str, ...] = ()


@dataclass(frozen=True)
class GroupView:
    """A group of sentences with its title, and what it says already in a few words."""

    key: str
    title: str
    sentences: tuple[Sentence, ...]
    rare: tuple[Sentence, ...]
    recap: str

    def rare_open(self, faults: Mapping[str, Fault]) -> bool:
        """Whether its rare sentences are unfolded: one of their blanks is wrong."""
        return any(field.name in faults for one in self.rare for field in one.fields)

    def open(self, faults: Mapping[str, Fault]) -> bool:
        """Whether it is unfolded: one of its blanks is wrong."""
        wrong = any(field.name in faults for one in self.sentences for field in one.fields)
        return wrong or self.rare_open(faults)


@dataclass(frozen=True, eq=False)
class Wishes:
    """What a brief says in the form besides sums and copies. Only itself is equal to it.

    Parameters
    ----------
    groups : tuple of GroupView
        The sentences.
    values : mapping
        What their blanks hold.
    recap : str
        What they say, in a few words.
    """

    groups: tuple[GroupView, ...]
    values: Values
    recap: str = ""


@dataclass(frozen=True)
class FormView:
    """The whole form.

    Parameters
    ----------
    way : str
        Whom the kit is for: one of WAYS.
    first : Group
        The sentences with which the form begins.
    wishes : Wishes
        What the brief says below them.
    values : mapping
        What all blanks hold, what was typed included.
    faults : mapping
        What is wrong with blanks, by their names.
    findings : tuple of Fault
        What is wrong that no blank stands for.
    stays : bool
        Whether a kit is shown beside what is wrong.
    typed : bool
        Whether blanks hold what was typed, and not what the brief says.
    ways : tuple of (str, str)
        All ways in, each with the address that changes to it.
    words : tuple of str
        Words for colours.
    swatches : tuple of (str, str)
        Threads to choose colours from, and what they are called.
    """

    way: str
    first: Group
    wishes: Wishes
    values: Values
    faults: Mapping[str, Fault] = field(default_factory=dict)
    findings: tuple[Fault, ...] = ()
    stays: bool = False
    typed: bool = False
    ways: tuple[tuple[str, str], ...] = ()
    words: tuple[str, ...] = ()
    swatches: tuple[tuple[str, str], ...] = ()

    @property
    def open(self) -> bool:
        """Whether the wishes are unfolded: one of their blanks is wrong."""
        return any(group.open(self.faults) for group in self.wishes.groups)


def way_of(asked: str, brief: Brief | None, copies: int) -> str:
    """Return the way in that is asked for, or the one that fits a brief."""
    if asked in WAYS:
        return asked
    if brief is not None and brief.heads > 1:
        return "class"
    return "bundles" if copies > 1 else "one"


def form_view(
    brief: Brief | None,
    summary: CatalogueSummary,
    way: str,
    copies: int = 1,
    *,
    ways: Iterable[tuple[str, str]] = (),
    typed: Values | None = None,
    findings: Sequence[Finding] = (),
    stays: bool = False,
) -> FormView:
    """Return the view model of the form for a brief.

    Parameters
    ----------
    ways : iterable of (str, str)
        All ways in, each with the address that changes to it.
    typed : mapping, optional
        What was typed into the form, if that is shown again, with its `findings`.
    """
    holds = brief.holds if brief is not None else DEFAULT_NEEDS
    fields = all_fields(holds, summary)
    if brief is None:
        wishes = _no_wishes(holds, summary)
        values = {**wishes.values, COPIES: [str(copies) if copies > 1 else ""]}
    else:
        wishes = _wishes(_without_sum(brief), summary)
        values = {**wishes.values, **sums_of(brief, copies)}
    values |= _typed(typed or {}, fields)
    return FormView(
        way=way,
        ways=tuple(ways),
        first=first_sentences(way),
        wishes=wishes,
        values=values,
        faults={f.column: fault_of(f) for f in findings if f.column and f.column in fields},
        findings=tuple(_together([f for f in findings if f.column not in fields])),
        stays=stays and bool(findings),
        typed=bool(typed),
        words=tuple(colour_words()),
        swatches=summary.threads,
    )


def _without_sum(brief: Brief) -> Brief:
    """Return a brief without its cap, which is shared by briefs that differ in nothing else."""
    return brief.model_copy(update={"cap": None, "cap_per_head": None})


@lru_cache(_REMEMBERED)
def _wishes(brief: Brief, summary: CatalogueSummary) -> Wishes:
    """Return what a brief says besides its cap."""
    said = non_defaults(brief)
    groups = tuple(_group_view(group, said) for group in groups_of(brief.holds, summary))
    recap = "; ".join(f"{one.title}: {one.recap}" for one in groups if one.recap)
    values = values_beside_sums(brief, summary)
    return Wishes(groups, values, _cut(recap, 2 * _LONGEST_RECAP))


@lru_cache(_REMEMBERED)
def _no_wishes(holds: tuple[str, ...], summary: CatalogueSummary) -> Wishes:
    """Return what nobody has said yet, for some needs."""
    groups = tuple(_group_view(group, {}) for group in groups_of(holds, summary))
    return Wishes(groups, blank_values(all_fields(holds, summary).values()))


def _typed(typed: Values, fields: Mapping[str, Field]) -> dict[str, list[str]]:
    """Return what was typed, ticks that were taken away included."""
    found = {name: list(texts_) for name, texts_ in typed.items() if name in fields}
    for name in typed.get("ticks", ()):
        found.setdefault(name, [])
    return found


def fault_of(finding: Finding) -> Fault:
    """Return what is wrong with a blank, without the brief's name for it."""
    this = texts("kitsolver.page").ask.fault_this
    told = everyday(finding.sentence.replace(f"{finding.column} ", f"{this} ", 1))
    readings: tuple[str, ...] = ()
    if isinstance(finding, TwoNumbers):
        readings = tuple((finding.detail or "").split(" or "))
    elif finding.hint:
        told = f"{told} {finding.hint[0].upper()}{finding.hint[1:]}."
    return Fault(told, readings)


def _together(findings: Sequence[Finding]) -> Iterator[Fault]:
    """Yield what no blank stands for: the first of each kind, and how many more there are."""
    kinds: dict[type[Finding], list[Finding]] = {}
    for finding in findings:
        kinds.setdefault(type(finding), []).append(finding)
    ask = texts("kitsolver.page").ask
    for alike in kinds.values():
        told = [everyday(one.sentence) for one in alike[:_TOLD]]
        if len(alike) > _TOLD:
            told.append(ask.more_alike.format(more=len(alike) - _TOLD))
        if hint := everyday(alike[0].hint or ""):
            told.append(f"{hint[0].upper()}{hint[1:]}.")
        yield Fault(" ".join(told))


def _group_view(group: Group, said: Mapping[str, Any]) -> GroupView:
    recap = _cut(", ".join(_said(group, said)), _LONGEST_RECAP)
    return GroupView(group.key, title_of(group), group.sentences, group.rare, recap)


def title_of(group: Group) -> str:
    """Return the title of a group: that of its texts, or the category that it speaks of."""
    t = texts("kitsolver.page").wishes
    known = t.needs if group.about else t.groups
    found = getattr(known, group.key, None)
    return found.title if found is not None else group.about.capitalize()


def _said(group: Group, said: Mapping[str, Any]) -> list[str]:
    """Return what a brief says in the blanks of a group, in a few words each."""
    recap = texts("kitsolver.page").recap
    found = []
    for blank in group.fields:
        value = at(said, blank.path)
        if value is None or value is False:
            continue
        if blank.path == ("shades", "wish"):
            value = as_words(value)
        words = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
        if blank.kind is Kind.TABLES:
            words = str(len(value))
        if blank.kind is Kind.RATE:
            words = percent_text(value)
        if blank.kind is Kind.CHOICE:
            words = next((o.says for o in blank.options if o.value == words), words)
        pattern = getattr(recap, blank.path[-1], "{value}")
        found.append(pattern.format(value=words))
    return found


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip(' ,;')}…"
