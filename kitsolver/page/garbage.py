"""When the processes of the page look for garbage."""

from __future__ import annotations

import gc

# Python looks for garbage when so many more objects were created than destroyed.
_AFTER = 50_000


def keep_what_is_there() -> None:
    """Look for garbage seldom from now on, and never among the objects there are.

    These are mostly what imports created. Looking through them takes longer than a view does, and
    whoever asks for one in this moment waits for it.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(_AFTER)
