"""A second judge: exact enumeration in whole numbers, written from the specification alone.

It shares no code with ``kitsolver`` or with the naive twin. Unlike the twin it works in whole units
throughout, and leaves out what a bound on quality or cost shows to be no better, so that campaigns
can ask it often.
"""

from .kits import Judge, best

__all__ = ["Judge", "best"]
