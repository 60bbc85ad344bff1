"""The findings of a source as a whole: the file, its text, its header, the width of its rows."""

from __future__ import annotations

from kitsolver.shop.findings import Finding


class FileMissing(Finding):
    """There is no file at the path that was given."""

    says = "There is no such file."
    mend = "check the path's spelling"


class FileIsFolder(Finding):
    """The path leads to a folder where a file is wanted."""

    says = "This is a folder, not a file."
    mend = "name the CSV file inside it"


class FileUnreadable(Finding):
    """The file is there but the system does not let it be read."""

    says = "The file cannot be read: {detail}."
    mend = "check that you may read it and that it lies on a working disk"


class EmptyFile(Finding):
    """The file holds nothing but blank lines, or nothing at all."""

    says = "The file is empty."
    mend = "the first row must name the columns, and every further row is one sku"


class NoRows(Finding):
    """The file names its columns but has no row beneath them."""

    says = "The file has a header but no rows."
    mend = "add one row a sku beneath the header"


class NotUtf8(Finding):
    """A byte of the file does not belong to any UTF-8 text."""

    says = "The byte {value} is not UTF-8."
    mend = "save the file as CSV UTF-8, or name its encoding in [file] of the map of columns"


class UndecodableByte(Finding):
    """A byte of the file is no text in the encoding that the file has, or that its map names."""

    says = "The byte {value} is no text in {detail}."
    mend = "name the right encoding in [file] of a map of columns, or save the file as CSV UTF-8"


class AmbiguousEncoding(Finding):
    """Two encodings may be meant, and they give different text."""

    says = "The text {value} is read as {detail}."
    mend = 'name the right encoding in [file] of a map of columns, for example encoding = "utf-8"'
    warning = True


class NulByte(Finding):
    """The file holds a zero byte, which no text does."""

    says = "The row holds a NUL byte."
    mend = "the file may be damaged or no CSV; save it again as CSV UTF-8"


class WrongDelimiter(Finding):
    """The header is parted by something other than it has to be, or than its map says."""

    says = "The cells are parted by {value}, not by {detail}."
    mend = "save the file as CSV with {detail} between the cells, or correct its map of columns"


class HeaderRowMissing(Finding):
    """The map names a row for the header that the file does not have, or that is blank."""

    says = "Row {value} is blank or does not exist, and the map names it for the header."
    mend = "correct header_row in [file] of the map of columns"


class ReadAs(Finding):
    """How the file is written was found out, and is not as kitsolver itself writes files."""

    says = "Read {detail}."
    mend = "where this is wrong, write what is right in [file] of a map of columns"
    warning = True
    note = True


class UnclosedQuote(Finding):
    """A quoted cell begins in this row and is still open at the end of the file."""

    says = "A double quote opened in this row is never closed."
    mend = "close the cell with a double quote; inside a quoted cell write a double quote twice"


class TextAfterQuote(Finding):
    """Text follows the closing quote of a cell in this row."""

    says = "Text stands between a closing double quote and the next delimiter."
    mend = "inside a quoted cell write a double quote twice"


class MissingColumn(Finding):
    """A column that every catalogue must have is not in the header."""

    says = "The column {column} is missing."
    mend = "{detail}"


class NeededColumnMissing(Finding):
    """A column that the rows of some category need is not in the header."""

    says = "The column {column} is missing, and {detail}."
    mend = "add the column, or take these rows out"


class DuplicateColumn(Finding):
    """Two columns have the same name."""

    says = "More than one column is named {value}: {detail}."
    mend = "keep one of them, or rename the others"


class BlankColumnName(Finding):
    """A column has no name."""

    says = "{detail} has no name."
    mend = "name the column in the header, or take it out"


class NearlyKnownColumn(Finding):
    """A column would be read if its name were written with other capitals or spacing."""

    says = "The column {value} is shown but not read."
    mend = "to have it read, rename it to {detail}"
    warning = True


class DecimalsUnchecked(Finding):
    """No currency is known, so the decimals of prices are not held against it."""

    says = "The prices' decimals are unchecked, because no currency is known."
    mend = "name the currency"
    warning = True


class TooFewCells(Finding):
    """The row has fewer cells than the header."""

    says = "The row has {detail}."
    mend = "add the delimiters of its blank cells"


class TooManyCells(Finding):
    """The row has more cells than the header."""

    says = "The row has {detail}."
    mend = "put a cell that holds a delimiter in double quotes"
