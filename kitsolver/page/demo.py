"""The demo: an invented shop, and what is asked of it first."""

from __future__ import annotations

from pathlib import Path

import kitsolver


def demo() -> tuple[Path, Path]:
    """Return the demo's catalogue and its first brief.

    They travel inside the package; in a checkout they stand beside it.
    """
    package = Path(kitsolver.__file__).parent
    folder = package / "catalogues"
    if not folder.exists():
        folder = package.parent / "catalogues"
    return folder / "tormellick-whelk.csv", folder / "bundle.toml"
