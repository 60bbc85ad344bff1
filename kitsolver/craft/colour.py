"""Colours: from #rrggbb to CIELAB, and the CIEDE2000 difference.

sRGB after IEC 61966-2-1:1999; matrix and white point as the project's specification gives them;
CIEDE2000 after Sharma, Wu & Dalal (2005), Color Research & Application 30(1):21-30.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_RGB_TO_XYZ = np.array(
    [
        [0.4123907993, 0.3575843394, 0.1804807884],
        [0.2126390059, 0.7151686788, 0.0721923154],
        [0.0193308187, 0.1191947798, 0.9505321522],
    ]
)
_X, _Y = 0.3127, 0.3290
_WHITE = np.array([_X / _Y, 1.0, (1 - _X - _Y) / _Y])

# A difference is held in ten-thousandths: rounded, half up, before anything is decided by it.
DIFFERENCE_UNIT = 10_000


def lab(colours: Sequence[str]) -> Floats:
    """Return CIELAB (D65) of colours given as ``#rrggbb``, one row a colour: shape (n, 3)."""
    codes = np.array([int(colour[1:], 16) for colour in colours], dtype=np.int64)
    rgb = np.stack([codes >> 16, codes >> 8 & 255, codes & 255], axis=-1) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    # Summed in a fixed order: a matrix product may add in another on another machine.
    xyz = sum(linear[:, i, None] * _RGB_TO_XYZ[None, :, i] for i in range(3)) / _WHITE
    f = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = f.T
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def ciede2000(one: Floats, other: Floats) -> Floats:
    """Return the CIEDE2000 difference of CIELAB colours.

    Parameters
    ----------
    one, other : array of shape (..., 3)
        Shapes that broadcast against each other.

    Returns
    -------
    array of shape (...)
    """
    l1, a1, b1 = np.moveaxis(np.asarray(one, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(other, dtype=np.float64), -1, 0)
    c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    g = 1 + (1 - np.sqrt(c7 / (c7 + 25.0**7))) / 2
    a1, a2 = a1 * g, a2 * g
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360

    # The hue of a grey means nothing: the difference in hue is 0 then, for its chroma is.
    dh = h2 - h1
    # Which way round opposite hues are apart must not hang on the last bit of an arctangent.
    opposite = (a1 * b2 == a2 * b1) & (a1 * a2 + b1 * b2 < 0)
    apart = (np.abs(dh) > 180) & ~opposite
    dh = np.where(apart, dh - np.copysign(360, dh), dh)
    delta_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh / 2))
    mean_h = (h1 + h2 + np.where(apart, 360, 0)) / 2 % 360

    mean_l, mean_c = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    s_l = _lightness_weight(mean_l - 50)
    s_c, s_h = 1 + 0.045 * mean_c, 1 + 0.015 * mean_c * t
    c7 = mean_c**7
    turn = 60 * np.exp(-(((mean_h - 275) / 25) ** 2))
    r_t = -2 * np.sqrt(c7 / (c7 + 25.0**7)) * np.sin(np.radians(turn))
    light, chroma, hue = (l2 - l1) / s_l, (c2 - c1) / s_c, delta_h / s_h
    squares = light**2 + chroma**2 + hue**2 + r_t * chroma * hue
    return np.asarray(np.sqrt(squares))


class LabParts(NamedTuple):
    """CIELAB colours, each part an array of its own: lightness, a, b, chroma, and `_hues`."""

    light: Floats
    a: Floats
    b: Floats
    chroma: Floats
    hues: NDArray[np.uint8]

    @classmethod
    def of(cls, colours: Floats) -> LabParts:
        """Return the parts of colours given as an array of shape (n, 3)."""
        light, a, b = np.ascontiguousarray(colours.T)
        return cls(light, a, b, np.hypot(a, b), _hues(a, b))

    def at(self, places: Any) -> LabParts:
        """Return some of the colours, or the one at a place."""
        return LabParts(*(part[places] for part in self))


# By what hues two colours have in common, how much of their distance in a and b counts at least:
# bits for b not below zero, for hues from 90 to 225 degrees, and for hues from -45 to 90 degrees.
_COUNTS = np.array([0.133, 0.999999, 0.98, 0.999999, 0.918, 0.999999, 0.98, 0.999999])


def least_difference(one: LabParts, other: LabParts) -> Floats:
    """Return differences of CIELAB colours that CIEDE2000 is never below, at a tenth of the work.

    Parameters
    ----------
    one, other : LabParts
        The colours of each pair, or one colour and several.

    Notes
    -----
    Differences in chroma and hue, squared and added up, are the squared distance in a' and b, and
    a' lies no closer than a. Their weights are no more than that of chroma, in which the mean of C'
    exceeds the mean of C by less than 6.5 (that is, G · C < 6.5). The rotation term takes away no
    more than half of its factor times both squares: at most 0.867 of them, and far from a mean hue
    of 275 degrees next to nothing. The difference in lightness is that of CIEDE2000.
    """
    s_l = _lightness_weight((one.light + other.light) / 2 - 50)
    weight = 1 + 0.045 * ((one.chroma + other.chroma) / 2 + 6.5)
    counts = _COUNTS[one.hues & other.hues]
    squares = ((other.light - one.light) / s_l) ** 2
    squares += counts * ((other.a - one.a) ** 2 + (other.b - one.b) ** 2) / weight**2
    return np.asarray(np.sqrt(squares))


def _hues(a: Floats, b: Floats) -> NDArray[np.uint8]:
    """Return the bits of `_COUNTS` of each colour."""
    up, near = b >= 0, np.abs(b) <= np.abs(a)
    found = up + 2 * ((a <= 0) & (up | near)) + 4 * ((a >= 0) & (up | near))
    return np.asarray(found, dtype=np.uint8)


def differences(charted: Sequence[str], threads: Sequence[str]) -> Ints:
    """Return CIEDE2000 differences in ten-thousandths, rounded half up.

    Parameters
    ----------
    charted, threads : sequence of str
        Colours as ``#rrggbb``, n and m of them.

    Returns
    -------
    array of int64, shape (n, m)
    """
    return in_units(ciede2000(lab(charted)[:, None, :], lab(threads)[None, :, :]))


def paired_differences(charted: Sequence[str], threads: Sequence[str]) -> Ints:
    """Return the CIEDE2000 difference of each pair in turn, as `differences` does: shape (n,)."""
    return in_units(ciede2000(lab(charted), lab(threads)))


def in_units(exact: Floats) -> Ints:
    """Return differences in ten-thousandths, rounded half up."""
    return np.floor(exact * DIFFERENCE_UNIT + 0.5).astype(np.int64)


def lightness_reach(lightness: Floats, difference: float) -> Floats:
    """Return how far in lightness a colour can be that is within a CIEDE2000 difference.

    What is added to the square of the weighed difference in lightness is never below zero, so no
    colours are nearer than by that. It is weighed at the mean of the two, and weighs most at L = 0
    and 100: that gives a first reach, and the farthest mean within it a closer one.
    """
    reach = difference * _lightness_weight(np.float64(50))
    return np.asarray(difference * _lightness_weight(np.abs(lightness - 50) + reach / 2))


def _lightness_weight(from_middle: Floats | np.float64) -> Floats | np.float64:
    return 1 + 0.015 * from_middle**2 / np.sqrt(20 + from_middle**2)


def lightness(colours: Sequence[str]) -> Ints:
    """Return CIELAB lightness in ten-thousandths, rounded half up: shape (n,)."""
    return in_units(lab(colours)[:, 0])


def too_alike(colours: Sequence[str], others: Sequence[str], least: int) -> NDArray[np.bool_]:
    """Return which colours differ by less than `least`, in ten-thousandths: shape (n, m)."""
    if not colours or not others:
        return np.zeros((len(colours), len(others)), dtype=bool)
    return differences(colours, others) < least
