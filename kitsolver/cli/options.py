"""Arguments and options that several commands have, and the names that some of them take."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from kitsolver.solve.engine import Engine as Engine
from kitsolver.solve.engine import Solver as Solver


class Reader(StrEnum):
    """Whom a sheet is for; named here so that ``--help`` imports nothing of the sheet."""

    CUSTOMER = "customer"
    CARD = "card"
    SHOP = "shop"
    CLASS = "class"
    OFFICE = "office"


CatalogueFile = Annotated[
    str,
    typer.Argument(
        metavar="CATALOGUE", help="The shop's CSV, .xlsx or .parquet file, or a database."
    ),
]
BriefFile = Annotated[str, typer.Argument(metavar="BRIEF", help="What is asked, a TOML file.")]
JsonFile = Annotated[
    str | None, typer.Option("--json", metavar="F", help="Write the result as JSON; - is stdout.")
]
Columns = Annotated[
    str | None,
    typer.Option(
        "--columns", metavar="MAP", help="How the shop's headers and values become ours (TOML)."
    ),
]
Reads = Annotated[
    list[str] | None,
    typer.Option(
        "--read",
        metavar="KEY=VALUE",
        help="How the file is written, or how much of it is read: any key of [file] in a map.",
    ),
]
SkipBadRows = Annotated[
    bool, typer.Option("--skip-bad-rows", help="Go on without the rows that have findings.")
]
Seconds = Annotated[
    float | None, typer.Option(min=0.0, help="Stop after so long.", show_default=False)
]
Home = Annotated[
    str | None,
    typer.Option("--home", metavar="SOURCE", help="The list of what is at home."),
]
HomeColumns = Annotated[
    str | None,
    typer.Option("--home-columns", metavar="MAP", help="The map of the home list (TOML)."),
]
CapText = Annotated[
    str | None, typer.Option(metavar="X", help="Replace the brief's cap; for the whole order.")
]
Sets = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="KEY=VALUE", help="Replace any key of the brief."),
]
