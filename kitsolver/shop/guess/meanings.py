"""What each column of a source may mean, by its header and by its cells."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.guess.looks import (
    CellLooks,
    Looks,
    has_digits,
    has_letters,
    is_code,
    is_gtin,
    is_unique,
    is_weave,
    scale_of,
    stars_of,
)
from kitsolver.shop.guess.number_style import is_currency
from kitsolver.shop.guess.source_column import SourceColumn
from kitsolver.shop.guess.words import EXACT, LANGUAGES, Match, matches
from kitsolver.shop.sources.header_names import folded

# At least this share of a column's cells must look as those of ours do.
FITTING = 0.8
# A score from which a meaning is taken without a mark.
RELIABLE = 0.8
# What a meaning scores that only the cells speak for.
BY_CELLS = 0.5
# What a price scores that only the decimals of its cells speak for.
_BY_DECIMALS = 0.4
# What a header scores that is our own name: no other column may be meant.
OWN_NAME = 2.0
# What columns that are none of ours are used for.
_USES = {"a place": "by which picking lists are laid out"}
_OTHER_LANGUAGE = {True: 0.1, False: 0.25}
_UNLIKE_SKU = 0.3
_SCHOOL_MARK = ("quality", "note", "de")
# Of fewer cells it means nothing that no two are the same.
_FEWEST_NAMES = 3
_FEWEST_CODES = 10
# A sku, a name and a price fill at least this share of the rows.
_IN_MOST_ROWS = 0.5


@dataclass(frozen=True)
class Meaning:
    """A meaning that a column may have.

    Parameters
    ----------
    score : float
        How far it can be relied on, from 0 to 1.
    ours : str
        The column of ours, ``size``, or "" for a column that kitsolver makes no use of.
    column : SourceColumn
        The column.
    reason : str
        Why it may have this meaning, as a sentence.
    doubts : tuple of str
        What speaks against it, as sentences.
    """

    score: float
    ours: str
    column: SourceColumn
    reason: str
    doubts: tuple[str, ...] = field(default=())


def main_language(columns: Iterable[SourceColumn]) -> str:
    """Return the code of the language in which most headers are known, English if none are."""
    votes = dict.fromkeys(LANGUAGES, 0.0)
    for column in columns:
        found = (*matches("columns", column.header), *matches("unused", column.header))
        languages = {match.language for match in found if match.score == EXACT}
        for language in languages:
            votes[language] += 1 / len(languages)
    return max(votes, key=lambda code: votes[code])


class Meanings:
    """Finds what the columns of one source may mean.

    Parameters
    ----------
    looks : CellLooks
        How the cells of our columns look in this source.
    language : str
        The code of the language of its headers.
    """

    def __init__(self, looks: CellLooks, language: str) -> None:
        self._looks = looks
        self._language = language

    def of(self, column: SourceColumn) -> Iterator[Meaning]:
        """Yield what a column may mean, without regard to the others."""
        if (own := folded(column.header)) in KNOWN:
            # Our own name says it, whatever the cells are.
            yield Meaning(OWN_NAME, own, column, "The header is our own.")
            return
        for match in self._best("columns", column.header):
            if meaning := self._by_header(match, column):
                yield meaning
        unused = False
        for match in self._best("unused", column.header):
            if self._may_be_unused(match.meaning, column):
                unused = unused or match.score >= RELIABLE
                held = f"The header says {match.said}: it holds {match.meaning}"
                use = _USES.get(match.meaning, "of which kitsolver makes no use")
                yield Meaning(match.score, "", column, f"{held}, {use}.")
        if not unused:
            yield from self._by_cells(column)

    def why_not(self, column: SourceColumn) -> str:
        """Return why a column means none of ours, as a sentence."""
        best = self._best("columns", column.header)
        if not best:
            return "Nothing in its header or its cells says which column of kitsolver it is."
        match = best[0]
        look = self._looks.by_column[match.meaning]
        unlike = column.unlike(look.looks)
        if not column.texts:
            return f"The header says {match.said}, and all its cells are blank."
        if unlike and column.share(look.looks) < FITTING:
            cell = _quoted(unlike[0])
            return f"The header says {match.said}, and cells such as {cell} are not {look.means}."
        return f"The header says {match.said}, and another column is that more clearly."

    def _best(self, table: str, header: str) -> Sequence[Match]:
        """Return the matches of a header, one for each meaning, those of its language first."""
        best: dict[str, Match] = {}
        for match in matches(table, header):
            lost = _OTHER_LANGUAGE[match.score == EXACT]
            score = match.score - lost * (match.language not in (self._language, "en"))
            if match.meaning not in best or score > best[match.meaning].score:
                best[match.meaning] = match._replace(score=score)
        return sorted(best.values(), key=lambda match: -match.score)

    def _by_header(self, match: Match, column: SourceColumn) -> Meaning | None:
        look = self._looks.by_column[match.meaning]
        fit = column.share(look.looks)
        if fit < FITTING:
            return None
        good = sum(
            n for text, n in zip(column.texts, column.counts, strict=True) if look.looks(text)
        )
        reason = f"The header says {match.said}; {good} of {column.rows} cells are {look.means}."
        doubts = []
        if fit < 1:
            doubts.append(f"Cells such as {_quoted(column.unlike(look.looks)[0])} are not.")
        if (match.meaning, match.word, match.language) == _SCHOOL_MARK:
            doubts.append("In school marks 1 is best, and here the highest counts for the best.")
        score = match.score
        if match.meaning == "sku":
            if not is_unique(column):
                return None
            if column.share(is_code) < 0.5:
                score -= _UNLIKE_SKU
        if match.meaning == "tags" and is_unique(column) and column.share(is_code) == 1:
            return None
        if match.meaning == "name" and column.share(is_code) > 0.5:
            score -= _UNLIKE_SKU
        return Meaning(score, match.meaning, column, reason, tuple(doubts))

    def _may_be_unused(self, meaning: str, column: SourceColumn) -> bool:
        """Tell whether the cells bear out that a column holds what kitsolver makes no use of."""
        if meaning == "a remark":
            return not column.texts or column.share(has_letters) >= 0.5
        if meaning == "how many are in a packet":
            return column.share(has_digits) >= 0.5
        # Each box may have a label of its own, and few goods have a place for themselves alone.
        if meaning == "a place" and len(column.texts) >= _FEWEST_CODES:
            return not (is_unique(column) and column.share(is_code) == 1)
        # Plain numbers are no dates.
        return meaning != "a date" or column.share(str.isdigit) < 0.5

    def _by_cells(self, column: SourceColumn) -> Iterator[Meaning]:
        """Yield what the cells of a column alone say."""
        if not column.texts:
            return

        def every(looks: Looks) -> bool:
            return column.share(looks) == 1

        found = []
        if every(is_gtin) and len(column.texts) > 1:
            found.append(("gtin", "numbers with a right check digit"))
        if every(self._looks.by_column["colours"].looks) and any("#" in t for t in column.texts):
            found.append(("colours", "colours"))
        if every(self._looks.size):
            found.append(("size", "two lengths"))
        if every(stars_of):
            found.append(("quality", "stars"))
        if every(scale_of):
            found.append(("quality", 'figures such as "4/5"'))
        if every(is_weave):
            found.append(("weave", "weaves"))
        if every(self._looks.money) and any(map(self._has_currency, column.texts)):
            found.append(("price", "sums of money"))
        everywhere = column.filled.mean() >= _IN_MOST_ROWS
        broken = any(map(self._is_broken, column.texts))
        if is_unique(column) and len(column.texts) >= _FEWEST_NAMES and everywhere:
            if every(is_code) and not broken:
                found.append(("sku", "short texts, each of them once"))
            elif column.share(is_code) < 0.5 and column.share(has_letters) > 0.9:
                found.append(("name", "texts, each of them once"))
        for ours, means in found:
            reason = f"The header does not say it; all its cells are {means}."
            yield Meaning(BY_CELLS, ours, column, reason)
        if everywhere and broken and every(self._looks.money):
            reason = "The header does not say it; all its cells could be sums of money."
            yield Meaning(_BY_DECIMALS, "price", column, reason)

    def _is_broken(self, text: str) -> bool:
        """Tell whether a cell is a number that is not whole."""
        found = self._looks.style.read(text)
        return found is not None and found.value != int(found.value)

    def _has_currency(self, text: str) -> bool:
        found = self._looks.style.read(text)
        return found is not None and any(map(is_currency, found.beside))


def numbered(columns: Sequence[SourceColumn]) -> Iterator[tuple[str, tuple[SourceColumn, ...]]]:
    """Yield the columns whose headers differ in a number behind them only, with what they share.

    The first of them may have no number.
    """
    groups: dict[str, list[SourceColumn]] = {}
    for column in columns:
        base = re.sub(r"[\s_.#-]*[0-9]{1,2}$", "", column.header)
        groups.setdefault(base.casefold(), []).append(column)
    for base, group in groups.items():
        if base and len(group) > 1:
            yield base, tuple(group)


def _quoted(text: str) -> str:
    return repr(text if len(text) <= 40 else f"{text[:39]}…")
