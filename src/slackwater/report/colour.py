"""One even hue from light to dark: steps of lightness that stay apart in black and white."""

from __future__ import annotations

import math

_LIGHTNESS_FROM, _LIGHTNESS_TO = 0.975, 0.50
_CHROMA_FROM, _CHROMA_TO = 0.006, 0.075
_HUE_RAD = math.radians(228.0)
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
    a, b = chroma * math.cos(_HUE_RAD), chroma * math.sin(_HUE_RAD)
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
