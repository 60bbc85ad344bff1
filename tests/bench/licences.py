"""Lists the licences of what an installation brings. Run ``python tests/bench/licences.py``.

It follows the requirements of kitsolver from package to package, those of `[dev]` left out, and
prints each package with its version and licence, as the package states them.
"""

from __future__ import annotations

import re
from importlib import metadata

EXTRAS = {"cluster", "databases", "parquet", "plot", "postgresql", "spreadsheets", ""}


def needed(name: str, extras: set[str]) -> list[str]:
    """Return the names of what a package requires, with these extras of its own."""
    found = []
    for line in metadata.requires(name) or []:
        asked, _, marker = line.partition(";")
        extra = re.search(r"extra == ['\"](.+?)['\"]", marker)
        if extra is None or extra[1] in extras:
            found.append(re.split(r"[\s\[<>=!~(]", asked.strip())[0])
    return found


def licence(name: str) -> str:
    """Return a licence: its expression, its classifiers, or the first line of its text."""
    about = metadata.metadata(name)
    if told := about.get("License-Expression"):
        return str(told)
    parts = [one.split(" :: ")[-1] for one in about.get_all("Classifier") or [] if "License" in one]
    return "; ".join(parts) or (about.get("License") or "not stated").splitlines()[0][:60]


def main() -> None:
    """Print the list."""
    waiting, seen = ["kitsolver"], set[str]()
    while waiting:
        name = waiting.pop().lower().replace("_", "-")
        if name in seen:
            continue
        seen.add(name)
        try:
            waiting += needed(name, EXTRAS if name == "kitsolver" else set())
        except metadata.PackageNotFoundError:
            seen.discard(name)  # of another system or another extra
    for name in sorted(seen):
        print(f"{name} {metadata.version(name)}: {licence(name)}")


if __name__ == "__main__":
    main()
