"""What a single cell may hold: each reader takes a trimmed cell and returns its value.

A reader is given cells that are not blank, and each distinct one only once. It returns a whole
number or a normalised text, or raises `Refused` with everything that is wrong with the cell.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from stdnum import ean

from kitsolver.shop import catalogue_findings
from kitsolver.shop.findings import Finding, nearest

Reader = Callable[[str], int | str]

# Longer than any name or number that is not a slip; lists as a whole may be longer.
LONGEST = 120

GTIN_DIGITS = (8, 12, 13, 14)

# How a cell begins that a spreadsheet takes for a formula (OWASP, formula injection in CSV).
FORMULA_LEADS = ("=", "+", "-", "@")

WEAVES = ("aida", "evenweave", "linen")

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_CHART_COLOUR = re.compile(r"(#[0-9a-fA-F]{6}):([0-9]+)(\.[0-9]+)?(?::([0-9]+(?:\.[0-9]+)?))?")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_NEGATIVE = re.compile(r"[-\u2212] ?[0-9]*[.,]?[0-9]+")
_NOT_FINITE = re.compile(r"[-+]?(?:nan|inf|infinity)", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]+)")
_SHADE = re.compile(r"#[0-9a-f]{6}")
_PLAIN_CHART = re.compile(r"(?:(?:^|;)#[0-9a-f]{6}:[1-9][0-9]{0,8})+")
_MOST_STITCHES = 1_000_000_000
_BACKSTITCH_DECIMALS = 2


class Fault(NamedTuple):
    """One thing wrong with a cell: a finding that does not know its place yet."""

    kind: type[Finding]
    value: str
    detail: str = ""


class Refused(Exception):
    """A cell cannot be used; carries every fault of it."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__(faults)


def shortened(cell: str) -> str:
    """Return `cell` as a finding shows it: cut, with an ellipsis, if very long."""
    return cell if len(cell) <= LONGEST else f"{cell[: LONGEST - 1]}…"


def _too_long(cell: str) -> Fault:
    detail = f"{len(cell):,} characters, and {LONGEST} are the most"
    return Fault(catalogue_findings.CellTooLong, shortened(cell), detail)


@dataclass(frozen=True)
class Number:
    """Reads digits with an optional point into a whole number of fixed units.

    Parameters
    ----------
    most : int
        The greatest number that may be written.
    held : int
        How many of the fixed units make one; a multiple of 10 to the power of `decimals`.
    decimals : int
        How many digits may be written after the point.
    positive : bool
        Whether zero is too small.
    in_currency : str
        The currency that the decimals come from, named in the finding.
    """

    most: int
    held: int = 1
    decimals: int = 0
    positive: bool = True
    in_currency: str = ""

    def __call__(self, cell: str) -> int:
        """Return the number in fixed units.

        Raises
        ------
        Refused
            If `cell` is no such number, or out of bounds.
        """
        if len(cell) > LONGEST:
            raise Refused(_too_long(cell))
        if not _NUMBER.fullmatch(cell):
            raise Refused(self._misread(cell))
        whole, _, part = cell.partition(".")
        if len(part) > self.decimals:
            raise Refused(self._too_fine(cell))
        step: int = self.held // 10 ** len(part)
        units = int(whole + part) * step
        if units == 0 and self.positive:
            raise Refused(Fault(catalogue_findings.NumberTooSmall, cell, self._least))
        if units > self.most * self.held:
            raise Refused(Fault(catalogue_findings.NumberTooLarge, cell, f"at most {self.most}"))
        return units

    @property
    def _least(self) -> str:
        if not self.positive:
            return "0 or more"
        return "at least 1" if self.held == 1 else "more than 0"

    def _too_fine(self, cell: str) -> Fault:
        if self.held == 1:
            return Fault(catalogue_findings.NotWhole, cell)
        allowed = self.decimals or "no"
        if self.in_currency:
            return Fault(
                catalogue_findings.TooManyDecimals,
                cell,
                f"{self.in_currency} has {allowed} decimals",
            )
        return Fault(catalogue_findings.TooManyDecimals, cell, f"write at most {allowed} decimals")

    def _misread(self, cell: str) -> Fault:
        if _NOT_FINITE.fullmatch(cell):
            return Fault(catalogue_findings.NotFinite, cell, self._least)
        if _NEGATIVE.fullmatch(cell):
            return Fault(catalogue_findings.NegativeNumber, cell, self._least)
        comma = _DECIMAL_COMMA.fullmatch(cell)
        if comma and len(comma[2]) != 3:
            return Fault(
                catalogue_findings.NotANumber, cell, f"write it with a point: {comma[1]}.{comma[2]}"
            )
        if "," in cell:
            mend = "write decimals after a point, and nothing between thousands"
            return Fault(catalogue_findings.NotANumber, cell, mend)
        return Fault(
            catalogue_findings.NotANumber,
            cell,
            "write digits with an optional point and nothing else",
        )


def line(cell: str) -> str:
    """Read a short text without control characters."""
    faults = []
    if len(cell) > LONGEST:
        faults.append(_too_long(cell))
    if control := _CONTROL.search(cell):
        detail = f"U+{ord(control[0]):04X}"
        faults.append(Fault(catalogue_findings.ControlCharacter, shortened(cell), detail))
    if faults:
        raise Refused(*faults)
    return cell


def lower_line(cell: str) -> str:
    """Read a short text in lower case."""
    line(cell)
    if cell != cell.lower():
        raise Refused(Fault(catalogue_findings.NotLowerCase, cell, cell.lower()))
    return cell


def weave(cell: str) -> str:
    """Read a weave."""
    lower_line(cell)
    if cell not in WEAVES:
        detail = nearest(cell, WEAVES) or f"write one of {', '.join(WEAVES)}"
        raise Refused(Fault(catalogue_findings.UnknownWeave, cell, detail))
    return cell


def yes_or_no(cell: str) -> int:
    """Read yes or no."""
    if cell not in ("yes", "no"):
        raise Refused(Fault(catalogue_findings.NeitherYesNorNo, shortened(cell)))
    return int(cell == "yes")


@dataclass(frozen=True)
class Aperture:
    """Reads an aperture: ``width x height``, or one number for a square or a round one.

    Parameters
    ----------
    side : Number
        Reads each side, in length units.
    """

    side: Number

    def __call__(self, cell: str) -> str:
        """Return both sides in length units, parted by ``;``.

        Raises
        ------
        Refused
            If `cell` is no such size.
        """
        sides = [side.strip() for side in cell.replace("×", "x").split("x")]
        if len(sides) > 2:
            raise Refused(Fault(catalogue_findings.MalformedOpening, shortened(cell)))
        read = [self.side(side) for side in sides]
        return f"{read[0]};{read[-1]}"


def sold_by(cell: str) -> int:
    """Read by what a fabric is sold: 1 for its length, 0 for the unit."""
    if cell not in ("unit", "length"):
        raise Refused(Fault(catalogue_findings.NeitherUnitNorLength, shortened(cell)))
    return int(cell == "length")


def words(cell: str) -> str:
    """Read words parted by semicolons, each of them short."""
    if faults := [_too_long(word) for word in _parts(cell) if len(word) > LONGEST]:
        raise Refused(*faults)
    return cell


def gtin(cell: str) -> str:
    """Read a GTIN; its check digit is that of the GS1 General Specifications, 7.9.1."""
    if len(cell) > LONGEST:
        raise Refused(_too_long(cell))
    if not (cell.isascii() and cell.isdigit() and len(cell) in GTIN_DIGITS):
        raise Refused(Fault(catalogue_findings.GtinMalformed, cell))
    right = ean.calc_check_digit(cell[:-1])
    if cell[-1] != right:
        raise Refused(Fault(catalogue_findings.GtinCheckDigit, cell, right))
    return cell


def colour(cell: str) -> str:
    """Read one ``#rrggbb``; return it in lower case."""
    if not _COLOUR.fullmatch(cell):
        raise Refused(Fault(catalogue_findings.MalformedColour, shortened(cell)))
    return cell.lower()


def fabric_colour(cell: str) -> str:
    """Read the one colour of a fabric."""
    if ";" in cell:
        raise Refused(Fault(catalogue_findings.SeveralFabricColours, shortened(cell)))
    return colour(cell)


def chart_colour(cell: str) -> str:
    """Read one ``#rrggbb:stitches``, perhaps with ``:backstitch_cm`` behind.

    It is returned in lower case, without leading zeros. Of a colour that has backstitch there may
    be no stitches.
    """
    found = _CHART_COLOUR.fullmatch(cell)
    if not found:
        raise Refused(Fault(catalogue_findings.MalformedChartColour, cell))
    part, lines = (found[3] or "").rstrip("0").rstrip("."), found[4]
    if part not in ("", ".5"):
        raise Refused(Fault(catalogue_findings.NotInHalves, cell))
    stitches, backstitch = f"{int(found[2])}{part}", _backstitch(cell, lines)
    if float(stitches) < 1 and not (backstitch and stitches == "0"):
        raise Refused(Fault(catalogue_findings.NumberTooSmall, cell, "at least 1 stitch"))
    if float(stitches) > _MOST_STITCHES:
        raise Refused(
            Fault(catalogue_findings.NumberTooLarge, cell, f"at most {_MOST_STITCHES} stitches")
        )
    return f"{found[1].lower()}:{stitches}{backstitch}"


def _backstitch(cell: str, length: str | None) -> str:
    """Return the third figure of a chart colour as it is kept; empty for none."""
    if length is None:
        return ""
    whole, _, part = length.partition(".")
    if len(part) > _BACKSTITCH_DECIMALS:
        detail = f"write at most {_BACKSTITCH_DECIMALS} decimals"
        raise Refused(Fault(catalogue_findings.TooManyDecimals, cell, detail))
    if int(whole) > _MOST_STITCHES:
        raise Refused(
            Fault(catalogue_findings.NumberTooLarge, cell, f"at most {_MOST_STITCHES} cm")
        )
    return f":{length}" if int(whole + part) else ""


def listed(entry: Reader) -> Reader:
    """Return a reader of entries parted by semicolons, each of them read by `entry`."""

    def read(cell: str) -> str:
        values, faults = [], []
        parts = _parts(cell)
        if "" in parts:
            faults.append(Fault(catalogue_findings.EmptyEntry, shortened(cell)))
        for part in filter(None, parts):
            if len(part) > LONGEST:
                faults.append(_too_long(part))
                continue
            try:
                values.append(str(entry(part)))
            except Refused as refused:
                faults += refused.faults
        if faults:
            raise Refused(*faults)
        return ";".join(values)

    return read


def chart_colours(cell: str) -> str:
    """Read the colours of a chart, none of them twice."""
    # Most charts are as they should be, and some are long: that is seen at once.
    if _PLAIN_CHART.fullmatch(cell) and len(set(_SHADE.findall(cell))) == 1 + cell.count(";"):
        return cell
    read = str(listed(chart_colour)(cell))
    colours = [entry.partition(":")[0] for entry in read.split(";")]
    if len(set(colours)) < len(colours):
        repeated = (name for name in dict.fromkeys(colours) if colours.count(name) > 1)
        raise Refused(*(Fault(catalogue_findings.RepeatedChartColour, name) for name in repeated))
    return read


def _parts(cell: str) -> list[str]:
    return [part.strip() for part in cell.split(";")]
