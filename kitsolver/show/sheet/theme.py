"""The sheet's colours, by day and by night, and how well they can be told apart."""

from __future__ import annotations

from collections.abc import Mapping

# By the name of what is drawn in it. Swatches have their own colours, and a frame of `ink`.
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


def tokens(look: Mapping[str, str]) -> str:
    """Return a look as custom properties of CSS."""
    return " ".join(f"--{name}: {colour};" for name, colour in look.items())
