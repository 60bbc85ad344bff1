"""Tells of a place in the line of waiting questions."""

from __future__ import annotations

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")
# How long to wait before asking again, in seconds.
RETRY_AFTER = 5


def place_sentence(place: int) -> str:
    """Return which place in line a question has, the first being 1; blank for 0."""
    return f"Your question is {_ordinal(place)} in line." if place else ""


def busy_sentence(place: int) -> str:
    """Return what is said to somebody whose question cannot wait any longer."""
    return (
        f"Too much is being worked out just now: your question was {_ordinal(place)} in line. "
        f"Ask again in {RETRY_AFTER} seconds."
    )


def _ordinal(place: int) -> str:
    if 1 <= place <= len(_ORDINALS):
        return _ORDINALS[place - 1]
    last_two = place % 100
    ending = "th" if 11 <= last_two <= 13 else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"
