"""``kitsolver batch``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from kitsolver.cli import interrupts
from kitsolver.cli.command_errors import BAD_INPUT, FAULT, command_errors
from kitsolver.cli.console import console, print_error
from kitsolver.cli.options import (
    CatalogueFile,
    Columns,
    Home,
    HomeColumns,
    JsonFile,
    Reads,
    Sets,
    SkipBadRows,
)
from kitsolver.cli.results import write_json
from kitsolver.cli.sources import column_map

if TYPE_CHECKING:
    from rich.console import Console

    from kitsolver.batch.results import Batch
    from kitsolver.batch.run import BatchStart
    from kitsolver.batch.work import Executor


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
    reads: Reads = None,
    skip_bad_rows: SkipBadRows = False,
    home: Home = None,
    home_columns: HomeColumns = None,
) -> None:
    """Pick the best kit for each of many briefs.

    They are picked in parallel; a run that was interrupted goes on where it was.
    """
    with command_errors():
        from kitsolver.batch.jobs import is_table
        from kitsolver.batch.run import BatchRequest, run
        from kitsolver.batch.work import BriefStatus

        if cluster is not None and workers is not None:
            raise typer.BadParameter("--workers is for this machine, --cluster brings its own")
        if base is not None and not any(map(is_table, briefs)):
            raise typer.BadParameter("it is what a CSV of briefs varies", param_hint="--base")
        mapping = column_map(columns, reads)
        request = BatchRequest(
            catalogue,
            briefs,
            out,
            base,
            sets or [],
            seconds,
            skip_bad_rows,
            mapping,
            home,
            home_columns,
        )
        executor = _executor(cluster, workers)
        with interrupts.cleaning_up(), _progress_shown() as (started, brief_done):
            found = run(request, executor, started, brief_done)
        only_data = write_json(json, found.record)
        _show(found, out, console(stderr=only_data))
        if found.count(BriefStatus.FAULT):
            raise typer.Exit(FAULT)
        if found.count(BriefStatus.BAD_INPUT):
            raise typer.Exit(BAD_INPUT)


def _executor(cluster: str | None, workers: int | None) -> Executor:
    """Return what does the work: worker processes of this machine, or a cluster."""
    from functools import partial

    if cluster is None:
        from kitsolver.batch.worker_pool import cores, in_processes

        return partial(in_processes, workers=workers or cores())
    from kitsolver.batch.cluster import on_cluster

    return partial(on_cluster, address=cluster)


@contextmanager
def _progress_shown() -> Iterator[tuple[Callable[[BatchStart], None], Callable[[], None]]]:
    """Show on standard error what is found and what is done, and how to go on after Ctrl-C.

    Gives two functions: one to call when the work begins, and one to call after each brief.
    """
    from rich import progress as bars

    from kitsolver.batch.cluster import NoCluster
    from kitsolver.show.findings import show_summary

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

    def started(start: BatchStart) -> None:
        show_summary(start.findings, err)
        if start.done_before:
            print_error(f"Done before: {start.done_before}; left: {start.tasks}")
        progress.update(task, total=start.tasks)
        progress.start()

    def brief_done() -> None:
        progress.advance(task)
        if speed := progress.tasks[0].speed:
            progress.update(task, rate=f"{speed:.1f} a second")

    try:
        yield started, brief_done
    except NoCluster as fault:
        progress.stop()
        print_error(str(fault), f"hint: {fault.hint}")
        raise typer.Exit(BAD_INPUT) from None
    except KeyboardInterrupt:
        progress.stop()
        print_error("Interrupted.", "hint: the same command goes on with what is missing")
        raise
    finally:
        progress.stop()


def _show(found: Batch, out: str, where: Console) -> None:
    """Print how the briefs ended, in one line, and each fault of the program."""
    from kitsolver.batch.work import BriefStatus

    for row in found.rows:
        if row["status"] == BriefStatus.FAULT:
            print_error(f"{row['brief']}: a fault of the program: {row['detail']}")
    counts = ((status, found.count(status)) for status in BriefStatus)
    counted = ", ".join(f"{status} {count}" for status, count in counts if count)
    summary = f"Briefs {len(found.rows)}: {counted}; results in {out}"
    where.print(summary, highlight=False, soft_wrap=True)
