"""The keys that were noted last."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable


class LastKeys:
    """The keys that were noted last; those noted longest ago are forgotten.

    Parameters
    ----------
    most : int
        How many are remembered.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._keys: OrderedDict[Hashable, None] = OrderedDict()

    def __contains__(self, key: Hashable) -> bool:
        return key in self._keys

    def note(self, key: Hashable) -> None:
        """Remember a key."""
        self.forget(key)
        self._keys[key] = None
        while len(self._keys) > self._most:
            self._keys.popitem(last=False)

    def forget(self, key: Hashable) -> None:
        """Forget a key, if it is remembered."""
        self._keys.pop(key, None)
