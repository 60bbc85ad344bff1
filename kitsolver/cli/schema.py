"""``kitsolver schema``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from kitsolver.cli.command_errors import command_errors
from kitsolver.cli.results import write_json


class What(StrEnum):
    """What there is a schema of; named here so that ``--help`` imports none of them."""

    CATALOGUE = "catalogue"
    BRIEF = "brief"
    MAP = "map"
    KIT = "kit"
    LADDER = "ladder"
    OTHERS = "others"
    WHY = "why"
    RECHECK = "recheck"
    RANGE = "range"
    COPIES = "copies"
    BATCH = "batch"
    FINDINGS = "findings"
    DRAFT = "draft"


def schema(
    what: Annotated[
        What | None, typer.Argument(metavar="[WHAT]", help="One of them; else all, by name.")
    ] = None,
    currency: Annotated[
        str | None, typer.Option(metavar="CODE", help="That the catalogue's prices are in.")
    ] = None,
    json: Annotated[
        str, typer.Option("--json", metavar="F", help="Where it goes; - is standard output.")
    ] = "-",
) -> None:
    """Write what catalogues, briefs and results look like, for programs."""
    with command_errors():
        from kitsolver.brief.brief_findings import UnknownCurrency
        from kitsolver.shop.findings import BadInput
        from kitsolver.show.schema.schemas import NAMES, schema_of

        try:
            every = {name: schema_of(name, currency) for name in ([what] if what else NAMES)}
        except KeyError:
            raise BadInput([UnknownCurrency(file="--currency", value=currency)]) from None
        write_json(json, every[what] if what else every)
