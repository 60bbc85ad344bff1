"""The colours and the style rules of the sheet and of the page."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

# The colours of the light and of the dark scheme, by what they are for.
DAY: Mapping[str, str] = {
    "paper": "#ffffff",
    "panel": "#f2f4f1",
    "ink": "#1c2321",
    "soft": "#4b5652",
    "line": "#6f7c77",
    "mark": "#7a3d00",
}
NIGHT: Mapping[str, str] = {
    "paper": "#151a19",
    "panel": "#202725",
    "ink": "#f0f3f1",
    "soft": "#bcc7c2",
    "line": "#85938d",
    "mark": "#ffb877",
}


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours given as ``#rrggbb``, from 1 to 21.

    Notes
    -----
    WCAG 2.2, definitions of contrast ratio and relative luminance.
    """
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@cache
def stylesheet() -> str:
    """Return the rules of CSS that the sheet and the page share, with both colour schemes."""
    shared = (files("kitsolver.show.sheet") / "static" / "shared.css").read_text(encoding="utf-8")
    day, night = _properties(DAY), _properties(NIGHT)
    return (
        f":root {{ color-scheme: light dark; {day} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ {night} }} }}\n"
        f"@media print {{ :root {{ color-scheme: light; {day} }} }}\n{shared}"
    )


def _properties(colours: Mapping[str, str]) -> str:
    """Return colours as custom properties of CSS."""
    return " ".join(f"--{name}: {colour};" for name, colour in colours.items())
