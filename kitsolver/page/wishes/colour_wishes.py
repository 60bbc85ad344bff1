"""Colours that are wished for: by a word, by a swatch, and how much it costs to miss them."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from decimal import ROUND_DOWN, Decimal
from functools import cache
from importlib.resources import files

from kitsolver.craft.colour import DIFFERENCE_UNIT, differences

# Points of quality that a thread has at most.
_ALL_POINTS = 100
_USUAL_MISMATCH, _LEAST_MISMATCH = Decimal(5), Decimal("0.1")
# A thread that differs by more from every colour wished for is far from them (common practice, no
# source).
FAR = 20 * DIFFERENCE_UNIT


@cache
def colour_words() -> dict[str, tuple[str, ...]]:
    """Return the words for colours and the colours that each stands for."""
    source = (files("kitsolver.page.wishes") / "colour_words.toml").read_text(encoding="utf-8")
    return {word: tuple(colours) for word, colours in tomllib.loads(source).items()}


def wished(words: Sequence[str]) -> list[str]:
    """Return the colours of words and of ``#rrggbb``; what is neither is left to the brief."""
    known = colour_words()
    every = [colour for word in words for colour in known.get(word.casefold(), (word,))]
    return list(dict.fromkeys(every))


def as_words(colours: Sequence[str]) -> list[str]:
    """Return colours that were wished for with each word in the place of all its colours."""
    rest, found = [colour.lower() for colour in colours], []
    while rest:
        word, known = max(
            ((word, known) for word, known in colour_words().items() if known[0] == rest[0]),
            key=lambda one: len(one[1]) if tuple(rest[: len(one[1])]) == one[1] else 0,
            default=("", ()),
        )
        if not known or tuple(rest[: len(known)]) != known:
            word, known = rest[0], (rest[0],)
        found.append(word)
        rest = rest[len(known) :]
    return found


def bearable_mismatch(wish: Sequence[str], threads: Sequence[str]) -> Decimal | None:
    """Return what a unit of difference may cost, so that the farthest thread still has points.

    With more, all threads that are far from every colour wished for would have none, and so be
    equally good. None if the usual points are few enough.

    Parameters
    ----------
    wish, threads : sequence of str
        Colours as ``#rrggbb``: those wished for, and all that the shop has.
    """
    if not wish or not threads:
        return None
    farthest = int(differences(list(wish), list(threads)).min(axis=0).max())
    if farthest * _USUAL_MISMATCH < _ALL_POINTS * DIFFERENCE_UNIT:
        return None
    most = Decimal(_ALL_POINTS * DIFFERENCE_UNIT) / farthest
    return max(_LEAST_MISMATCH, most.quantize(Decimal("0.1"), ROUND_DOWN))
