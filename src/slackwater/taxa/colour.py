"""How alike two animals look in colour: named areas, and the difference between named colours."""

from __future__ import annotations

import csv
import functools
import math
from collections.abc import Mapping
from importlib import resources

from slackwater.errors import DataTableError

Lab = tuple[float, float, float]

D65 = (0.95047, 1.0, 1.08883)
"""White point of daylight, X, Y, Z. [-]"""

_ALIKE_DELTA_E = 25.0
_SRGB_LINEAR = 0.04045
_HALF, _WHOLE = 180.0, 360.0


def lab_of_srgb(red: float, green: float, blue: float) -> Lab:
    """Return CIE L*a*b* (D65, 2 degrees) of an sRGB colour with channels 0 to 255.

    Notes
    -----
    The transfer function and matrix of IEC 61966-2-1 [iec1999]; from memory.
    """
    r, g, b = (_linear(channel / 255.0) for channel in (red, green, blue))
    x = 0.4124564 * r + 0.3575761 * g + 0.1804375 * b
    y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b
    z = 0.0193339 * r + 0.1191920 * g + 0.9503041 * b
    fx, fy, fz = (_cube_root(v / white) for v, white in zip((x, y, z), D65, strict=True))
    return 116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= _SRGB_LINEAR else ((channel + 0.055) / 1.055) ** 2.4


def _cube_root(ratio: float) -> float:
    return ratio ** (1.0 / 3.0) if ratio > 216.0 / 24389.0 else (24389.0 / 27.0 * ratio + 16.0) / 116.0


def ciede2000(one: Lab, two: Lab) -> float:
    """Return the CIEDE2000 colour difference of two L*a*b* colours. [-]

    Notes
    -----
    With unit weights, as set out with test pairs by Sharma, Wu and Dalal [sharma2005]; the
    pairs are in the tests.
    """
    mean_chroma = (math.hypot(*one[1:]) + math.hypot(*two[1:])) / 2.0
    grown = 1.0 + 0.5 * (1.0 - math.sqrt(_seventh(mean_chroma)))
    c1, h1 = _polar(one, grown)
    c2, h2 = _polar(two, grown)
    turn = _turn(c1 * c2, h2 - h1)
    mean_h = _mean_hue(c1 * c2, h1, h2)
    light = two[0] - one[0]
    chroma = c2 - c1
    hue = 2.0 * math.sqrt(c1 * c2) * math.sin(math.radians(turn) / 2.0)
    mean_c = (c1 + c2) / 2.0
    s_light, s_chroma, s_hue = _weights((one[0] + two[0]) / 2.0, mean_c, mean_h)
    bend = math.radians(60.0 * math.exp(-(((mean_h - 275.0) / 25.0) ** 2)))
    rotation = -2.0 * math.sqrt(_seventh(mean_c)) * math.sin(bend)
    parts = (light / s_light, chroma / s_chroma, hue / s_hue)
    return math.sqrt(sum(p * p for p in parts) + rotation * parts[1] * parts[2])


def _seventh(chroma: float) -> float:
    return chroma**7 / (chroma**7 + 25.0**7)


def _polar(lab: Lab, grown: float) -> tuple[float, float]:
    a = grown * lab[1]
    chroma = math.hypot(a, lab[2])
    hue = math.degrees(math.atan2(lab[2], a)) % 360.0 if chroma > 0.0 else 0.0
    return chroma, hue


def _turn(product: float, turn: float) -> float:
    if product == 0.0:
        return 0.0
    return turn - _WHOLE if turn > _HALF else turn + _WHOLE if turn < -_HALF else turn


def _mean_hue(product: float, h1: float, h2: float) -> float:
    if product == 0.0:
        return h1 + h2
    mean = (h1 + h2) / 2.0
    if abs(h1 - h2) <= _HALF:
        return mean
    return mean + _HALF if h1 + h2 < _WHOLE else mean - _HALF


def _weights(light: float, chroma: float, hue: float) -> tuple[float, float, float]:
    waves = (
        1.0
        - 0.17 * math.cos(math.radians(hue - 30.0))
        + 0.24 * math.cos(math.radians(2.0 * hue))
        + 0.32 * math.cos(math.radians(3.0 * hue + 6.0))
        - 0.20 * math.cos(math.radians(4.0 * hue - 63.0))
    )
    off = (light - 50.0) ** 2
    return 1.0 + 0.015 * off / math.sqrt(20.0 + off), 1.0 + 0.045 * chroma, 1.0 + 0.015 * chroma * waves


@functools.cache
def named_colours() -> Mapping[str, Lab]:
    """Return the colours that facts may name, as L*a*b*; their sRGB values are our own choice."""
    text = resources.files("slackwater.data").joinpath("colours.csv").read_text(encoding="utf-8")
    return {
        row["colour"]: lab_of_srgb(float(row["red"]), float(row["green"]), float(row["blue"]))
        for row in csv.DictReader(text.splitlines())
    }


@functools.cache
def alike() -> Mapping[tuple[str, str], float]:
    """Return how alike two named colours are, exp(-dE00 / 25), from the precomputed table. [-]"""
    text = resources.files("slackwater.data").joinpath("colour_likeness.csv").read_text(encoding="utf-8")
    table = {}
    for row in csv.DictReader(text.splitlines()):
        likeness = math.exp(-float(row["delta_e"]) / _ALIKE_DELTA_E)
        table[row["a"], row["b"]] = table[row["b"], row["a"]] = likeness
    return table


def areas(text: str) -> dict[str, float]:
    """Return the shares of named colours from `yellow:0.9;white:0.1`, summing to 1.

    Raises
    ------
    DataTableError
        If a colour is not one of `colours.csv`.
    """
    shares: dict[str, float] = {}
    for part in filter(None, (p.strip() for p in text.split(";"))):
        name, _, share = part.partition(":")
        if name.strip() not in named_colours():
            raise DataTableError(
                file="facts.csv", row=text, column="colours", problem=f"{name} is not a named colour"
            )
        shares[name.strip()] = shares.get(name.strip(), 0.0) + float(share or 1.0)
    total = sum(shares.values())
    return {name: share / total for name, share in shares.items()} if total else {}


def colour_likeness(one: Mapping[str, float], two: Mapping[str, float]) -> float:
    """Return how alike two sets of coloured areas are, 0 to 1. [-]

    Notes
    -----
    a'Kb / sqrt(a'Ka b'Kb), with K the likeness of named colours: 1 for the same areas.
    """
    if not one or not two:
        return 0.0
    return _form(one, two) / math.sqrt(_form(one, one) * _form(two, two))


def _form(one: Mapping[str, float], two: Mapping[str, float]) -> float:
    table = alike()
    return sum(a * b * table[n, m] for n, a in one.items() for m, b in two.items())
