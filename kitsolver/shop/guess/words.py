"""What shops call their columns and goods, in six languages, and how a text is found among it."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from rapidfuzz import fuzz, process

LANGUAGES = {
    "en": "English",
    "de": "German",
    "fr": "French",
    "nl": "Dutch",
    "es": "Spanish",
    "it": "Italian",
}
# In these the last word of a name says what a thing is, in the others the first.
_HEAD_LAST = frozenset({"en", "de", "nl"})
# These write several words as one, the last of which says what a thing is.
_COMPOUNDS = frozenset({"de", "nl"})
_SHORTEST_IN_COMPOUND = 4
_LONGEST_HEAD = 40
_SHORTEST_MISSPELT = 6
_ALIKE = 88

# How far a match can be relied on, from 0 to 1.
EXACT = 1.0
HEAD = 0.9
# The rest of the text has no word of the trade.
STRANGE_HEAD = 0.75
COMPOUND = 0.78
ABBREVIATED = 0.8
SHORTLY_ABBREVIATED = 0.7
MISSPELT = 0.7
PART = 0.6
_LOST_BY_WORD = 0.02
# A shorter abbreviation may stand for many words.
_LONG_ABBREVIATION = 3


class Match(NamedTuple):
    """A meaning that a text may have.

    Parameters
    ----------
    score : float
        How far it can be relied on, from 0 to 1.
    meaning : str
        An entry of a table of the words.
    word : str
        The word that was found.
    language : str
        The code of its language.
    """

    score: float
    meaning: str
    word: str
    language: str

    @property
    def said(self) -> str:
        """What was found, for a reason."""
        return f"{self.word!r} ({LANGUAGES[self.language]})"


class _Entry(NamedTuple):
    meaning: str
    word: str
    language: str
    tokens: tuple[str, ...]


def tokens_of(text: str) -> tuple[str, ...]:
    """Return the words of a text without case and accents."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    # The letters of P.V.P. are one word.
    plain = re.sub(r"\b([a-z])\.(?=[a-z]\b)", r"\1", plain)
    return tuple(re.findall(r"[^\W_]+", plain.replace("n°", "numero ")))


@cache
def _words() -> dict[str, Any]:
    text = files("kitsolver.shop.guess").joinpath("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def _beside() -> frozenset[str]:
    """Return the words beside those that say what is meant: units, articles, prepositions."""
    return frozenset(word for words in _words()["beside"].values() for word in words)


@cache
def _table(name: str) -> tuple[_Entry, ...]:
    """Return the entries of a table.

    Each word is there as it stands, with ä written ae, and without words such as articles.
    """
    entries = dict[_Entry, None]()
    for meaning, by_language in _words()[name].items():
        for language, words in by_language.items():
            for word in words:
                spelt_out = word.translate({ord("ä"): "ae", ord("ö"): "oe", ord("ü"): "ue"})
                for tokens in (tokens_of(word), tokens_of(spelt_out)):
                    left = tuple(token for token in tokens if token not in _beside())
                    entries[_Entry(meaning, word, language, tokens)] = None
                    entries[_Entry(meaning, word, language, left or tokens)] = None
    return tuple(entries)


@cache
def _trade_words() -> frozenset[str]:
    """Return the words that say something of goods, or of columns that are of use."""
    tables = ("columns", "goods", "weaves", "kinds")
    return frozenset(t for name in tables for entry in _table(name) for t in entry.tokens)


@cache
def _spellings(name: str) -> list[str]:
    return [" ".join(entry.tokens) for entry in _table(name)]


@cache
def matches(table: str, text: str) -> tuple[Match, ...]:
    """Return for each meaning and language the best match of a text, the best of all first.

    Parameters
    ----------
    table : {"columns", "unused", "goods", "weaves", "kinds", "answers", "rows"}
        A table of ``words.toml``.
    text : str
        A header, or a cell.
    """
    best: dict[tuple[str, str], Match] = {}
    for match in _all_matches(table, _readings(text)):
        key = (match.meaning, match.language)
        if key not in best or match.score > best[key].score:
            best[key] = match
    return tuple(sorted(best.values(), key=lambda match: -match.score))


def all_words(*tables: str) -> frozenset[str]:
    """Return the words of some tables as they stand."""
    return frozenset(entry.word for name in tables for entry in _table(name))


def says(table: str, meaning: str, text: str) -> bool:
    """Tell whether a whole text is a word for a meaning."""
    return any(m.meaning == meaning and m.score == EXACT for m in matches(table, text))


def _readings(text: str) -> Iterator[tuple[str, ...]]:
    """Yield the words of a text, and what is left of them without numbers and those beside.

    A capital within a word may begin another (retailPrice) or not (MwSt). Brackets with a
    number, such as (max. 5), only add to a name.
    """
    parted = re.sub(r"(?<=[a-zà-ÿ])(?=[A-ZÀ-Ý])", " ", text)
    alone = re.sub(r"(?<=\w)\s*\([^()0-9]*[0-9][^()]*\)\s*$", "", text)
    for tokens in dict.fromkeys((tokens_of(text), tokens_of(parted), tokens_of(alone))):
        left = tuple(t for t in tokens if t not in _beside() and not t.isdigit())
        yield from dict.fromkeys((tokens, left or tokens))


def _all_matches(table: str, readings: Iterable[tuple[str, ...]]) -> Iterator[Match]:
    entries = _table(table)
    for tokens in readings:
        if not tokens:
            continue
        for entry in _likely(table, tokens):
            if score := _score(entry, tokens):
                yield Match(score, entry.meaning, entry.word, entry.language)
        joined = " ".join(tokens)
        if len(joined) >= _SHORTEST_MISSPELT:
            near = process.extract(
                joined, _spellings(table), scorer=fuzz.ratio, score_cutoff=_ALIKE
            )
            for _, _, place in near:
                entry = entries[place]
                yield Match(MISSPELT, entry.meaning, entry.word, entry.language)


@cache
def _index(table: str) -> dict[tuple[object, ...], list[_Entry]]:
    """Return the entries of a table by what a text must have in order to say them."""
    index: dict[tuple[object, ...], list[_Entry]] = {}
    for entry in _table(table):
        first = entry.tokens[0]
        keys: list[tuple[object, ...]] = [("holds", first), (len(entry.tokens), first[0])]
        if len(entry.tokens) == 1:
            keys.append(("ends", first))
        keys.append(("letters", "".join(word[0] for word in entry.tokens)))
        for key in keys:
            index.setdefault(key, []).append(entry)
    return index


def _likely(table: str, tokens: tuple[str, ...]) -> Iterator[_Entry]:
    """Yield the entries that a text may say, each once."""
    head = tokens[-1][-_LONGEST_HEAD:]
    keys: list[tuple[object, ...]] = [("holds", token) for token in tokens]
    keys += [(len(tokens), tokens[0][0]), ("letters", tokens[0])]
    keys += [("ends", head[n:]) for n in range(len(head))]
    index = _index(table)
    yield from dict.fromkeys(entry for key in keys for entry in index.get(key, ()))


def _score(entry: _Entry, tokens: tuple[str, ...]) -> float:
    """Return how well the words of a text say an entry; 0 if they do not."""
    sought = entry.tokens
    if tokens == sought:
        return EXACT
    if score := _abbreviated(sought, tokens):
        return score
    extra = len(tokens) - len(sought)
    last = entry.language in _HEAD_LAST
    if extra > 0:
        starts = [n for n in range(extra + 1) if tokens[n : n + len(sought)] == sought]
        if starts and (extra if last else 0) in starts:
            rest = set(tokens) - set(sought)
            return (HEAD if rest <= _trade_words() else STRANGE_HEAD) - _LOST_BY_WORD * extra
        if starts:
            return PART - _LOST_BY_WORD * extra
    if entry.language in _COMPOUNDS and len(sought) == 1:
        word = sought[0]
        head = tokens[-1]
        if len(word) >= _SHORTEST_IN_COMPOUND and len(head) > len(word) and head.endswith(word):
            return COMPOUND - _LOST_BY_WORD * (len(tokens) - 1)
    return 0.0


def _abbreviated(sought: tuple[str, ...], tokens: tuple[str, ...]) -> float:
    """Return how well a text abbreviates an entry: word by word, or by its first letters."""
    if len(sought) >= _LONG_ABBREVIATION and tokens == ("".join(word[0] for word in sought),):
        return ABBREVIATED
    if len(tokens) != len(sought):
        return 0.0
    pairs = list(zip(tokens, sought, strict=True))
    if not all(word.startswith(token) for token, word in pairs):
        return 0.0
    shortest = min(len(token) for token, word in pairs if token != word)
    least = _LONG_ABBREVIATION + (len(tokens) == 1)
    if shortest >= least:
        return ABBREVIATED
    whole = any(token == word for token, word in pairs)
    return SHORTLY_ABBREVIATED if whole or shortest == _LONG_ABBREVIATION else 0.0
