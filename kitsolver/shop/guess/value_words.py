"""What the words of a source mean: its categories, weaves and kinds, and its yes and no."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitsolver.shop.guess.draft import SAMPLES, Certainty, Guess
from kitsolver.shop.guess.goods import goods_of
from kitsolver.shop.guess.looks import is_answer
from kitsolver.shop.guess.meanings import Meaning
from kitsolver.shop.guess.words import MISSPELT, Match, matches, says

_TABLES = {"category": "categories", "weave": "weaves", "kind": "kinds"}


def value_words(chosen: Mapping[str, Meaning]) -> Iterator[Guess]:
    """Yield the guesses for the words of a source.

    Parameters
    ----------
    chosen : dict of str to Meaning
        For each column of ours what means it, as `kitsolver.shop.guess.assignment` has it.
    """
    yield from _answers(chosen)
    for ours, table in _TABLES.items():
        if ours in chosen:
            yield from _of_table(ours, table, chosen[ours])


def _answers(chosen: Mapping[str, Meaning]) -> Iterator[Guess]:
    if "download" not in chosen:
        return
    column = chosen["download"].column
    for key in ("yes", "no"):
        words = [
            text
            for text in column.texts
            if is_answer(text) and says("answers", key, text) and text.lower() != key
        ]
        if words:
            yield Guess(
                "",
                key,
                words,
                (column.header,),
                f"These words say {key}.",
                "They are the cells of this column.",
                samples=tuple(words[:SAMPLES]),
            )


def _of_table(ours: str, table: str, meaning: Meaning) -> Iterator[Guess]:
    """Yield what each of the source's words is of ours; one that is unknown stays as it is."""
    for text in meaning.column.texts:
        found = _found(ours, text)
        if found is None or text.lower() == found.meaning:
            continue
        yield Guess(
            table,
            text,
            found.meaning,
            (meaning.column.header,),
            f"{text!r} is {found.meaning}.",
            f"It says {found.said}.",
            Certainty.UNSURE if found.score <= MISSPELT else Certainty.SURE,
            (text,),
        )


def _found(ours: str, text: str) -> Match | None:
    if ours == "category":
        return goods_of(text)
    found = matches(f"{ours}s", text)
    return found[0] if found else None
