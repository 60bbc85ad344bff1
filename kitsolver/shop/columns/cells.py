"""Readers of single cells: each takes a trimmed cell that is not blank and returns its value.

The value is a whole number or a normalised text. A reader raises `Refused` with everything that
is wrong with the cell. Each distinct text of a column is read only once.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from kitsolver.shop import catalogue_findings
from kitsolver.shop.cell_faults import LONGEST, Fault, Refused, shortened, too_long
from kitsolver.shop.columns.number_cells import Number
from kitsolver.shop.findings import nearest

Reader = Callable[[str], int | str]

GTIN_DIGITS = (8, 12, 13, 14)

# How a cell begins that a spreadsheet takes for a formula (OWASP, formula injection in CSV).
FORMULA_LEADS = ("=", "+", "-", "@")

WEAVES = ("aida", "evenweave", "linen")

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_CHART_COLOUR = re.compile(r"(#[0-9a-fA-F]{6}):([0-9]+)(\.[0-9]+)?(?::([0-9]+(?:\.[0-9]+)?))?")
_SHADE = re.compile(r"#[0-9a-f]{6}")
_PLAIN_CHART = re.compile(r"(?:(?:^|;)#[0-9a-f]{6}:[1-9][0-9]{0,8})+")
_MOST_STITCHES = 1_000_000_000
_BACKSTITCH_DECIMALS = 2


def line(cell: str) -> str:
    """Read a short text without control characters."""
    faults = []
    if len(cell) > LONGEST:
        faults.append(too_long(cell))
    if control := _CONTROL.search(cell):
        detail = f"U+{ord(control[0]):04X}"
        faults.append(Fault(catalogue_findings.ControlCharacter, shortened(cell), detail))
    if faults:
        raise Refused(*faults)
    return cell


def lower_line(cell: str) -> str:
    """Read a short text, in any case, into lower case."""
    return line(cell).lower()


def weave(cell: str) -> str:
    """Read a weave."""
    found = lower_line(cell)
    if found not in WEAVES:
        detail = nearest(found, WEAVES) or f"write one of {', '.join(WEAVES)}"
        raise Refused(Fault(catalogue_findings.UnknownWeave, cell, detail))
    return found


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
    """Read whether a fabric is sold by its length (1) or by the unit (0)."""
    if cell not in ("unit", "length"):
        raise Refused(Fault(catalogue_findings.NeitherUnitNorLength, shortened(cell)))
    return int(cell == "length")


def words(cell: str) -> str:
    """Read words parted by semicolons, each of them short."""
    if faults := [too_long(word) for word in _parts(cell) if len(word) > LONGEST]:
        raise Refused(*faults)
    return cell


def gtin(cell: str) -> str:
    """Read a GTIN; its check digit is that of the GS1 General Specifications, 7.9.1."""
    if len(cell) > LONGEST:
        raise Refused(too_long(cell))
    if not (cell.isascii() and cell.isdigit() and len(cell) in GTIN_DIGITS):
        raise Refused(Fault(catalogue_findings.GtinMalformed, cell))
    # Few catalogues have such numbers, and the package takes a while to import.
    from stdnum import ean

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

    It is returned in lower case, without leading zeros. A colour with backstitch may have 0
    stitches.
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
    """Return the third figure of a chart colour as it is kept; empty if there is none."""
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
                faults.append(too_long(part))
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
    # Most charts are right as they stand, and one search tells so, however long they are.
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
