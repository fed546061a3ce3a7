"""How colours are seen: luminance and contrast, simulated colour vision, distance of colours.

Sources beside each function; the constants are facts of those publications.
"""

from __future__ import annotations

from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

Rgb = tuple[float, float, float]

PROTAN = ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998))
DEUTAN = ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881))
TRITAN = ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900))
NORMAL = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
"""Severity 1.0, on linear RGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, 2009."""


def linear(hexed: str) -> Rgb:
    """Linear RGB of "#RRGGBB" (sRGB transfer curve as in WCAG 2.2, relative luminance)."""
    channels = [int(hexed[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return red, green, blue


def luminance(hexed: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    red, green, blue = linear(hexed)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def simulate(rgb: Rgb, matrix: tuple[Rgb, Rgb, Rgb]) -> Rgb:
    """Linear RGB as seen by a reader with this colour vision, kept inside 0 to 1."""
    red, green, blue = (
        min(1.0, max(0.0, sum(m * c for m, c in zip(row, rgb, strict=True)))) for row in matrix
    )
    return red, green, blue


def lab(rgb: Rgb) -> Rgb:
    """CIELAB (D65) of linear sRGB (IEC 61966-2-1, CIE 15)."""
    red, green, blue = rgb
    x = (0.4124564 * red + 0.3575761 * green + 0.1804375 * blue) / 0.95047
    y = 0.2126729 * red + 0.7151522 * green + 0.0721750 * blue
    z = (0.0193339 * red + 0.1191920 * green + 0.9503041 * blue) / 1.08883
    fx, fy, fz = (t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116 for t in (x, y, z))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def _hue(a: float, b: float) -> float:
    return degrees(atan2(b, a)) % 360 if a or b else 0.0


def distance(one: Rgb, other: Rgb) -> float:
    """CIEDE2000 of two CIELAB colours (G. Sharma, W. Wu, E. N. Dalal, 2005)."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean = (hypot(a1, b1) + hypot(a2, b2)) / 2
    g = 0.5 * (1 - sqrt(mean**7 / (mean**7 + 25**7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = hypot(a1, b1), hypot(a2, b2)
    h1, h2 = _hue(a1, b1), _hue(a2, b2)
    step = h2 - h1
    if c1 * c2 == 0:
        step = 0.0
    elif abs(step) > 180:
        step -= 360 if step > 0 else -360
    dl, dc, dh = l2 - l1, c2 - c1, 2 * sqrt(c1 * c2) * sin(radians(step / 2))
    middle_l, middle_c = (l1 + l2) / 2, (c1 + c2) / 2
    total = h1 + h2
    if c1 * c2 == 0:
        middle_h = total
    elif abs(h1 - h2) <= 180:
        middle_h = total / 2
    else:
        middle_h = (total + 360) / 2 if total < 360 else (total - 360) / 2
    t = (
        1
        - 0.17 * cos(radians(middle_h - 30))
        + 0.24 * cos(radians(2 * middle_h))
        + 0.32 * cos(radians(3 * middle_h + 6))
        - 0.20 * cos(radians(4 * middle_h - 63))
    )
    sl = 1 + 0.015 * (middle_l - 50) ** 2 / sqrt(20 + (middle_l - 50) ** 2)
    sc, sh = 1 + 0.045 * middle_c, 1 + 0.015 * middle_c * t
    turn = 30 * exp(-(((middle_h - 275) / 25) ** 2))
    rt = -2 * sqrt(middle_c**7 / (middle_c**7 + 25**7)) * sin(radians(2 * turn))
    return sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh / sh) ** 2 + rt * (dc / sc) * (dh / sh))
