"""The page of every kind of finding, written from their classes."""

from __future__ import annotations

import re
from importlib import import_module
from pkgutil import walk_packages
from textwrap import fill

import kitsolver
from kitsolver.shop.findings import Finding, code_of, finding_classes

_WIDTH = 100
_HEAD = """\
# Findings

Everything that kitsolver can find wrong with its input, by code. An error makes a row or the whole
file unusable; a warning does not. Words in `{braces}` stand for what was found. The place of a
finding is the file with its row and column; where an option brought the value, such as `--cap` or
`--set`, it is the option. This page is written by `python -m kitsolver.show.findings_page`, from
the classes of the findings.
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
    return tuple(finding_classes())


def _entry(kind: type[Finding]) -> str:
    level = "Note" if kind.note else "Warning" if kind.warning else "Error"
    quoted = [kind.says] + ([f"hint: {kind.mend}"] if kind.mend else [])
    paragraphs = (_wrapped(_shown(template), "> ") for template in quoted)
    return "\n".join(
        [
            f"## {code_of(kind)}",
            "",
            _wrapped(f"{level}. {kind.__doc__ or ''}"),
            "",
            "\n>\n".join(paragraphs),
            "",
        ]
    )


def _wrapped(text: str, prefix: str = "") -> str:
    return fill(
        " ".join(text.split()),
        _WIDTH,
        initial_indent=prefix,
        subsequent_indent=prefix,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _shown(template: str) -> str:
    """Return a template with its placeholders as code."""
    return re.sub(r"\{\w+\}", r"`\g<0>`", template)


if __name__ == "__main__":
    print(findings_page(), end="")
