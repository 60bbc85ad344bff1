"""Values that a notebook shows as HTML."""

from __future__ import annotations


def html_of(value: object) -> str:
    """Return a value as HTML.

    How it looks is known higher up in the house, so the public interface is asked, and only then.
    """
    import kitsolver

    shown: str = kitsolver.notebook_html(value)
    return shown


class ShowsItself:
    """What a notebook shows as HTML."""

    def _repr_html_(self) -> str:
        return html_of(self)
