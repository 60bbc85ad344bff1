"""The colours, the typeface and the style rules of the sheet and of the page."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

# The colours of the light and of the dark scheme, by what they are for. Goods keep their own
# colours in both.
DAY: Mapping[str, str] = {
    "paper": "#fdfbf6",
    "panel": "#f3eee3",
    "ink": "#1f2a30",
    "soft": "#505a5e",
    "line": "#857f70",
    "mark": "#0b5563",
    "warn": "#98300f",
    "table": "#cdc2ae",
    "edge": "#1f2a30",
    "handle": "#7a4a2b",
}
NIGHT: Mapping[str, str] = {
    "paper": "#14191b",
    "panel": "#1f2629",
    "ink": "#f1eee6",
    "soft": "#bdc1bb",
    "line": "#8b9088",
    "mark": "#86d3db",
    "warn": "#ffa585",
    "table": "#48453d",
    "edge": "#d9d3c4",
    "handle": "#b9764a",
}
# What a cloth looks like whose colour the shop does not say.
UNDYED = "#f4f0e4"
PRINTED: Mapping[str, str] = {**DAY, "paper": "#ffffff", "panel": "#f4f1ea", "table": "#ece7dc"}

# The typeface in its two weights. Latin letters beyond those of western Europe are files of their
# own, which a browser asks for only where a text has one.
_WEIGHTS = ("400", "700")
_RANGES = {
    "latin": "U+0000-00FF, U+0131, U+0152-0153, U+02BB-02BC, U+02C6, U+02DA, U+02DC, U+2000-206F, "
    "U+20AC, U+2122, U+2212, U+FEFF, U+FFFD",
    "latin-ext": "U+0100-02BA, U+02BD-02C5, U+02C7-02CC, U+02CE-02D7, U+02DD-02FF, U+1E00-1E9F, "
    "U+1EF2-1EFF, U+2020, U+20A0-20AB, U+20AD-20C0, U+2113",
}


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours given as ``#rrggbb``, from 1 to 21.

    Notes
    -----
    WCAG 2.2, definitions of contrast ratio and relative luminance.
    """
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def ink_on(ground: str) -> str:
    """Return black or white, whichever is easier to read on a colour."""
    return max(("#000000", "#ffffff"), key=lambda ink: contrast(ink, ground))


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
    day, night, printed = (_properties(look) for look in (DAY, NIGHT, PRINTED))
    return (
        f":root {{ color-scheme: light dark; {day} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ {night} }} }}\n"
        f"@media print {{ :root {{ color-scheme: light; {printed} }} }}\n{shared}"
    )


def _properties(colours: Mapping[str, str]) -> str:
    """Return colours as custom properties of CSS."""
    return " ".join(f"--{name}: {colour};" for name, colour in colours.items())


def type_files() -> list[str]:
    """Return the names of the typeface's files."""
    return [f"{script}-{weight}.woff2" for script in _RANGES for weight in _WEIGHTS]


def type_file(name: str) -> bytes:
    """Return one of the typeface's files."""
    return (files("kitsolver.show.sheet") / "static" / "type" / name).read_bytes()


@cache
def typeface(folder: str | None = None) -> str:
    """Return the rules of CSS that bring the typeface.

    Parameters
    ----------
    folder : str, optional
        The address of the folder of its files. Without it the rules hold the files themselves, but
        only those for western Europe: so a sheet needs nothing else, and stays small.
    """
    rules = []
    for script, characters in _RANGES.items():
        for weight in _WEIGHTS:
            name = f"{script}-{weight}.woff2"
            if folder is not None:
                address = f"{folder}/{name}"
            elif script == "latin":
                address = f"data:font/woff2;base64,{b64encode(type_file(name)).decode()}"
            else:
                continue
            rules.append(
                f'@font-face {{ font-family: "kitsolver"; font-weight: {weight}; '
                f'font-display: swap; src: url("{address}") format("woff2"); '
                f"unicode-range: {characters}; }}"
            )
    return "\n".join(rules)
