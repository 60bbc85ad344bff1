"""The command line: a file for each command, and the files that the commands share.

Importing this package costs nothing. A command imports what is heavy where it uses it, so that
``--help`` answers at once.
"""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kitsolver.cli.program import app as app


# Python looks for garbage when so many more objects were created than destroyed.
_GARBAGE_AFTER = 100_000


def main() -> None:
    """Run the command line, and end the process with the exit code of the command."""
    # This comes first, because Ctrl-C may be pressed while the imports below run.
    from kitsolver.cli import interrupts

    interrupts.install()
    # What imports create stays: looking for garbage among it takes a tenth of a second, at the
    # usual threshold while they run, and once more when the process ends.
    gc.set_threshold(_GARBAGE_AFTER)
    from kitsolver.cli import output

    output.install()
    interrupts.watch()
    code = 0
    try:
        _run()
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 0
    except output.OutputUnwritable as fault:
        # The help is written by typer, outside any command.
        code = output.tell(fault)
    code = output.finished(code)
    gc.freeze()
    raise SystemExit(interrupts.INTERRUPTED if interrupts.came() else code)


def _run() -> None:
    """Run the command that the arguments name."""
    import sys

    if sys.argv[1:] == ["--version"]:
        # Typer takes as long to read one argument as to be imported.
        from kitsolver import __version__

        print(f"kitsolver {__version__}")
        return
    from kitsolver.cli.program import app

    app()


def __getattr__(name: str) -> Any:
    if name != "app":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from kitsolver.cli.program import app

    return app
