"""Everyday words in the place of those that commands and JSON have for the same things."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

from kitsolver.show.sheet.texts import texts

# How an explanation names a row: with its number, or by the sku alone.
_BY_SKU = "|".join(
    (
        r"(?<=instead of )\S+?(?=[.,]?(?:\s|$))",
        r"(?<=Of )\S+(?=: )",
        r"(?<=[Kk]eep )\S+(?= no longer)",
        r"(?<=[Ll]et )\S+(?= be in the kit)",
        r"\S+(?= is left out)",
        r"(?<=the closest is )\S+(?=: )",
        r"(?<=#[0-9a-f]{6} of )\S+?(?=[.,]?(?:\s|$))",
    )
)
_ROW = re.compile(
    rf"(?P<sku>\S+) \(row \d+(?: of the home list)?\)|(?P<other>{_BY_SKU})", re.MULTILINE
)
_NO_NAMES: Mapping[str, str] = MappingProxyType({})


def category_word(category: str) -> str:
    """Return what the page says for a category."""
    return str(vars(texts("kitsolver.page").categories).get(category, category))


def skus_named(sentences: Iterable[str]) -> Iterator[str]:
    """Yield the skus of the rows that explanations name."""
    for sentence in sentences:
        for found in _ROW.finditer(sentence):
            yield found["sku"] or found["other"]


def everyday(sentence: str, names: Mapping[str, str] = _NO_NAMES) -> str:
    """Return a sentence of an explanation in the words of the page.

    Parameters
    ----------
    sentence : str
        It names rows by sku and number.
    names : mapping of str to str
        By sku, what the page calls those rows instead.
    """
    parts, done = [], 0
    for found in _ROW.finditer(sentence):
        called = names.get(found["sku"] or found["other"], found[0])
        parts += [_in_words(sentence[done : found.start()]), called]
        done = found.end()
    return "".join([*parts, _in_words(sentence[done:])])


def _in_words(text: str) -> str:
    for word, instead in texts("kitsolver.page").everyday:
        text = re.sub(rf"(?<!\w){re.escape(word)}(?!\w)", instead, text)
    return text
