"""A draft of a map: every guess with its reason, and what stays unmapped with the reason why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from kitsolver.shop.maps.mapping import ColumnMap

# So many cells are shown beside a guess.
SAMPLES = 3


class Certainty(StrEnum):
    """How far a guess can be relied on."""

    SURE = "sure"
    UNSURE = "unsure"


@dataclass(frozen=True)
class Guess:
    """One line of the map.

    Parameters
    ----------
    table : str
        The table of the map that it belongs to; empty for a key outside all tables.
    key : str
        The key: a column of ours in ``columns``, ``lengths``, ``join`` and ``defaults``; a header
        of the source in ``split`` and ``pass_over``; a word of the source in ``categories``,
        ``weaves`` and ``kinds``.
    value : str, int, bool or list of str
        What the map says for the key.
    headers : tuple of str
        The columns of the source that it is about.
    meaning : str
        What the line says, as a sentence.
    reason : str
        Why it was guessed, as a sentence.
    certainty : Certainty
        Whether a person has to look at it.
    samples : tuple of str
        At most three cells that it was guessed from.
    """

    table: str
    key: str
    value: str | int | bool | list[str]
    headers: tuple[str, ...]
    meaning: str
    reason: str
    certainty: Certainty = Certainty.SURE
    samples: tuple[str, ...] = ()


@dataclass(frozen=True)
class Unmapped:
    """A column of the source that the map leaves alone: it is kept and shown as it is.

    Parameters
    ----------
    header : str
        Its header.
    reason : str
        Why it is not mapped, as a sentence.
    samples : tuple of str
        At most three of its cells.
    """

    header: str
    reason: str
    samples: tuple[str, ...] = ()


@dataclass(frozen=True)
class Missing:
    """A column of ours that goods of the source need, and that no column of it seems to be.

    Parameters
    ----------
    column : str
        Our column.
    reason : str
        What it is needed for, and what can be done, as a sentence.
    """

    column: str
    reason: str


@dataclass(frozen=True)
class MapDraft:
    """The draft of a map.

    Parameters
    ----------
    guesses : tuple of Guess
        The lines of the map, in the order of its tables.
    unmapped : tuple of Unmapped
        The columns that no line is about, in the source's order.
    missing : tuple of Missing
        What a catalogue needs and the source does not seem to have.
    notes : tuple of str
        How the source was read, as sentences.
    """

    guesses: tuple[Guess, ...]
    unmapped: tuple[Unmapped, ...] = ()
    missing: tuple[Missing, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def data(self) -> dict[str, Any]:
        """The map as data, as its TOML file holds it."""
        held: dict[str, Any] = {}
        for guess in self.guesses:
            table = held.setdefault(guess.table, {}) if guess.table else held
            table[guess.key] = guess.value
        return held

    @property
    def map(self) -> ColumnMap:
        """The map.

        Raises
        ------
        pydantic.ValidationError
            If a guess is no valid line of a map, which would be a fault of the program.
        """
        return ColumnMap.model_validate(self.data)
