"""One even hue from light to dark: steps of lightness that stay apart in black and white."""

from __future__ import annotations

import functools
import math

from slackwater.taxa.colour import D65, Lab, named_colours

_LIGHTNESS_FROM, _LIGHTNESS_TO = 0.975, 0.50
_CHROMA_FROM, _CHROMA_TO = 0.006, 0.075
_HUE_RAD = math.radians(228.0)
_MUTED_FROM, _MUTED_SPAN, _MUTED_CHROMA = 0.28, 0.62, 0.62
_LINEAR_F = 6.0 / 29.0
_LINEAR_UP_TO = 0.0031308


def even_hue(depth: float) -> str:
    """Return the colour for a depth from 0 (light) to 1 (dark) along one hue, even in lightness.

    Notes
    -----
    Oklab with its two matrices, [ottosson20]; then the transfer curve of sRGB, IEC 61966-2-1.

    Examples
    --------
    >>> even_hue(0.0)
    '#f3f8fa'
    """
    lightness = _LIGHTNESS_FROM + (_LIGHTNESS_TO - _LIGHTNESS_FROM) * depth
    chroma = _CHROMA_FROM + (_CHROMA_TO - _CHROMA_FROM) * depth
    return _of_oklab(lightness, chroma * math.cos(_HUE_RAD), chroma * math.sin(_HUE_RAD))


@functools.cache
def muted(name: str) -> str:
    """Return a named colour as a printer's tint: towards mid lightness, with half of its chroma or so.

    Notes
    -----
    Oklab, [ottosson20]; the named colours are those of `colours.csv`, by which animals are compared.
    """
    x, y, z = (white * _ratio(value) for white, value in zip(D65, _f_of(named_colours()[name]), strict=True))
    long = math.cbrt(0.8189330101 * x + 0.3618667424 * y - 0.1288597137 * z)
    middle = math.cbrt(0.0329845436 * x + 0.9293118715 * y + 0.0361456387 * z)
    short = math.cbrt(0.0482003018 * x + 0.2643662691 * y + 0.6338517070 * z)
    lightness = 0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short
    a = 1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short
    b = 0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short
    return _of_oklab(_MUTED_FROM + _MUTED_SPAN * lightness, _MUTED_CHROMA * a, _MUTED_CHROMA * b)


def _f_of(lab: Lab) -> tuple[float, float, float]:
    """Return f(X/Xn), f(Y/Yn), f(Z/Zn) of CIE L*a*b*."""
    f_y = (lab[0] + 16.0) / 116.0
    return f_y + lab[1] / 500.0, f_y, f_y - lab[2] / 200.0


def _ratio(f: float) -> float:
    return f**3 if f > _LINEAR_F else 3.0 * _LINEAR_F**2 * (f - 4.0 / 29.0)


def _of_oklab(lightness: float, a: float, b: float) -> str:
    """Return a colour of Oklab for a page."""
    long = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3
    middle = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3
    short = (lightness - 0.0894841775 * a - 1.2914855480 * b) ** 3
    linear = (
        4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short,
        -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short,
        -0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short,
    )
    return "#" + "".join(f"{_display(value):02x}" for value in linear)


def _display(linear: float) -> int:
    value = min(1.0, max(0.0, linear))
    coded = 12.92 * value if value <= _LINEAR_UP_TO else 1.055 * value ** (1 / 2.4) - 0.055
    return round(255 * coded)
