"""The place of a finding about a value that an option brought: the option, not the brief's file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace

from kitsolver.brief.own_rules import RULE_LISTS, places_of, with_names
from kitsolver.brief.reading import data_of
from kitsolver.brief.settings import key_of
from kitsolver.shop.findings import BadInput, Finding

_CAPS = ("cap", "cap_per_head")


def at_options(
    findings: Iterable[Finding], file: str, sets: Iterable[str], cap: str | None = None
) -> tuple[Finding, ...]:
    """Return findings of a brief, those about replaced keys with the option as their place.

    Parameters
    ----------
    findings : iterable of Finding
        Of the brief with its replaced keys.
    file : str
        The brief's file, as findings call it.
    sets : iterable of str
        The settings that replaced keys, as ``--set`` takes them.
    cap : str, optional
        What replaced either cap key, as ``--cap`` takes it.
    """
    keys = [key for key in map(key_of, sets) if key]
    if any(key.split(".")[0] in RULE_LISTS for key in keys):
        keys = [found for key in keys for found in _as_findings_name(key, file)]
    return tuple(
        replace(finding, file=option)
        if finding.file == file and (option := _option(finding, keys, cap))
        else finding
        for finding in findings
    )


@contextmanager
def told_at_options(file: str, sets: Iterable[str], cap: str | None = None) -> Iterator[None]:
    """Give the findings of a brief that is refused the option as their place, as `at_options` does.

    Raises
    ------
    BadInput
        With the same findings.
    """
    try:
        yield
    except BadInput as bad:
        raise BadInput(at_options(bad.findings, file, sets, cap)) from None


def _as_findings_name(key: str, file: str) -> Iterator[str]:
    """Yield a key as findings name it: a rule of one's own by its place, from 1, or in quotes."""
    yield key
    try:
        data = with_names(data_of(file))
    except BadInput:
        return
    for kind, number, rule in places_of(data):
        name = f"{kind}.{rule['name']}"
        if f"{key}.".startswith(f"{name}."):
            yield f"{kind}.{number + 1}{key[len(name) :]}"
            yield f'{kind}."{rule["name"]}"{key[len(name) :]}'.replace(" ", ".")


def _option(finding: Finding, keys: Iterable[str], cap: str | None) -> str | None:
    """Return the option that brought what is found, if any did."""
    if cap is not None and finding.column in _CAPS:
        return "--cap"
    return "--set" if any(_is_about(finding, key) for key in keys) else None


def _is_about(finding: Finding, key: str) -> bool:
    """Tell whether a finding is about what stands at a key of the brief."""
    # Of a list of tables the column names one by its number, as in "limits 1.most".
    column = f"{finding.column}.".replace(" ", ".")
    if column.startswith(f"{key}."):
        return True
    kind, *place = column.rstrip(".").split(".")
    if kind in RULE_LISTS and len(place) == 1:
        # What is wrong with a rule as a whole, any of its keys may have brought.
        return key.startswith(column)
    # A table that cannot be there, or a key that it cannot have, is found at the table.
    return key.startswith(column) and finding.value in key.split(".")
