"""The consoles that commands print on, and the progress bar."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

    from kitsolver.solve.search_result import Progress

# Output that goes to a file or a pipe is laid out for this many columns, if nothing says how many.
_WIDTH = 80
# In fewer columns tables cannot be read.
_NARROWEST = 20
# A progress bar is shown when work lasts longer than this, in seconds.
_BAR_AFTER = 1.0


def console(*, stderr: bool = False) -> Console:
    """Return the console of standard output, or of standard error."""
    from rich.console import Console

    found = Console(stderr=stderr, soft_wrap=False, emoji=False, markup=False)
    if not found.is_terminal:
        found.width = _width()
    return found


def _width() -> int:
    """Return how many columns there are where no terminal says it: what ``COLUMNS`` says, or 80."""
    said = os.environ.get("COLUMNS", "")
    if not re.fullmatch(r"[0-9]{1,4}", said) or int(said) == 0:
        return _WIDTH
    return max(_NARROWEST, int(said))


def print_error(*lines: str) -> None:
    """Print lines on standard error."""
    err = console(stderr=True)
    for line in lines:
        err.print(line, highlight=False, soft_wrap=True)


@contextmanager
def progress_bar(doing: str) -> Iterator[Progress]:
    """Show a bar on standard error if the work lasts over a second and it is a terminal."""
    err = console(stderr=True)
    if not err.is_terminal:
        yield lambda _done, _steps: None
        return
    from threading import Timer

    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    bar = Progress(*columns, console=err, transient=True)
    task = bar.add_task(doing, total=None)
    timer = Timer(_BAR_AFTER, bar.start)
    timer.start()
    try:
        yield lambda done, steps: bar.update(task, completed=done, total=steps)
    finally:
        timer.cancel()
        timer.join()
        bar.stop()
