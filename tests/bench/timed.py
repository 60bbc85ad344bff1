"""A function of kitsolver, timed where it is called by others."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any


class Timed:
    """Stands in for a function, and adds up the processor's seconds that its calls took."""

    def __init__(self, function: Callable[..., Any]) -> None:
        self.seconds, self._function = 0.0, function

    def __call__(self, *asked: Any) -> Any:
        """Return what the function returns."""
        start = time.process_time()
        try:
            return self._function(*asked)
        finally:
            self.seconds += time.process_time() - start
