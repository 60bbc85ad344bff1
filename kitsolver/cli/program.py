"""The program ``kitsolver`` with all its commands."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.batch import batch
from kitsolver.cli.check import check
from kitsolver.cli.ladder import ladder
from kitsolver.cli.others import others
from kitsolver.cli.page import page
from kitsolver.cli.pick import pick
from kitsolver.cli.range import range_
from kitsolver.cli.recheck import recheck
from kitsolver.cli.schema import schema
from kitsolver.cli.usage_errors import MaskingGroup
from kitsolver.cli.why import why

app = typer.Typer(
    cls=MaskingGroup,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    # Help without colours: importing rich takes as long as all the rest.
    rich_markup_mode=None,
    help="The provably best counted cross-stitch kit under a cap.",
)
for command in (check, pick, ladder, others, why, recheck, batch, page, schema):
    app.command()(command)
app.command("range")(range_)


@app.callback(invoke_without_command=True)
def _program(
    version: Annotated[bool, typer.Option("--version", help="Show the version.")] = False,
) -> None:
    if version:
        import kitsolver

        typer.echo(f"kitsolver {kitsolver.__version__}")
        raise typer.Exit
