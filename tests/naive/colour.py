"""How far apart two sRGB colours are, by CIEDE2000."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

MATRIX = (
    (0.4123907993, 0.3575843394, 0.1804807884),
    (0.2126390059, 0.7151686788, 0.0721923154),
    (0.0193308187, 0.1191947798, 0.9505321522),
)
WHITE = (0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290)


def linear(level):
    """IEC 61966-2-1:1999."""
    return level / 12.92 if level <= 0.04045 else ((level + 0.055) / 1.055) ** 2.4


def root(ratio):
    """CIE 15: the cube root, straight near black."""
    return ratio ** (1 / 3) if ratio > (6 / 29) ** 3 else ratio / (3 * (6 / 29) ** 2) + 4 / 29


@cache
def lab(colour):
    rgb = [linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5)]
    xyz = [sum(part * light for part, light in zip(row, rgb, strict=True)) for row in MATRIX]
    x, y, z = (root(value / white) for value, white in zip(xyz, WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def ciede2000(one, other):
    """Follow Sharma, Wu & Dalal (2005), equations 2 to 22, in their order."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    c_bar = (hypot(a1, b1) + hypot(a2, b2)) / 2
    g = 0.5 * (1 - sqrt(c_bar**7 / (c_bar**7 + 25**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = hypot(a1, b1), hypot(a2, b2)
    h1 = degrees(atan2(b1, a1)) % 360 if c1 else 0.0
    h2 = degrees(atan2(b2, a2)) % 360 if c2 else 0.0

    turn = h2 - h1
    if c1 * c2 == 0:
        turn = 0.0
    elif turn > 180:
        turn -= 360
    elif turn < -180:
        turn += 360
    d_l, d_c = l2 - l1, c2 - c1
    d_h = 2 * sqrt(c1 * c2) * sin(radians(turn / 2))

    if c1 * c2 == 0:
        h = h1 + h2
    elif abs(h1 - h2) <= 180:
        h = (h1 + h2) / 2
    elif h1 + h2 < 360:
        h = (h1 + h2 + 360) / 2
    else:
        h = (h1 + h2 - 360) / 2
    l_bar, c_bar = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * cos(radians(h - 30))
        + 0.24 * cos(radians(2 * h))
        + 0.32 * cos(radians(3 * h + 6))
        - 0.20 * cos(radians(4 * h - 63))
    )
    twist = 30 * exp(-(((h - 275) / 25) ** 2))
    r_t = -2 * sqrt(c_bar**7 / (c_bar**7 + 25**7)) * sin(radians(2 * twist))
    s_l = 1 + 0.015 * (l_bar - 50) ** 2 / sqrt(20 + (l_bar - 50) ** 2)
    s_c = 1 + 0.045 * c_bar
    s_h = 1 + 0.015 * c_bar * t
    lightness, chroma, hue = d_l / s_l, d_c / s_c, d_h / s_h
    return sqrt(lightness**2 + chroma**2 + hue**2 + r_t * chroma * hue)


@cache
def light(colour):
    return Fraction(Decimal(lab(colour)[0]).quantize(Decimal("0.0001"), rounding=ROUND_HALF_UP))


@cache
def difference(charted, thread):
    distance = Decimal(ciede2000(lab(charted), lab(thread)))
    return Fraction(distance.quantize(Decimal("0.0001"), rounding=ROUND_HALF_UP))
