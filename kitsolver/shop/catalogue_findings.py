"""The findings of a catalogue's rows and cells."""

from __future__ import annotations

from kitsolver.shop.findings import Finding

# A row as a whole.


class DuplicateSku(Finding):
    """Several rows have the same sku."""

    says = "Several rows have the sku {value}: {detail}."
    mend = "give each row a sku of its own"


class SizeMissing(Finding):
    """The row has no size in any unit."""

    says = "The row gives no size."
    mend = "fill {detail}"


class SizeIncomplete(Finding):
    """The row gives one side of its size and not the other."""

    says = "The row gives only half of its size."
    mend = "fill {detail}"


class SizeInTwoUnits(Finding):
    """The row gives its size in centimetres and in inches, or mixes the two."""

    says = "The row gives its size in two units."
    mend = "fill either {detail}"


class TotalsRow(Finding):
    """The row sums others up, and is no goods."""

    says = "The row is a row of totals: {value}."
    mend = 'write pass_over = {{ "{column}" = ["{value}"] }} in a map of columns, or take it out'


# A cell.


class BlankCell(Finding):
    """A cell that must be filled is blank."""

    says = "{column} is blank."
    mend = "fill the cell, or take the row out"


class ChartWithoutColours(Finding):
    """A chart lists no colours."""

    says = "The chart has no colours."
    mend = "list them as #rrggbb:stitches, parted by semicolons"


class CellTooLong(Finding):
    """A cell, or one entry of a list, is longer than any sensible one."""

    says = "{value} is too long: {detail}."
    mend = "shorten it, and check that no quote or comma is missing before it"


class ControlCharacter(Finding):
    """A line break, a tab or another control character stands inside a cell."""

    says = "{column} holds the control character {detail}."
    mend = "delete the character; it may not show, so type the cell anew"


class FormulaLike(Finding):
    """A spreadsheet would take the cell for a formula."""

    says = "A spreadsheet would take {value} for a formula."
    mend = "nothing need be done: in exported CSV it gets a leading '"
    warning = True


class NeitherYesNorNo(Finding):
    """A cell that says yes or no says something else."""

    says = "{value} is neither yes nor no."
    mend = "write yes or no, or leave it blank for no"


class UnknownWeave(Finding):
    """The weave is none of those that kitsolver knows."""

    says = "{value} is no known weave."
    mend = "{detail}"


class NotANumber(Finding):
    """The cell is not written as digits with an optional point."""

    says = "{value} is not a number."
    mend = "{detail}"


class NotAsMapped(Finding):
    """The number is not written as the map of columns says that numbers are."""

    says = "{value} is not written as the map of columns says."
    mend = "{detail}"


class UnequalParts(Finding):
    """A cell that the map splits has not one part for each column."""

    says = "{value} has too few parts or too many: {detail}."
    mend = "write the parts with x between them, or correct [split] of the map of columns"


class NegativeNumber(Finding):
    """The number is less than zero."""

    says = "{value} is negative."
    mend = "{column} must be {detail}"


class NotFinite(Finding):
    """The cell stands for no number or for an endless one."""

    says = "{value} is not a finite number."
    mend = "{column} must be {detail}"


class NotWhole(Finding):
    """The number has decimals where only a whole one makes sense."""

    says = "{value} is not a whole number."
    mend = "write it without a decimal point"


class TooManyDecimals(Finding):
    """The number is written with more decimals than it may have."""

    says = "{value} has too many decimals."
    mend = "{detail}"


class NumberTooSmall(Finding):
    """The number is below the least that makes sense."""

    says = "{value} is too small."
    mend = "it must be {detail}"


class NumberTooLarge(Finding):
    """The number is above the most that makes sense."""

    says = "{value} is too large."
    mend = "it must be {detail}"


class EmptyEntry(Finding):
    """A list has a semicolon too many."""

    says = "{value} has an empty entry."
    mend = "take out the semicolon before or after it"


class MalformedColour(Finding):
    """A colour is not written as #rrggbb."""

    says = "{value} is not a colour."
    mend = "write # and six hexadecimal digits, for example #7fc4c8"


class NeitherUnitNorLength(Finding):
    """A fabric is sold by the unit or off the roll, by its length."""

    says = "{value} is neither unit nor length."
    mend = "write length for fabric off the roll, and leave it blank for what is sold by the piece"


class RollWithHeight(Finding):
    """Fabric off the roll has a width, and is cut as long as it is asked for."""

    says = "The row is sold by length, and gives a height."
    mend = "leave the height blank, or write sold_by = unit"


class MalformedOpening(Finding):
    """An aperture is written as its width and height, or as one number."""

    says = "{value} is no opening."
    mend = "write 10x15, or 12 for one that is square or round"


class TwoOpenings(Finding):
    """An aperture is given in centimetres and in inches at once."""

    says = "The row gives its opening in two units."
    mend = "keep one of opening_cm and opening_in, and leave the other blank"


class NotInHalves(Finding):
    """Stitches are whole, or a half more: quarter and half crosses are summed up."""

    says = "The stitches of {value} are neither whole nor a half more."
    mend = "sum quarter and half crosses up, to halves"


class UnequalLists(Finding):
    """A list of a chart's kinds or strands has not one entry for each of its colours."""

    says = "{column} has {detail}."
    mend = "write one entry for each colour, in the order of colours, or leave it blank"


class MalformedChartColour(Finding):
    """A colour of a chart is not written as #rrggbb:stitches."""

    says = "{value} is not a colour with its stitches."
    mend = "write the colour, a colon and a whole number, for example #7fc4c8:415"


class RepeatedChartColour(Finding):
    """A chart lists the same colour more than once."""

    says = "The chart lists {value} more than once."
    mend = "add up its stitches in one entry"


class SeveralFabricColours(Finding):
    """A fabric lists more than its one colour."""

    says = "{value} is more than one colour, and a fabric has one."
    mend = "keep one colour, and list other fabrics under skus of their own"


class GtinMalformed(Finding):
    """The GTIN is not 8, 12, 13 or 14 digits."""

    says = "{value} is no GTIN."
    mend = "a GTIN is 8, 12, 13 or 14 digits; a spreadsheet may have dropped its leading zeros"


class GtinCheckDigit(Finding):
    """The last digit of the GTIN does not fit the others."""

    says = "The check digit of the GTIN {value} is wrong."
    mend = "compare it with the label: after these digits the last would be {detail}"
