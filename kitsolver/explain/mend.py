"""A mend: changes to a brief with which there is a kit, as data that others show or apply."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from kitsolver.brief.brief import Brief
from kitsolver.brief.own_rules import RULE_LISTS
from kitsolver.brief.reading import brief_of
from kitsolver.brief.settings import setting

# The keys that lead to a value of a brief, ("needs", "fabric", "max_price") for instance.
Path = tuple[str, ...]

_CAPS = frozenset({"cap", "cap_per_head"})


class Change(NamedTuple):
    """One key of a brief and its new value, in the form in which a brief is dumped as JSON."""

    path: Path
    value: Any


@dataclass(frozen=True)
class Mend:
    """A change of the brief with which there is a kit.

    Parameters
    ----------
    says : str
        What is changed, as a sentence.
    changes : tuple of Change
        The same as data, a key at most once.
    payable : int
        What the cheapest kit then comes to, in minor units.
    """

    says: str
    changes: tuple[Change, ...]
    payable: int

    @property
    def options(self) -> str:
        """The changes as options of `pick` and `why`, which can be typed as they stand."""
        return self.as_options()

    def as_options(self, cap_option: str = "--cap") -> str:
        """Return the changes as options of a command, which can be typed as they stand.

        Parameters
        ----------
        cap_option : str
            The command's option for the cap.
        """
        return " ".join(_option(change, cap_option) for change in self.changes)

    def applied(self, brief: Brief) -> Brief:
        """Return a brief with the changes made."""
        data: Mapping[str, Any] = brief.model_dump(mode="json")
        for change in self.changes:
            data = replaced(data, change.path, change.value)
        return brief_of(data)


def _option(change: Change, cap_option: str) -> str:
    if change.path == ("cap",):
        return f"{cap_option} {change.value}"
    return f"--set {shlex.quote(setting(change.path, change.value))}"


def replaced(data: Mapping[str, Any], path: Path, value: Any) -> dict[str, Any]:
    """Return a brief's data with one key replaced; either cap takes the place of the other.

    A rule of one's own is found by its name; a rule that is replaced by no keys is taken out.
    """
    key, *rest = path
    if rest and key in RULE_LISTS:
        value = [new for rule in data[key] if (new := _rule_replaced(rule, rest, value))]
    elif rest:
        value = replaced(data[key] or {}, tuple(rest), value)
    elif key in _CAPS:
        return {**data, **dict.fromkeys(_CAPS), key: value}
    return {**data, key: value}


def _rule_replaced(rule: Mapping[str, Any], path: Sequence[str], value: Any) -> Mapping[str, Any]:
    """Return a rule of one's own, changed if it bears the name that the path begins with."""
    name, *keys = path
    if rule["name"] != name:
        return rule
    changed: Mapping[str, Any] = replaced(rule, tuple(keys), value) if keys else value
    return changed


def value_at(data: Mapping[str, Any], path: Path) -> Any:
    """Return what stands at a key of a brief's data; a rule of one's own is found by its name."""
    found: Any = data
    for key in path:
        if isinstance(found, (list, tuple)):
            found = next(rule for rule in found if rule["name"] == key)
        else:
            found = found[key]
    return found
