"""Packages that only some users need: a missing one is a finding that names the command."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from kitsolver.shop.findings import BadInput
from kitsolver.shop.sources.source_findings import PackageMissing


def needed(module: str, extra: str, name: str) -> Any:
    """Return a module that comes with an extra of kitsolver's.

    Parameters
    ----------
    module : str
        Its import name.
    extra : str
        The extra that brings it, for example ``parquet``.
    name : str
        What findings call the file that is read or written.

    Raises
    ------
    BadInput
        If it is not installed.
    """
    try:
        return import_module(module)
    except ModuleNotFoundError as fault:
        raise BadInput([package_missing(fault, f"'kitsolver[{extra}]'", name)]) from None


def package_missing(fault: ImportError, install: str, name: str) -> PackageMissing:
    """Return the finding of a package that is not installed, and what installs it."""
    package = (fault.name or str(fault)).partition(".")[0]
    return PackageMissing(file=name, value=package, detail=install)
