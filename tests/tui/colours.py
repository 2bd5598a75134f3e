"""How colours look to an eye, for the tests of the looks.

Relative luminance and contrast ratio as WCAG 2.1 defines them; colours to CIELAB by IEC 61966-2-1 (sRGB, white point
D65); distance by CIEDE2000 as Sharma, Wu and Dalal write it out (Color Research and Application 30, 2005); colour-weak
eyes by the matrices of Machado, Oliveira and Fernandes (IEEE TVCG 15, 2009) at severity 1.0, on linear light.
"""

from __future__ import annotations

from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

Three = tuple[float, float, float]
EYES: dict[str, tuple[Three, Three, Three]] = {
    "all colours": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
    "no colours": ((0.2126, 0.7152, 0.0722),) * 3,  # the luminance alone
}
TO_XYZ = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
TONE = (
    (-0.17, 1, -30),
    (0.24, 2, 0),
    (0.32, 3, 6),
    (-0.20, 4, -63),
)  # of CIEDE2000: weight, multiple, degrees
WHITE_POINT = (0.95047, 1.0, 1.08883)


def linear(colour: str) -> Three:
    """Linear light, 0 to 1, of `#rrggbb`; the threshold is the one WCAG prints, of no effect on 8-bit colours."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return _linear(red), _linear(green), _linear(blue)


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.03928 else float(((part + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1."""
    red, green, blue = linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def seen(colour: str, eyes: str) -> Three:
    """CIELAB of a colour as such eyes have it."""
    light = linear(colour)
    red, green, blue = (min(1.0, max(0.0, value)) for value in _times(EYES[eyes], light))
    return lab((red, green, blue))


def lab(light: Three) -> Three:
    """CIELAB of linear sRGB light."""
    x, y, z = (_curve(value / white) for value, white in zip(_times(TO_XYZ, light), WHITE_POINT, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _curve(part: float) -> float:
    return float(part ** (1 / 3)) if part > 216 / 24389 else (24389 / 27 * part + 16) / 116


def _times(matrix: tuple[Three, Three, Three], light: Three) -> Three:
    first, second, third = (sum(a * b for a, b in zip(line, light, strict=True)) for line in matrix)
    return first, second, third


def ciede2000(one: Three, other: Three) -> float:
    """Distance of two CIELAB colours; about 1 is just seen side by side."""
    mean = (hypot(*one[1:]) + hypot(*other[1:])) / 2
    stretch = 1 + 0.5 * (1 - sqrt(mean**7 / (mean**7 + 25.0**7)))
    (c1, h1), (c2, h2) = _polar(one, stretch), _polar(other, stretch)
    light, chroma = other[0] - one[0], c2 - c1
    turn = 0.0 if c1 * c2 == 0 else (h2 - h1 + 180) % 360 - 180
    hue = 2 * sqrt(c1 * c2) * sin(radians(turn / 2))
    return _weighed((light, chroma, hue), (one[0] + other[0]) / 2, (c1 + c2) / 2, _mean_hue(c1, h1, c2, h2))


def _polar(colour: Three, stretch: float) -> tuple[float, float]:
    a = colour[1] * stretch
    return hypot(a, colour[2]), degrees(atan2(colour[2], a)) % 360


def _mean_hue(c1: float, h1: float, c2: float, h2: float) -> float:
    if c1 * c2 == 0:
        return h1 + h2
    if abs(h1 - h2) <= 180:
        return (h1 + h2) / 2
    return (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2


def _weighed(off: Three, light: float, chroma: float, hue: float) -> float:
    tone = 1 + sum(weight * cos(radians(times * hue + shift)) for weight, times, shift in TONE)
    by_light = off[0] / (1 + 0.015 * (light - 50) ** 2 / sqrt(20 + (light - 50) ** 2))
    by_chroma = off[1] / (1 + 0.045 * chroma)
    by_hue = off[2] / (1 + 0.015 * chroma * tone)
    turned = -2 * sqrt(chroma**7 / (chroma**7 + 25.0**7)) * sin(radians(60 * exp(-(((hue - 275) / 25) ** 2))))
    return sqrt(by_light**2 + by_chroma**2 + by_hue**2 + turned * by_chroma * by_hue)
