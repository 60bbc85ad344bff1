"""Rows by their names: a sku alone tells few people what it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Protocol

Names = Mapping[str, str]


class _Named(Protocol):
    """A line of a kit, of today or saved."""

    @property
    def sku(self) -> str: ...

    @property
    def name(self) -> str: ...


def names_of(*kits: Iterable[_Named]) -> dict[str, str]:
    """Return the names of all rows of some kits by sku; the first kit that has a row names it."""
    names: dict[str, str] = {}
    for lines in kits:
        for line in lines:
            names.setdefault(line.sku, line.name)
    return names


def named(sku: str, names: Names) -> str:
    """Return a row as text: its name with its sku, or its sku alone where the name is not known."""
    name = names.get(sku)
    return f"{name} ({sku})" if name else sku


def listed(skus: Iterable[str], names: Names) -> str:
    """Return rows as text in one line."""
    return ", ".join(named(sku, names) for sku in skus)


def changes(came: Iterable[str], went: Iterable[str], names: Names) -> str:
    """Return which rows came (+) and which went (−), each in a line."""
    signed = (*(("+", sku) for sku in came), *(("−", sku) for sku in went))
    return "\n".join(f"{sign} {named(sku, names)}" for sign, sku in signed)
