"""Names that a file can have on every operating system."""

from __future__ import annotations

import re

_REFUSED = re.compile(r"""[\x00-\x1f\x7f\ud800-\udfff/\\:*?"<>|]|^[\s.-]|[\s.]$""")
# An ending, and the prefix of the file while it is written, must fit beside the name.
_LONGEST = 200


def unusable_because(name: str) -> str:
    """Return why a name cannot be that of a file; empty if it can."""
    if refused := _REFUSED.search(name):
        return f"not every system takes {refused[0]!r} there"
    if len(name.encode()) > _LONGEST:
        return f"it is longer than {_LONGEST} bytes"
    return ""
