"""The findings of catalogues that are no CSV."""

from __future__ import annotations

from kitsolver.shop.findings import Finding


class UnreadableWorkbook(Finding):
    """A file that ends in .xlsx is no workbook that can be read."""

    says = "The workbook cannot be read: {detail}."
    mend = "save it again as .xlsx, without a password"


class UnknownSheet(Finding):
    """A workbook has no sheet of the name that follows its path."""

    says = "The workbook has no such sheet."
    mend = "{detail}"


class UnreadableParquet(Finding):
    """A file that ends in .parquet is none."""

    says = "The Parquet file cannot be read: {detail}."


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


class UnknownTable(Finding):
    """A database has no table of that name."""

    says = "The database has no such table."
    mend = "check its spelling, or write a query such as SELECT * FROM goods"


class NoAnswer(Finding):
    """A database does not answer, or not to what it is asked."""

    says = "The database does not answer: {detail}."
    mend = "check its address, whether it runs, and what is asked"


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
