"""A blank of the form: the key of the brief that it stands for, and how it is filled in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cached_property

# Blanks that are no key of the brief: which of both caps is meant, the chart that is kept, the
# shades that are at home, and how many bundles are made.
CAP_IS, CHART, SHADES, COPIES = "cap_is", "chart", "shades_at_home", "copies"


class Kind(Enum):
    """How a blank is filled in and read."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    RATE = "rate"
    PAIR = "pair"
    WORDS = "words"
    FLAG = "flag"
    CHOICE = "choice"
    SEVERAL = "several"
    # A value as TOML has it in one line, and tables as TOML has them.
    SETTING = "setting"
    TABLES = "tables"


@dataclass(frozen=True)
class Option:
    """A value that may be chosen, what it is called, and how many rows have it."""

    value: str
    says: str
    rows: int | None = None


@dataclass(frozen=True)
class Field:
    """A blank of the form.

    Parameters
    ----------
    path : tuple of str
        The brief's key.
    options : tuple of Option
        For one choice or several.
    hint : str
        An example, or what a blank means.
    label : str
        What it is called beside its text; blank if the texts have a name for its key.
    """

    path: tuple[str, ...]
    kind: Kind
    options: tuple[Option, ...] = ()
    hint: str = ""
    label: str = ""

    @cached_property
    def name(self) -> str:
        """Its name in the form."""
        return ".".join(self.path)

    @cached_property
    def id(self) -> str:
        """Its identifier on the page."""
        return "f-" + "".join(c if c.isalnum() or c in "-_" else "-" for c in self.name)

    @property
    def ticked(self) -> bool:
        """Whether it is filled in by ticks, of which a browser sends only those that are set."""
        return self.kind in (Kind.FLAG, Kind.SEVERAL)


@dataclass(frozen=True, eq=False)
class Sentence:
    """A sentence of the form: its texts and blanks in order. Only itself is equal to it."""

    parts: tuple[str | Field, ...]

    @cached_property
    def fields(self) -> tuple[Field, ...]:
        """Its blanks."""
        return tuple(part for part in self.parts if isinstance(part, Field))


@dataclass(frozen=True)
class Group:
    """Sentences that belong together; those `rare` ones unfold.

    `key` names its title among the texts; `about` is the category that it speaks of, if any.
    """

    key: str
    sentences: tuple[Sentence, ...]
    rare: tuple[Sentence, ...] = ()
    about: str = ""

    @cached_property
    def fields(self) -> tuple[Field, ...]:
        """All its blanks."""
        return tuple(f for one in (*self.sentences, *self.rare) for f in one.fields)
