"""``kitsolver batch``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from kitsolver.cli.command_errors import BAD_INPUT, FAULT, command_errors, console, map_of
from kitsolver.cli.options import CatalogueFile, Columns, JsonFile, Sets, SkipBadRows

if TYPE_CHECKING:
    from kitsolver.batch.results import Batch
    from kitsolver.batch.run import Begun
    from kitsolver.batch.work import Spread


def batch(
    catalogue: CatalogueFile,
    briefs: Annotated[
        list[str],
        typer.Argument(metavar="BRIEFS", help="TOML files, or a CSV that varies --base."),
    ],
    out: Annotated[str, typer.Option("--out", metavar="DIR", help="The folder of results.")],
    base: Annotated[
        str | None, typer.Option(metavar="BRIEF", help="What the rows of a CSV of briefs vary.")
    ] = None,
    sets: Sets = None,
    json: JsonFile = None,
    workers: Annotated[
        int | None, typer.Option(min=1, metavar="N", help="Worker processes; else one a core.")
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(metavar="ADDRESS", help="Work on a Dask cluster, by its scheduler's address."),
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(min=0.0, help="Stop a brief after so long with the best so far.")
    ] = None,
    columns: Columns = None,
    skip_bad_rows: SkipBadRows = False,
) -> None:
    """Pick the best kit for each of many briefs.

    They are picked in parallel; a run that was interrupted goes on where it was.
    """
    with command_errors():
        from kitsolver.batch.jobs import is_table
        from kitsolver.batch.run import Asked, run
        from kitsolver.batch.work import Ended
        from kitsolver.show.files import STANDARD_OUTPUT, write_whole
        from kitsolver.show.json_record import json_text

        if cluster is not None and workers is not None:
            raise typer.BadParameter("--workers is for this machine, --cluster brings its own")
        if base is not None and not any(map(is_table, briefs)):
            raise typer.BadParameter("it is what a CSV of briefs varies", param_hint="--base")
        asked = Asked(
            catalogue, briefs, out, base, sets or [], seconds, skip_bad_rows, map_of(columns)
        )
        with _told_on_the_way() as (begun, step):
            found = run(asked, _spread(cluster, workers), begun, step)
        if json is not None:
            write_whole(json, json_text(found.record))
        _show(found, out, to_stdout=json != STANDARD_OUTPUT)
        if found.count(Ended.FAULT):
            raise typer.Exit(FAULT)
        if found.count(Ended.BAD_INPUT):
            raise typer.Exit(BAD_INPUT)


def _spread(cluster: str | None, workers: int | None) -> Spread:
    """Return who does the work."""
    from functools import partial

    if cluster is None:
        from kitsolver.batch.worker_pool import cores, in_processes

        return partial(in_processes, workers=workers or cores())
    from kitsolver.batch.cluster import on_cluster

    return partial(on_cluster, address=cluster)


@contextmanager
def _told_on_the_way() -> Iterator[tuple[Callable[[Begun], None], Callable[[], None]]]:
    """Tell on standard error what is found and how far it is, and how to go on if it ends early."""
    from rich import progress as bars

    from kitsolver.batch.cluster import NoCluster
    from kitsolver.show.terminal import show_findings

    err = console(stderr=True)
    columns = (
        bars.BarColumn(),
        bars.MofNCompleteColumn(),
        bars.TextColumn("{task.fields[rate]}"),
        bars.TimeRemainingColumn(),
        bars.TextColumn("left"),
    )
    progress = bars.Progress(*columns, console=err, transient=True, disable=not err.is_terminal)
    task = progress.add_task("", total=None, rate="")

    def begun(what: Begun) -> None:
        show_findings(what.findings, err)
        if what.before:
            err.print(f"Done before: {what.before}; left: {what.tasks}", highlight=False)
        progress.update(task, total=what.tasks)
        progress.start()

    def step() -> None:
        progress.advance(task)
        if speed := progress.tasks[0].speed:
            progress.update(task, rate=f"{speed:.1f} a second")

    try:
        yield begun, step
    except NoCluster as none:
        progress.stop()
        err.print(f"{none}\nhint: {none.hint}", highlight=False, soft_wrap=True)
        raise typer.Exit(BAD_INPUT) from None
    except KeyboardInterrupt:
        progress.stop()
        err.print("Interrupted.\nhint: the same command goes on with what is missing")
        raise
    finally:
        progress.stop()


def _show(found: Batch, out: str, *, to_stdout: bool) -> None:
    """Tell what became of the briefs, in one line, and of each that is a fault."""
    from kitsolver.batch.work import Ended

    err = console(stderr=True)
    for row in found.rows:
        if row["status"] == Ended.FAULT:
            told = f"{row['brief']}: a fault of the program: {row['detail']}"
            err.print(told, highlight=False, soft_wrap=True)
    counts = ((ended, found.count(ended)) for ended in Ended)
    told = ", ".join(f"{ended} {count}" for ended, count in counts if count)
    shown = f"Briefs {len(found.rows)}: {told}; results in {out}"
    (console() if to_stdout else err).print(shown, highlight=False, soft_wrap=True)
