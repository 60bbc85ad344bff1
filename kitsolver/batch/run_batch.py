"""A batch from Python: many briefs of one catalogue, by worker processes of this machine."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from os import PathLike, fspath

from kitsolver.batch.results import Batch
from kitsolver.batch.run import BatchRequest, run
from kitsolver.batch.worker_pool import cores, in_processes
from kitsolver.shop.maps.mapping import ColumnMap


def run_batch(
    catalogue: str | PathLike[str],
    briefs: Sequence[str | PathLike[str]],
    out: str | PathLike[str],
    *,
    base: str | PathLike[str] | None = None,
    sets: Sequence[str] = (),
    seconds: float | None = None,
    skip_bad_rows: bool = False,
    mapping: ColumnMap | None = None,
    workers: int | None = None,
) -> Batch:
    """Run every brief that is not done yet, and write the results into a folder.

    Worker processes import the script that calls this: it stands under
    ``if __name__ == "__main__":`` there.

    Parameters
    ----------
    catalogue : str or path-like
        A file, or the address of a database.
    briefs : sequence of str or path-like
        TOML files, and CSV files whose rows vary `base`.
    out : str or path-like
        The folder of results. What an earlier run did there is not done again.
    base : str or path-like, optional
        The base brief, a TOML file.
    sets : sequence of str
        Overrides for every brief, of the form ``needs.fabric.max_price=14.00``.
    seconds : float, optional
        Time limit of one brief.
    skip_bad_rows : bool
        Whether to go on without the catalogue's rows that have errors.
    mapping : ColumnMap, optional
        How the catalogue's headers and values become ours.
    workers : int, optional
        How many processes work; else one a core.

    Raises
    ------
    BadInput
        If no brief can be run, or a result cannot be written. What is wrong with one brief only
        stands in its row of the result.
    """
    request = BatchRequest(
        fspath(catalogue),
        [fspath(brief) for brief in briefs],
        fspath(out),
        None if base is None else fspath(base),
        sets,
        seconds,
        skip_bad_rows,
        mapping,
    )
    return run(request, partial(in_processes, workers=workers or cores()))
