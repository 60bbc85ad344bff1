"""How the values of a source are written: numbers, units, scales, colours, and words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from statistics import median

from kitsolver.shop.columns.registry import NUMERIC
from kitsolver.shop.guess.draft import SAMPLES, Certainty, Guess
from kitsolver.shop.guess.looks import (
    CellLooks,
    is_bare,
    scale_of,
    stars_of,
    unit_of,
)
from kitsolver.shop.guess.meanings import Meaning
from kitsolver.shop.guess.number_style import Written, is_currency
from kitsolver.shop.guess.source_column import SourceColumn
from kitsolver.shop.guess.words import tokens_of

_SCALES = (1, 5, 6, 10, 20, 100)
# Between these a width of fabric in centimetres is usual.
_USUAL_CM = (Decimal(8), Decimal(320))
# Smaller ones may also be inches.
_USUAL_INCHES = 30
_UNIT_WORDS = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches"}
_LENGTHS = (
    "width_cm", "height_cm", "diameter_cm", "opening_cm", "skein_m", "left_m",
)  # fmt: skip


class Values:
    """Guesses how the values of the columns that were found are written.

    Parameters
    ----------
    chosen : dict of str to Meaning
        For each column of ours what means it, as `kitsolver.shop.guess.assignment` has it.
    looks : CellLooks
        How the cells look in this source.
    language : str
        The code of the language of its headers: where it is English, lengths may be in inches.
    """

    def __init__(
        self, chosen: Mapping[str, Meaning], looks: CellLooks, language: str = "en"
    ) -> None:
        self._columns = {ours: meaning.column for ours, meaning in chosen.items()}
        self._looks = looks
        self._language = language
        self._style = looks.style

    def guesses(self) -> Iterator[Guess]:
        """Yield the guesses, table by table."""
        yield from self._decimals()
        yield from self._quality()
        yield from self._colours()
        yield from self._beside()
        yield from self._lengths()

    def _decimals(self) -> Iterator[Guess]:
        style = self._style
        headers = tuple(c.header for c in self._numeric())
        after_comma, after_point = style.votes
        if style.comma:
            doubted = after_point > 0
            reason = f"{after_comma} different cells have decimals after a comma"
            reason += f", {after_point} after a point." if doubted else ", none after a point."
            yield Guess(
                "",
                "decimal_comma",
                True,
                headers,
                "Decimals stand after a comma.",
                reason,
                Certainty.UNSURE if doubted or not after_comma else Certainty.SURE,
                style.samples,
            )
        if style.thousands:
            cells = [
                text
                for column in self._numeric()
                for text in column.texts
                # Wide and narrow spaces are spaces.
                if style.thousands in " ".join(text.split()) and style.read(text)
            ]
            if cells:
                yield Guess(
                    "",
                    "thousands",
                    style.thousands,
                    headers,
                    "This sign parts thousands.",
                    "It stands before three digits.",
                    Certainty.SURE if sum(style.votes) else Certainty.UNSURE,
                    tuple(cells[:SAMPLES]),
                )

    def _numeric(self) -> list[SourceColumn]:
        return [
            column
            for ours, column in self._columns.items()
            if ours in NUMERIC or ours.startswith("size ") or ours in ("opening_cm", "left_m")
        ]

    def _quality(self) -> Iterator[Guess]:
        column = self._columns.get("quality")
        if column is None or not column.texts:
            return
        scales = {scale_of(text) for text in column.texts} - {0}
        stars = {stars_of(text) for text in column.texts} - {""}
        numbers = [found.value for text in column.texts if (found := self._style.read(text))]
        if stars:
            yield Guess(
                "",
                "stars",
                min(stars),
                (column.header,),
                "Quality is the number of these signs.",
                "The cells repeat one sign.",
                Certainty.SURE if len(stars) == 1 else Certainty.UNSURE,
                column.samples,
            )
            numbers += [Decimal(sum(text.count(s) for s in stars)) for text in column.texts]
        highest = max(scales) if scales else max(numbers, default=Decimal(100))
        most = next((scale for scale in _SCALES if highest <= scale), 100)
        if most == 100:
            return
        told = scales == {most}
        reason = (
            f'All cells have the second figure {most}, as in "{column.texts[0]}".'
            if told
            else f"The highest is {highest}."
        )
        yield Guess(
            "",
            "quality_most",
            most,
            (column.header,),
            f"{most} is the best that a row can have, and counts as 100.",
            reason,
            Certainty.SURE if told or (stars and highest == 5) else Certainty.UNSURE,
            column.samples,
        )

    def _colours(self) -> Iterator[Guess]:
        column = self._columns.get("colours")
        if column and (bare := [text for text in column.texts if is_bare(text)]):
            yield Guess(
                "",
                "bare_hex",
                True,
                column.headers,
                "Colours are written without #.",
                f"{len(bare)} of {len(column.texts)} different cells have none.",
                samples=tuple(bare[:SAMPLES]),
            )

    def _beside(self) -> Iterator[Guess]:
        """Yield the guesses for what stands beside numbers: currency signs and units."""
        signs: dict[str, list[tuple[SourceColumn, str]]] = {}
        units: dict[str, list[tuple[SourceColumn, str]]] = {}
        for ours, column in self._columns.items():
            for text, beside in self._besides(ours, column):
                money = is_currency(beside) and ours in ("price", "trade_cost")
                if money or not self._is_read_as_length(ours, beside):
                    (signs if money else units).setdefault(beside, []).append((column, text))
        for key, meaning, found in (
            ("currency_signs", "These signs beside sums are dropped.", signs),
            ("units_in_cells", "These words beside numbers are dropped.", units),
        ):
            if found:
                cells = [each for some in found.values() for each in some]
                yield Guess(
                    "",
                    key,
                    sorted(found),
                    tuple(dict.fromkeys(column.header for column, _ in cells)),
                    meaning,
                    "They stand beside the numbers of these columns.",
                    samples=tuple(text for _, text in cells[:SAMPLES]),
                )

    def _besides(self, ours: str, column: SourceColumn) -> Iterator[tuple[str, str]]:
        if ours not in NUMERIC and not ours.startswith("size ") and ours != "needle_sizes":
            return
        for text in column.texts:
            if sides := self._looks.sides(text):
                if sides[2]:
                    yield text, sides[2]
            elif found := self._style.read(text.partition(";")[0]):
                yield from ((text, beside) for beside in found.beside)

    def _is_read_as_length(self, ours: str, beside: str) -> bool:
        """Tell whether what stands beside a number is read as its unit without a map."""
        lengths = ours in _LENGTHS or ours == "size fabric"
        return lengths and beside.casefold() in ("mm", "cm", "m", "in")

    def _lengths(self) -> Iterator[Guess]:
        for ours, column in self._columns.items():
            names = ("width_cm", "height_cm") if ours == "size fabric" else (ours,)
            if not set(names) <= set(_LENGTHS):
                continue
            guess = self._length(names[0], column)
            if guess is None:
                continue
            for name in names:
                unit, reason, certainty = guess
                yield Guess(
                    "lengths",
                    name,
                    unit,
                    (column.header,),
                    f"Numbers of {column.header!r} are {_UNIT_WORDS[unit]}.",
                    reason,
                    certainty,
                    column.samples,
                )

    def _length(self, ours: str, column: SourceColumn) -> tuple[str, str, Certainty] | None:
        """Return in which unit a column's bare numbers are, why, and how certain that is."""
        own = ours.rpartition("_")[2]
        if told := unit_in_header(column.header):
            return (told, "The header says so.", Certainty.SURE) if told != own else None
        written = list(self._written(column))
        units = {unit_of(found.after) for found in written} - {None}
        if units:
            inches = {f.after for f in written if unit_of(f.after) == "in" and f.after != "in"}
            if inches and units == {"in"}:
                return "in", "The cells say so.", Certainty.SURE
            return None
        values = [found.value for found in written]
        if own != "cm" or not values:
            return None
        if median(values) > _USUAL_CM[1]:
            return "mm", "No unit is written; in cm the numbers would be too large.", _UNSURE
        if median(values) < 4 and any(value != int(value) for value in values):
            return "m", "No unit is written; in cm the numbers would be too small.", _UNSURE
        if self._language == "en" and median(values) < _USUAL_INCHES:
            return "cm", "No unit is written; the numbers may also be inches.", _UNSURE
        return None

    def _written(self, column: SourceColumn) -> Iterator[Written]:
        for text in column.texts:
            if sides := self._looks.sides(text):
                yield Written(sides[0], "", sides[2])
            elif found := self._style.read(text):
                yield found


_UNSURE = Certainty.UNSURE


def unit_in_header(header: str) -> str | None:
    """Return the unit of length that a header names, or None."""
    units: Iterable[str | None] = (unit_of(token) for token in reversed(tokens_of(header)))
    if header.rstrip(")] ").endswith('"'):
        return "in"
    return next(filter(None, units), None)
