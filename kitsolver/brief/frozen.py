"""Tables of a brief whose keys are free: dicts that do not change."""

from __future__ import annotations

from types import GenericAlias
from typing import Any, NoReturn, TypeVar, get_args

from pydantic import GetCoreSchemaHandler
from pydantic_core import core_schema

K = TypeVar("K")
V = TypeVar("V")


class FrozenDict(dict[K, V]):
    """A dict that refuses to change, and so can be hashed if its values can."""

    def _refuse(self, *_: Any, **__: Any) -> NoReturn:
        raise TypeError("a brief does not change: make another one by with_settings")

    __setitem__ = __delitem__ = __ior__ = _refuse
    clear = pop = popitem = setdefault = update = _refuse

    def __hash__(self) -> int:  # type: ignore[override] # dict has none, for it changes
        return hash(frozenset(self.items()))

    def __reduce__(self) -> tuple[type[FrozenDict[K, V]], tuple[dict[K, V]]]:
        # As it is copied and pickled: not entry by entry.
        return type(self), (dict(self),)

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        entries = GenericAlias(dict, get_args(source) or (Any, Any))
        return core_schema.no_info_after_validator_function(cls, handler(entries))
