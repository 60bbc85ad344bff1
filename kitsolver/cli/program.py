"""The program ``kitsolver`` with all its commands."""

from __future__ import annotations

from importlib import import_module
from typing import Annotated, Any

import typer

from kitsolver.cli.usage_errors import MaskingGroup

# Every command with the first sentence of its help. A command is imported when it is run or asked
# for its own help: building all of them takes as long as importing typer.
COMMANDS = {
    "check": "Show every finding in a catalogue.",
    "pick": "Pick the best kit under the cap.",
    "ladder": "Show every rung between two caps.",
    "others": "Show different kits that come close to the best.",
    "why": "Say why there is no kit, or why not with SKU.",
    "recheck": "Say whether a saved kit is still good today.",
    "batch": "Pick the best kit for each of many briefs.",
    "page": "Show the same on a local web page, for this machine only.",
    "schema": "Write what catalogues, briefs and results look like, for programs.",
    "range": "Make several kits from one stock, none taking what another needs.",
}
# Help without colours: importing rich takes as long as all the rest.
_PLAIN: dict[str, Any] = {
    "add_completion": False,
    "pretty_exceptions_enable": False,
    "rich_markup_mode": None,
}


class _Commands(dict[str, Any]):
    """The commands by name, each built when it is asked for."""

    def __init__(self) -> None:
        super().__init__(dict.fromkeys(COMMANDS))

    def get(self, name: str, default: Any = None) -> Any:
        """Return a command; `default` if there is none of that name."""
        return command(name) if name in self else default


class _Program(MaskingGroup):
    """The program: its help names the commands without building them."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = _Commands()

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002 # typer's own has it
        """Write the commands into the help."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def command(name: str) -> Any:
    """Return a command of `COMMANDS`, built for typer."""
    module = import_module(f"kitsolver.cli.{name}")
    # The command of that name would hide Python's own function in its module.
    function = module.range_ if name == "range" else getattr(module, name)
    alone = typer.Typer(**_PLAIN)
    alone.command(name)(function)
    return typer.main.get_command(alone)


app = typer.Typer(
    cls=_Program,
    no_args_is_help=True,
    help="The provably best counted cross-stitch kit under a cap.",
    **_PLAIN,
)


@app.callback(invoke_without_command=True)
def _program(
    version: Annotated[bool, typer.Option("--version", help="Show the version.")] = False,
) -> None:
    if version:
        from kitsolver import __version__

        typer.echo(f"kitsolver {__version__}")
        raise typer.Exit
