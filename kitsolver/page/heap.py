"""How the page's own process gets memory from the system."""

from __future__ import annotations

import ctypes
from contextlib import suppress

# A parameter of glibc's mallopt: from how many heaps threads take memory at most.
_ARENA_MAX = -8


def use_one_heap() -> None:
    """Let all threads take memory from one heap, where that can be asked for.

    The threads that wait for the workers receive kits and ladders of up to some MB. With a heap
    for each of them, as is usual, what is freed in one is of no use to the others, and the process
    grows for hours though it holds no more.
    """
    with suppress(AttributeError, OSError, TypeError):
        # Only glibc has it; elsewhere nothing can be opened so, or it is not found.
        ctypes.CDLL(None).mallopt(_ARENA_MAX, 1)
