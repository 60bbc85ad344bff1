"""Everyday words in the place of those that commands and JSON have for the same things."""

from __future__ import annotations

import re

from kitsolver.show.sheet.texts import texts


def category_word(category: str) -> str:
    """Return what the page says for a category."""
    return str(vars(texts("kitsolver.page").categories).get(category, category))


def everyday(sentence: str) -> str:
    """Return a sentence of an explanation in the words of the page."""
    for word, instead in texts("kitsolver.page").everyday:
        sentence = re.sub(rf"(?<!\w){re.escape(word)}(?!\w)", instead, sentence)
    return sentence
