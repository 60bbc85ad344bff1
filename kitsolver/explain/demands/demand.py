"""One thing that a brief demands: what it says, how it is dropped, and how it gives way."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from kitsolver.explain.mend import Change, Path
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief

# The pain that all ways exceed which are not looked for where others will do.
FURTHER = 0.5


@dataclass(frozen=True)
class Easing:
    """A brief in which one demand has given way.

    Parameters
    ----------
    relaxed : RelaxedBrief
        The brief as it is then; it has a kit.
    changes : tuple of Change
        The keys of the brief that are replaced.
    says : str
        What is changed, as the beginning of a sentence.
    pain : float
        By what share of what was asked the demand gave way; 1 if it is given up.
    """

    relaxed: RelaxedBrief
    changes: tuple[Change, ...]
    says: str
    pain: float = 1.0


@dataclass(frozen=True)
class Demand(ABC):
    """One thing that a brief demands.

    Parameters
    ----------
    key : str
        The dotted key of the brief, with the sku or the column where there are several.
    says : str
        What is demanded, as part of a sentence.
    """

    key: str
    says: str

    @abstractmethod
    def drop(self, relaxed: RelaxedBrief) -> RelaxedBrief:
        """Return the brief without the demand.

        A brief that has a kit must still have it.
        """

    @abstractmethod
    def ease(self, relaxed: RelaxedBrief) -> Iterator[Easing]:
        """Yield ways in which the demand gives way just so far that there is a kit.

        All other demands stay as they are in `relaxed`. Nothing is yielded if that is no help.
        """

    def ease_further(self, relaxed: RelaxedBrief) -> Iterator[Easing]:  # noqa: ARG002 # for some
        """Yield more such ways, each of more pain than `FURTHER`. Most demands have none.

        They are not looked for where enough others hurt less.
        """
        yield from ()


def easing(relaxed: RelaxedBrief, path: Path, value: Any, says: str, pain: float = 1.0) -> Easing:
    """Return the easing that replaces one key."""
    return Easing(relaxed.with_value(path, value), (Change(path, value),), says, pain)


def easings_that_work(relaxed: RelaxedBrief, path: Path, values: Sequence[Any]) -> Iterator[Any]:
    """Yield the first value of some with which there is a kit, if any; they are in no order."""
    found = next((value for value in values if relaxed.works_with(path, value)), None)
    if found is not None:
        yield found
