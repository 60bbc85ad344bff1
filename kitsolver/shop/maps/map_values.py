"""Turns the text of a source's cell into that of a catalogue's, as a map says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from decimal import ROUND_HALF_UP, Decimal, localcontext
from functools import partial

from kitsolver.shop import catalogue_findings
from kitsolver.shop.cell_faults import LONGEST, Fault, Refused, shortened
from kitsolver.shop.columns.registry import LEFT, NUMERIC, WHOLE
from kitsolver.shop.maps.mapping import LENGTHS, ColumnMap
from kitsolver.shop.sources.header_names import folded

_MM = {"mm": Decimal(1), "cm": Decimal(10), "m": Decimal(1000), "in": Decimal("25.4")}
_MOST_DECIMALS = 6
# Enough digits for every number of a cell in any unit and on any scale.
_PRECISION = 4 * LONGEST
_MONEY = ("price", "trade_cost")
_OPENINGS = ("opening_cm", "opening_in")
_WITH_UNIT = re.compile(r"(.*?)\s*(mm|cm|m|in)", re.IGNORECASE | re.DOTALL)
_ZEROS = re.compile(r"\.0+$")
# Where no map says that decimals follow a comma, 5.000 may be five thousand.
_FEW_ZEROS = re.compile(r"\.00?$")
_PLAIN = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_BARE_HEX = re.compile(r"[0-9a-fA-F]{6}(?=:|$)")
_OUT_OF = re.compile(r"([^/]+)/([^/]+)")
_PARTS = re.compile(r"[xX×*]")
# A sheet is more likely to have one of these spaces than the other two.
_SPACES = " \u00a0\u202f"


class Values:
    """The conversions of one map.

    Parameters
    ----------
    by : ColumnMap
        The map.
    """

    def __init__(self, by: ColumnMap) -> None:
        self._by = by
        self._number = _number_pattern(by)
        self._signs = _beside(by.currency_signs)
        # A unit beside a length is read, and not dropped.
        self._units = _beside(by.units_in_cells)
        self._length_units = _beside(unit for unit in by.units_in_cells if folded(unit) not in _MM)
        self._words = {
            "category": _folded(by.categories),
            "weave": _folded(by.weaves),
            "kind": _folded(by.kinds),
            "download": dict.fromkeys(map(folded, by.yes), "yes")
            | dict.fromkeys(map(folded, by.no), "no"),
        }

    def converts(
        self, column: str, typed: frozenset[str] = frozenset()
    ) -> Callable[[str], str] | None:
        """Return what converts the texts of a column, or None where all stay as they are.

        It raises `Refused` for a text that would be read as something else than is written.

        Parameters
        ----------
        column : str
            The catalogue's.
        typed : frozenset of str
            The texts that the source has as numbers, and so with a point before decimals.
        """
        if column in self._words:
            words = self._words[column]
            return (lambda text: words.get(folded(text), text)) if words else None
        if column == "colour_kinds":
            kinds = self._words["kind"]
            return partial(_each, lambda kind: kinds.get(folded(kind), kind)) if kinds else None
        if column == "colours":
            return partial(_each, _with_sign) if self._by.bare_hex else None
        if column in ("needle_sizes", "colour_strands"):
            return partial(_each, partial(_without, self._units)) if self._units else None
        if column in _OPENINGS:
            return partial(self._opening, column, typed)
        if column in NUMERIC or column == LEFT:
            return partial(self._converted, column, typed)
        return None

    def _converted(self, column: str, typed: frozenset[str], text: str) -> str:
        """Return a number as a catalogue has it; what is no number stays as it is.

        Parameters
        ----------
        column, typed
            As `converts` has them.
        text : str
            A trimmed cell.

        Raises
        ------
        Refused
            If a catalogue would read the text as a number that the map does not mean.
        """
        if len(text) > LONGEST:
            return text
        bare, unit = self._bare(column, text)
        found = bare if text in typed and _PLAIN.fullmatch(bare) else self._plain(bare)
        if found is None:
            if self._by.thousands is None or not _PLAIN.fullmatch(text):
                return text
            # Without this finding it would be read as another number than the map means.
            raise Refused(Fault(catalogue_findings.NotAsMapped, text, self._meant))
        if column in WHOLE:
            # Some tills write every number with decimals: 5,00 pieces are 5.
            return (_ZEROS if self._by.decimal_comma else _FEW_ZEROS).sub("", found)
        if column in LENGTHS:
            return _in_unit(column, text, found, unit)
        if column == "quality" and self._by.quality_most is not None:
            with localcontext(prec=_PRECISION):
                scaled = Decimal(found) * 100 / self._by.quality_most
                return _digits(scaled.quantize(Decimal("0.01"), ROUND_HALF_UP))
        return found

    def split(self, columns: tuple[str, ...], text: str) -> list[str]:
        """Return the parts of a cell that holds several columns, each with its unit.

        Raises
        ------
        Refused
            If it has too few parts, or too many.
        """
        parts = [part.strip() for part in _PARTS.split(text)]
        if len(parts) != len(columns) or not all(parts):
            detail = f"{' and '.join(columns)} take {len(columns)} parts"
            raise Refused(Fault(catalogue_findings.UnequalParts, shortened(text), detail))
        units = {found[2].lower() for part in parts if (found := _WITH_UNIT.fullmatch(part))}
        if len(units) == 1:
            # In "30 x 45 cm" the unit is that of both.
            (unit,) = units
            parts = [part if _WITH_UNIT.fullmatch(part) else f"{part} {unit}" for part in parts]
        return parts

    def _bare(self, column: str, text: str) -> tuple[str, str]:
        """Return a cell without what stands beside its number, and the unit of a length."""
        if column in LENGTHS:
            unit = self._by.lengths.get(column, LENGTHS[column])
            if found := _WITH_UNIT.fullmatch(text):
                text, unit = found[1], found[2].lower()
            return _without(self._length_units, text), unit
        if column in _MONEY:
            return _without(self._signs, text), ""
        text = _without(self._units, text)
        if column == "quality":
            text = self._out_of(text)
            star = self._by.stars
            if star and star in text and not text.replace(star, "").strip(" ☆"):
                return str(text.count(star)), ""
        return text, ""

    def _out_of(self, text: str) -> str:
        """Return the first figure of a quality such as ``4/5``, if the second is the best."""
        found = _OUT_OF.fullmatch(text)
        most = self._plain(found[2].strip()) if found else None
        if found and most is not None and Decimal(most) == self._by.quality_most:
            return found[1].strip()
        return text

    def _plain(self, text: str) -> str | None:
        """Return a number in digits with an optional point, or None."""
        found = self._number.fullmatch(text)
        if found is None:
            return None
        whole = re.sub("[^0-9]", "", found["whole"])
        return f"{whole}.{found['part']}" if found["part"] else whole

    @property
    def _meant(self) -> str:
        """How the map says that numbers are written."""
        mark = "a comma" if self._by.decimal_comma else "a point"
        return f"the map says that decimals follow {mark}: correct the cell, or the map"

    def _opening(self, column: str, typed: frozenset[str], text: str) -> str:
        """Return the aperture of a frame; sides that are no numbers stay as they are."""
        sides = [side.strip() for side in _PARTS.split(text)]
        if len(sides) > 1 and all(sides):
            sides = self.split((column,) * len(sides), text)
        return "x".join(self._converted(column, typed, side) for side in sides)


def _number_pattern(by: ColumnMap) -> re.Pattern[str]:
    """Return how a map's numbers are written."""
    mark = "," if by.decimal_comma else r"\."
    # With a decimal comma a point can only stand between thousands.
    between = by.thousands or ("." if by.decimal_comma else "")
    groups = ""
    if between:
        signs = _SPACES if between in _SPACES else between
        groups = f"[0-9]{{1,3}}(?:[{re.escape(signs)}][0-9]{{3}})+|"
    return re.compile(rf"(?P<whole>{groups}[0-9]+)(?:{mark}(?P<part>[0-9]+))?")


def _beside(words: Iterable[str]) -> re.Pattern[str] | None:
    """Return the pattern of a number with one of some words before or behind it."""
    any_word = "|".join(re.escape(word.strip()) for word in sorted(words, key=len, reverse=True))
    if not any_word:
        return None
    return re.compile(
        rf"(?:{any_word})\s*(?P<before>[0-9].*)|(?P<behind>.*[0-9])\s*(?:{any_word})",
        re.IGNORECASE | re.DOTALL,
    )


def _without(beside: re.Pattern[str] | None, text: str) -> str:
    found = beside.fullmatch(text) if beside else None
    return (found["before"] or found["behind"]) if found else text


def _in_unit(column: str, text: str, number: str, unit: str) -> str:
    """Return a length in the unit of its column.

    Raises
    ------
    Refused
        If it has too many decimals there.
    """
    own = LENGTHS[column]
    if unit == own:
        return number
    with localcontext(prec=_PRECISION):
        length = Decimal(number) * _MM[unit] / _MM[own]
        if length != round(length, _MOST_DECIMALS):
            detail = f"{unit} are not exact in {column}: map the column to one in cm"
            raise Refused(Fault(catalogue_findings.TooManyDecimals, text, detail))
        return _digits(length)


def _each(convert: Callable[[str], str], cell: str) -> str:
    """Convert each entry of a list."""
    return ";".join(convert(part.strip()) for part in cell.split(";"))


def _with_sign(colour: str) -> str:
    return f"#{colour}" if _BARE_HEX.match(colour) else colour


def _folded(words: dict[str, str]) -> dict[str, str]:
    return {folded(theirs): ours.strip().lower() for theirs, ours in words.items()}


def _digits(number: Decimal) -> str:
    return format(number.normalize(), "f")
