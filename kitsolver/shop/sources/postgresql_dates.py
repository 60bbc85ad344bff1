"""Dates of PostgreSQL that Python has none for, such as ``infinity``: they are read as text."""

from __future__ import annotations

from typing import Any


def read_endless_dates(connection: Any) -> None:
    """Have a connection give dates and times that Python cannot hold as PostgreSQL writes them.

    Without it one such cell ends the reading of the whole table.

    Parameters
    ----------
    connection : sqlalchemy.Connection
        Nothing is done if its driver is another one than psycopg.
    """
    driver = connection.connection.driver_connection
    if type(driver).__module__.partition(".")[0] != "psycopg":
        return
    from psycopg import DataError
    from psycopg.types import datetime

    def or_text(loader: Any) -> Any:
        class OrText(loader):  # type: ignore[misc] # its base is one of psycopg's classes
            def load(self, data: Any) -> Any:
                try:
                    return super().load(data)
                except DataError:
                    return bytes(data).decode()

        return OrText

    loaders = {
        "date": datetime.DateLoader,
        "time": datetime.TimeLoader,
        "timetz": datetime.TimetzLoader,
        "timestamp": datetime.TimestampLoader,
        "timestamptz": datetime.TimestamptzLoader,
        "interval": datetime.IntervalLoader,
    }
    for kind, loader in loaders.items():
        driver.adapters.register_loader(kind, or_text(loader))
