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
    mend = "to read more, {detail}"


class ManyColumns(Finding):
    """A source has more columns than are read."""

    says = "The source has more than {value} columns, and no more are read."
    mend = "to read more, {detail}"


class LongCell(Finding):
    """A cell of a source has more characters than are read."""

    says = "A cell has more than {value} characters, and no more are read."
    mend = "look for a double quote that is never closed; to read more, {detail}"


class LongRow(Finding):
    """A row of a CSV file has more characters than are read."""

    says = "The row has more than {value} characters, and no more are read."
    mend = "look for line breaks that are missing; to read more, {detail}"


class MuchData(Finding):
    """A source holds more bytes, uncompressed, than are read."""

    says = "The source holds more than {value} bytes, and no more are read."
    mend = "to read more, {detail}"


class LongReading(Finding):
    """Reading a workbook, a Parquet file or a database takes longer than the time allowed."""

    says = "Reading took more than {value} seconds, and was given up."
    mend = "save the goods as CSV, which is read faster; to wait longer, {detail}"


# Workbooks and Parquet files.


class UnreadableWorkbook(Finding):
    """A file is a workbook by its first bytes, and none that can be read."""

    says = "The workbook cannot be read: {detail}."
    mend = "save it again as .xlsx, without a password"


class NoWorkbook(Finding):
    """A file is a zip archive, and no workbook."""

    says = "This is a zip archive, and no workbook."
    mend = "unpack it, and name the file inside"


class UnknownSheet(Finding):
    """A file has no sheet of the name that follows its path, or that its map names."""

    says = "The file has no sheet {value}."
    mend = "{detail}"


class DatabaseFile(Finding):
    """A file is an SQLite database, and is read by its address."""

    says = "This is a database, of which a table must be named."
    mend = "write its address, for example sqlite:///shop.db#goods"


class WebPage(Finding):
    """A file is a web page, as some tills write under the name of a workbook."""

    says = "This is a web page, and no table that can be read."
    mend = "open it in a spreadsheet, and save it as .xlsx or CSV"


class UnreadableParquet(Finding):
    """A file is a Parquet file by its first bytes, and none that can be read."""

    says = "The Parquet file cannot be read: {detail}."
    mend = "write it again"


class UnreadableFrame(Finding):
    """A table in memory cannot be read by the dataframe interchange protocol."""

    says = "The table cannot be read: {detail}."
    mend = "hand in a pandas DataFrame"


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
    """A database does not answer, or refuses the question."""

    says = "The database does not answer: {detail}."
    mend = "check its address, whether it runs, and what is asked"


# Maps of columns.


class UnreadableMap(Finding):
    """A map of columns cannot be read."""

    says = "The map of columns {detail}."
    mend = "check its path, and that it is TOML in UTF-8"


class BadMap(Finding):
    """A key of a map of columns has a value that it cannot have."""

    says = "{value} is no value for {column} in a map of columns."
    mend = "{detail}"


class UnknownMapKey(Finding):
    """A map of columns has a key that no map has."""

    says = "No map of columns has this key."
    mend = "{detail}"


class UnknownOwnColumn(Finding):
    """A map of columns names a column that no catalogue has, or that is not of the right kind."""

    says = "No catalogue has the column {value}, or it cannot stand here."
    mend = "{detail}"


class MappedColumnMissing(Finding):
    """A map of columns names a header that the source does not have."""

    says = "The source has no such column, and {value} is mapped to it."
    mend = "{detail}"
