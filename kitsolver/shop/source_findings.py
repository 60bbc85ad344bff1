"""The findings of sources: files, workbooks, databases, and maps of columns."""

from __future__ import annotations

from kitsolver.shop.findings import Finding

# Any source.


class PackageMissing(Finding):
    """What was asked for needs a package that is not installed."""

    says = "This needs a package that is not installed: {value}."
    mend = "pip install {detail}"


class UnreadableCell(Finding):
    """A cell of a workbook, a Parquet file or a database holds nothing that can be read."""

    says = "The cell cannot be read: {detail}."
    mend = "write its value anew, as text or as a number"


class ManyRows(Finding):
    """A source has more rows than are read."""

    says = "The source has more than {value} rows, and no more are read."
    mend = "to read more, write {detail} in [file] of a map of columns (--columns)"


class ManyColumns(Finding):
    """A source has more columns than are read."""

    says = "The source has more than {value} columns, and no more are read."
    mend = "to read more, write {detail} in [file] of a map of columns (--columns)"


class LongCell(Finding):
    """A cell of a source has more characters than are read."""

    says = "A cell has more than {value} characters, and no more are read."
    mend = (
        "look for a double quote that is never closed; to read more, write {detail} in [file] of "
        "a map of columns (--columns)"
    )


class LongRow(Finding):
    """A row of a CSV file has more characters than are read."""

    says = "The row has more than {value} characters, and no more are read."
    mend = (
        "look for line breaks that are missing; to read more, write {detail} in [file] of a map "
        "of columns (--columns)"
    )


class MuchData(Finding):
    """A source holds more bytes, uncompressed, than are read."""

    says = "The source holds more than {value} bytes, and no more are read."
    mend = "to read more, write {detail} in [file] of a map of columns (--columns)"


class LongReading(Finding):
    """A workbook, a Parquet file or a database takes longer to be read than is waited."""

    says = "Reading took more than {value} seconds, and was given up."
    mend = (
        "save the goods as CSV, which is read faster; to wait longer, write {detail} in [file] "
        "of a map of columns (--columns)"
    )


# Workbooks and Parquet files.


class UnreadableWorkbook(Finding):
    """A file that ends in .xlsx is no workbook that can be read."""

    says = "The workbook cannot be read: {detail}."
    mend = "save it again as .xlsx, without a password"


class UnknownSheet(Finding):
    """A workbook has no sheet of the name that follows its path."""

    says = "The workbook has no such sheet."
    mend = "{detail}"


class UnreadableParquet(Finding):
    """A file that ends in .parquet is none that can be read."""

    says = "The Parquet file cannot be read: {detail}."
    mend = "write it again"


# Databases.


class NotAnAddress(Finding):
    """A source looks like the address of a database, and is none."""

    says = "This is no address of a database."
    mend = (
        "for example sqlite:///shop.db#goods, with signs such as @ or # in a password as %40 or %23"
    )


class NothingAsked(Finding):
    """The address of a database names neither table nor query."""

    says = "It is not said what the database is asked for."
    mend = "name a table or a query behind a #, for example sqlite:///shop.db#goods"


class NotOneSelect(Finding):
    """What a database is asked for is neither a table's name nor a single SELECT."""

    says = "A database is asked for a table or by one SELECT, and this is neither: {detail}."
    mend = "name a table, or write for example SELECT * FROM goods"


class NotReadOnly(Finding):
    """A database is of a kind that cannot be opened for reading only."""

    says = "Databases of the kind {value} cannot be opened for reading only."
    mend = "save the goods as CSV, or name a database of one of these kinds: {detail}"


class UnknownTable(Finding):
    """A database has no table of that name."""

    says = "The database has no such table."
    mend = "check its spelling, or write a query such as SELECT * FROM goods"


class NoAnswer(Finding):
    """A database does not answer, or not to what it is asked."""

    says = "The database does not answer: {detail}."
    mend = "check its address, whether it runs, and what is asked"


# Maps of columns.


class BadMap(Finding):
    """A map of columns cannot be used."""

    says = "The map of columns {detail}."


class UnknownMapKey(Finding):
    """A map of columns has a key that no map has."""

    says = "No map of columns has this key."
    mend = "{detail}"


class UnknownOwnColumn(Finding):
    """A map of columns names a column that no catalogue has, or that holds no length."""

    says = "No catalogue has this column, or it takes no unit."
    mend = "{detail}"


class MappedColumnMissing(Finding):
    """A map of columns names a header that the source does not have."""

    says = "The source has no such column, and {value} is mapped to it."
    mend = "{detail}"
