"""The places that may be given to charted colours, as arrays; as lists once they are asked for.

A large shop has millions of pairs of a charted colour and a place near it, and a search looks at
those of a few charts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kitsolver.solve.candidates.candidate import Place, Thread

Ints: TypeAlias = NDArray[np.int64]

# A charted colour, and the kind of thread it is to be worked in.
Asked = tuple[str, str]


@dataclass(frozen=True)
class NearPlaces:
    """The places that may be given to one charted colour, in the order of the threads.

    Parameters
    ----------
    threads : sequence of Thread
        The rows that the places are in.
    row, index, difference, points : array of int
        Of each place the number of its row among these, and what `Place` says of it.
    useful : callable, optional
        Returns which of the places some best kit may take; all if it is left out.
    """

    threads: Sequence[Thread]
    row: Ints
    index: Ints
    difference: Ints
    points: Ints
    useful: Callable[[], NDArray[np.bool_]] | None = None

    @cached_property
    def listed(self) -> list[Place]:
        """The places that some best kit may take."""
        kept = np.ones(len(self.row), dtype=bool) if self.useful is None else self.useful()
        cells = (self.row, self.index, self.difference, self.points)
        each = zip(*(values[kept].tolist() for values in cells), strict=True)
        return [Place(self.threads[row], *rest) for row, *rest in each]

    def where(self, kept: NDArray[np.bool_]) -> NearPlaces:
        """Return the places in some of the rows, of those that some best kit may take."""
        useful = np.ones(len(self.row), dtype=bool) if self.useful is None else self.useful()
        mask = kept[self.row] & useful
        return NearPlaces(
            self.threads,
            self.row[mask],
            self.index[mask],
            self.difference[mask],
            self.points[mask],
        )


def near_places(places: Sequence[Place]) -> NearPlaces:
    """Return places that are listed already."""
    threads = list({place.thread.sku: place.thread for place in places}.values())
    number = {thread.sku: n for n, thread in enumerate(threads)}
    cells = [(number[p.thread.sku], p.index, p.difference, p.points) for p in places]
    return NearPlaces(threads, *np.array(cells, dtype=np.int64).reshape(-1, 4).T)


class Places(Mapping[Asked, list[Place]]):
    """By charted colour and kind of thread, the places that may be given to it.

    Parameters
    ----------
    near : mapping of (str, str) to NearPlaces
        Of every charted colour.
    """

    def __init__(self, near: Mapping[Asked, NearPlaces] | None = None) -> None:
        self.near = near or {}

    def where(self, kept: Callable[[Thread], bool]) -> Places:
        """Return the places in the rows that a test keeps."""
        rows = {id(near.threads): near.threads for near in self.near.values()}
        masks = {
            one: np.array([kept(thread) for thread in threads], dtype=bool)
            for one, threads in rows.items()
        }
        # Free colours of a kind share their places.
        distinct = {id(near): near for near in self.near.values()}
        left = {one: near.where(masks[id(near.threads)]) for one, near in distinct.items()}
        return Places({asked: left[id(near)] for asked, near in self.near.items()})

    def of(self, row: Callable[[Thread], Thread]) -> Places:
        """Return the same places, each in the row that is returned for its own."""
        rows = {id(near.threads): near.threads for near in self.near.values()}
        others = {one: tuple(map(row, threads)) for one, threads in rows.items()}
        return Places(
            {
                asked: replace(near, threads=others[id(near.threads)])
                for asked, near in self.near.items()
            }
        )

    def near_row(self, sku: str) -> set[Asked]:
        """Return the colours to which a place in a row may be given, be it of use or not."""
        rows = {id(near.threads): near.threads for near in self.near.values()}
        numbers = {
            one: [number for number, thread in enumerate(threads) if thread.sku == sku]
            for one, threads in rows.items()
        }
        return {
            asked
            for asked, near in self.near.items()
            if np.isin(near.row, numbers[id(near.threads)]).any()
        }

    def __getitem__(self, asked: Asked) -> list[Place]:
        return self.near[asked].listed

    def __iter__(self) -> Iterator[Asked]:
        return iter(self.near)

    def __len__(self) -> int:
        return len(self.near)
