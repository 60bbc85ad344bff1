"""A random instance as kitsolver reads it from its files."""

from pathlib import Path
from typing import Any, NamedTuple

from kitsolver import Brief, Catalogue, read_brief, read_catalogue

from .draw import instance
from .text import to_toml


class Instance(NamedTuple):
    """What kitsolver reads, and the text and the table that it was written from."""

    catalogue: Catalogue
    brief: Brief
    text: str
    asked: dict[str, Any]


def read_instance(folder: Path, seed: int, **switches: Any) -> Instance:
    """Write an instance's catalogue and brief into a folder, and read both."""
    text, asked = instance(seed, **switches)
    shop, toml = folder / "shop.csv", folder / "brief.toml"
    shop.write_text(text, encoding="utf-8", newline="")
    toml.write_text(to_toml(asked), encoding="utf-8")
    brief = read_brief(toml)
    return Instance(read_catalogue(shop, currency=brief.currency), brief, text, asked)
