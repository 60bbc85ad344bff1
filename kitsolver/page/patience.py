"""How long a question is looked for: the longer, the more often time ran out on it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable

# No question is looked for longer than so many times the usual.
_MOST_TIMES = 8
_REMEMBERED = 256


class Patience:
    """Remembers on which questions time ran out, so that the next look takes twice as long."""

    def __init__(self) -> None:
        self._times: OrderedDict[Hashable, int] = OrderedDict()

    def seconds(self, question: Hashable, usual: float) -> float:
        """Return how long a question is looked for now."""
        return usual * self._times.get(question, 1)

    def note(self, question: Hashable, *, complete: bool) -> None:
        """Note how a look at a question ended."""
        times = self._times.pop(question, 1)
        if complete:
            return
        self._times[question] = min(_MOST_TIMES, 2 * times)
        while len(self._times) > _REMEMBERED:
            self._times.popitem(last=False)
