"""The shop's threads to tick those that are at home, and the home list that the ticks make."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kitsolver.craft.colour import lab
from kitsolver.page.catalogue_to_read import CatalogueToRead, catalogue_of
from kitsolver.shop.catalogue import Catalogue
from kitsolver.show.csv_text import csv_text

# Colours of less chroma are greys; other families end at these hues, in degrees (common practice,
# no source).
_GREY = 8
_FAMILIES = (
    (48.0, "reds"),
    (75.0, "browns"),
    (108.0, "yellows"),
    (180.0, "greens"),
    (308.0, "blues"),
    (340.0, "violets"),
    (360.0, "reds"),
)
_MOST_SHOWN = 1_200


@dataclass(frozen=True)
class ShopThread:
    """A single thread of the shop, and whether it is at home."""

    sku: str
    name: str
    colour: str
    ticked: bool


@dataclass(frozen=True)
class ThreadsToTick:
    """The shop's single threads with some words.

    Parameters
    ----------
    number : int
        How many there are.
    families : tuple of (str, tuple of ShopThread)
        The first of them by colour family, within one from dark to light. A family is named by the
        key of its text.
    """

    number: int
    families: tuple[tuple[str, tuple[ShopThread, ...]], ...]


def threads_to_tick(source: CatalogueToRead, words: str) -> ThreadsToTick:
    """Return the threads to choose from; a task of worker processes."""
    catalogue = catalogue_of(source)
    every = list(_with_words(catalogue, words))
    shown = every[:_MOST_SHOWN]
    families: dict[str, list[ShopThread]] = {}
    for family, thread in _by_colour(shown):
        families.setdefault(family, []).append(thread)
    found = tuple((family, tuple(threads)) for family, threads in families.items())
    return ThreadsToTick(len(every), found)


def list_with(source: CatalogueToRead, words: str, ticked: Sequence[str]) -> str:
    """Return the home list as CSV once threads are ticked; a task of worker processes.

    What the list says already of goods that stay on it, and of goods that were not shown, stays.
    """
    catalogue = catalogue_of(source)
    shown = {thread.sku for thread in list(_with_words(catalogue, words))[:_MOST_SHOWN]}
    rows = catalogue.home.rows if catalogue.home else {}
    kept = {sku: dict(row.cells) for sku, row in rows.items() if sku not in shown}
    for sku in ticked:
        if sku in shown:
            kept[sku] = dict(rows[sku].cells) if sku in rows else {"sku": sku}
    columns = list(dict.fromkeys(["sku", *(name for cells in kept.values() for name in cells)]))
    lines = [[cells.get(name, "") for name in columns] for cells in kept.values()]
    return csv_text(columns, lines)


def _with_words(catalogue: Catalogue, words: str) -> Iterator[ShopThread]:
    """Yield the single threads that the shop has, in the order of their skus."""
    wanted = words.casefold().split()
    home = catalogue.home.rows if catalogue.home else {}
    shelf = catalogue.rows.get("thread")
    if shelf is None:
        return
    for sku, colours in sorted(zip(shelf["sku"], shelf["colours"], strict=True)):
        if ";" in colours or (sku in home and home[sku].only_here):
            continue
        name = catalogue.row(sku)["name"]
        if all(word in f"{sku} {name}".casefold() for word in wanted):
            yield ShopThread(sku, name, colours, sku in home)


def _by_colour(threads: Sequence[ShopThread]) -> Iterator[tuple[str, ShopThread]]:
    """Yield threads with their colour families, family by family, from dark to light."""
    if not threads:
        return
    places = lab([thread.colour for thread in threads])
    hues = np.degrees(np.arctan2(places[:, 2], places[:, 1])) % 360
    grey = np.hypot(places[:, 1], places[:, 2]) < _GREY
    named = [
        "greys" if is_grey else next(name for end, name in _FAMILIES if hue <= end)
        for hue, is_grey in zip(hues, grey, strict=True)
    ]
    order = ("greys", *dict.fromkeys(name for _, name in _FAMILIES))
    keys = [
        (order.index(name), lightness, thread.sku)
        for name, lightness, thread in zip(named, places[:, 0], threads, strict=True)
    ]
    for place in sorted(range(len(threads)), key=keys.__getitem__):
        yield named[place], threads[place]
