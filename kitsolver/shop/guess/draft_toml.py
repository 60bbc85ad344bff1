"""The draft of a map as TOML: each line below the reason for it, in comments."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

import tomli_w

from kitsolver.shop.guess.draft import Certainty, Guess, MapDraft

_WIDTH = 90
_LONGEST_CELL = 60
# A line of these shows its cell, and says what it means: the reason stands behind it.
_BRIEF_TABLES = ("categories", "weaves", "kinds")


def draft_toml(draft: MapDraft) -> str:
    """Return a draft as the text of a map, which a person looks over before it is used."""
    unsure = sum(guess.certainty is Certainty.UNSURE for guess in draft.guesses)
    head = "A draft of a map. Look it over before it is used"
    marked = "one line is" if unsure == 1 else f"{unsure} lines are"
    head += f": {marked} marked UNSURE." if unsure else "."
    parts = [_comment(head), *map(_comment, draft.notes)]
    if draft.missing:
        parts.append("\n" + "".join(_comment(f"MISSING: {each.reason}") for each in draft.missing))
    for table in dict.fromkeys(guess.table for guess in draft.guesses):
        lines = list(_lines(each for each in draft.guesses if each.table == table))
        parts.append("\n" + (f"[{table}]\n" if table else "") + "".join(lines))
    if draft.unmapped:
        parts.append("\n" + _comment("Not mapped. These columns are kept and shown as they are."))
        for each in draft.unmapped:
            parts.append(_comment(f"{_quoted(each.header)}: {each.reason}", "  "))
            parts.append(_samples(each.samples, "  "))
    return "".join(parts)


def _lines(guesses: Iterable[Guess]) -> Iterator[str]:
    for guess in guesses:
        mark = "UNSURE. " if guess.certainty is Certainty.UNSURE else ""
        line = tomli_w.dumps({guess.key: guess.value})
        if guess.table in _BRIEF_TABLES:
            yield f"{line.rstrip()}  # {mark}{_plain(guess.reason, len(guess.reason))}\n"
        else:
            yield _comment(f"{mark}{guess.meaning} {guess.reason}")
            yield _samples(guess.samples)
            yield line


def _samples(samples: Sequence[str], indent: str = "") -> str:
    shown = " · ".join(map(_plain, samples))
    return _comment(f"for example: {shown}", indent) if shown else ""


def _comment(text: str, indent: str = "") -> str:
    lines = wrap(_plain(text, longest=len(text)), _WIDTH, break_long_words=False) or [""]
    return "".join(f"# {indent}{line}\n" for line in lines)


def _quoted(text: str) -> str:
    return f'"{_plain(text)}"'


def _plain(text: str, longest: int = _LONGEST_CELL) -> str:
    """Return a text of the source as one line without control characters, and not too long."""
    line = "".join(sign if sign.isprintable() else " " for sign in text)
    return line if len(line) <= longest else f"{line[: longest - 1]}…"
