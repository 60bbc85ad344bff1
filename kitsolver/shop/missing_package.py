"""Packages that only some users need, and the finding if one of them is not installed."""

from __future__ import annotations

from importlib.util import find_spec

from kitsolver.shop.findings import BadInput, Finding


class MissingPackage(Finding):
    """A kind of file needs a package that is not installed."""

    says = "This kind of file needs the package {value}, which is not installed."
    mend = "pip install 'kitsolver[{detail}]'"


def require_package(package: str, extra: str, file: str) -> None:
    """Make sure that a package is installed.

    Parameters
    ----------
    package : str
        The name by which it is imported.
    extra : str
        The extra of kitsolver that installs it.
    file : str
        The file or address that needs it.

    Raises
    ------
    BadInput
        If the package is not installed.
    """
    if find_spec(package) is None:
        raise BadInput([MissingPackage(file=file, value=package, detail=extra)])
