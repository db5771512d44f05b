"""Feeding stations out of one another's sight, as far as the rock allows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.tank.sight import clear_pairs

Array = NDArray[np.float64]
Spot = tuple[float, float, float]

_ALONG = np.linspace(0.08, 0.92, 15)
_DEEP = (0.12, 0.5, 0.88)
_HIGH = (0.9, 0.6, 0.35)
_EYES_CM = 6.0


@dataclass(frozen=True)
class Stations:
    """Places for food [cm], the shortest distance between two [cm], and whether any two see each other."""

    places_cm: tuple[Spot, ...]
    apart_cm: float
    are_hidden: bool


def apart_stations(glass: Glass, rock: Rockwork, count: int) -> Stations:
    """Return places for food that do not see one another, as far apart as can be.

    Parameters
    ----------
    glass
        The tank.
    rock
        What stands between the places.
    count
        How many are wanted.

    Notes
    -----
    Places at the panes and in the middle, at three heights, clear of rock. One place after the other
    is added where the most others are hidden, then where the nearest of them is farthest; the first
    is tried everywhere. A place counts as hidden where neither it nor the water 6 cm above it sees
    the other: a fish at the food hangs above it.
    """
    spots = _spots(glass, rock)
    seen = _seen(rock, spots)
    away = np.linalg.norm(spots[:, None, :] - spots[None, :, :], axis=2)
    chosen = max((_grown(first, count, seen, away) for first in range(len(spots))), key=_worth(seen, away))
    pairs = [(a, b) for n, a in enumerate(chosen) for b in chosen[n + 1 :]]
    return Stations(
        places_cm=tuple(_spot(spots[n]) for n in sorted(chosen, key=lambda n: tuple(spots[n]))),
        apart_cm=min((float(away[a, b]) for a, b in pairs), default=float("inf")),
        are_hidden=not any(seen[a, b] for a, b in pairs),
    )


def _spot(place: Array) -> Spot:
    x, y, z = (float(v) for v in place)
    return x, y, z


def _spots(glass: Glass, rock: Rockwork) -> Array:
    grid = np.array([(a, d, h) for h in _HIGH for d in _DEEP for a in _ALONG])
    size = np.array([glass.length_cm, glass.width_cm, glass.height_cm - rock.sand_cm])
    places = grid * size + np.array([0.0, 0.0, rock.sand_cm])
    return np.asarray(places[glass.contains(places) & _is_free(places, rock)])


def _is_free(places: Array, rock: Rockwork) -> NDArray[np.bool_]:
    from slackwater import kernels_tank

    if not rock.pieces:
        return np.ones(len(places), dtype=bool)
    return np.asarray(kernels_tank.rock_distance(np.ascontiguousarray(places), rock.rock_table) > 0.0)


def _seen(rock: Rockwork, spots: Array) -> NDArray[np.bool_]:
    above = spots + np.array([0.0, 0.0, _EYES_CM])
    seen = clear_pairs(rock, np.concatenate([spots, above]))
    n = len(spots)
    return np.asarray(seen[:n, :n] | seen[:n, n:] | seen[n:, :n] | seen[n:, n:])


def _grown(first: int, count: int, seen: NDArray[np.bool_], away: Array) -> tuple[int, ...]:
    """Return stations grown from a first one."""
    chosen = [first]
    while len(chosen) < count:
        score = 1e6 * (~seen[chosen]).sum(axis=0) + away[chosen].min(axis=0)
        score[chosen] = -1.0
        chosen.append(int(np.argmax(score)))
    return tuple(chosen)


def _worth(seen: NDArray[np.bool_], away: Array) -> Callable[[tuple[int, ...]], tuple[int, float]]:
    """Return what to choose stations by: pairs that are hidden, then the shortest distance."""

    def worth(chosen: tuple[int, ...]) -> tuple[int, float]:
        pairs = [(a, b) for n, a in enumerate(chosen) for b in chosen[n + 1 :]]
        hidden = sum(1 for a, b in pairs if not seen[a, b])
        return hidden, min((float(away[a, b]) for a, b in pairs), default=0.0)

    return worth
