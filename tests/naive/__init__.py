"""The naive twin: the best kit by trying every kit, read from the specification alone.

It shares no code with ``kitsolver`` and no cleverness either, so that agreement between the two
means something.
"""

from .kits import best

__all__ = ["best"]
