"""The page of every kind of finding, written from their classes."""

from __future__ import annotations

import re
from importlib import import_module
from pkgutil import walk_packages

import kitsolver
from kitsolver.shop.findings import Finding, code_of, kinds

_HEAD = """\
# Findings

What `kitsolver` can find wrong with a catalogue, a brief or a saved kit, by code. An error makes
its row, or the whole file, unusable; a warning leaves the data as they are. Words in `{braces}`
stand for what was found. This page is written from the program:
`python -m kitsolver.show.findings_page`.
"""


def findings_page() -> str:
    """Return the page in Markdown."""
    return "\n".join([_HEAD, *map(_entry, all_kinds())])


def all_kinds() -> tuple[type[Finding], ...]:
    """Return every kind of finding of the whole package.

    A kind is known once its module is imported, so all of them are imported here.
    """
    for module in walk_packages(kitsolver.__path__, "kitsolver."):
        if not module.name.endswith("__main__"):
            import_module(module.name)
    return tuple(kinds())


def _entry(kind: type[Finding]) -> str:
    level = "Warning" if kind.warning else "Error"
    explained = " ".join((kind.__doc__ or "").split())
    hint = [">", f"> hint: {_shown(kind.mend)}"] if kind.mend else []
    head = [f"## {code_of(kind)}", "", f"{level}. {explained}", ""]
    return "\n".join([*head, f"> {_shown(kind.says)}", *hint, ""])


def _shown(template: str) -> str:
    """Return a template with its placeholders as code."""
    return re.sub(r"\{\w+\}", r"`\g<0>`", template)


if __name__ == "__main__":
    print(findings_page(), end="")
