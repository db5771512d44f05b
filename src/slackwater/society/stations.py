"""What places for food are worth: two that one animal can hold at once are hardly two."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Keeping
from slackwater.tank.rock import Rockwork
from slackwater.tank.sight import clear_pairs

Array = NDArray[np.float64]

EYES_CM = 6.0
"""How far above the food a fish at it hangs. [cm]"""


def placed(keeping: Keeping, rock: Rockwork, divider_cm: float | None, rules: Rules) -> Keeping:
    """Return the keeping with what its places for food are worth among this rock.

    Parameters
    ----------
    keeping
        How the tank is kept; without places it is returned as it is.
    rock
        What hides one place from another.
    divider_cm
        How far a sheet stands from the left pane; None without one. [cm]
    rules
        The coefficients.
    """
    if not keeping.places_cm:
        return keeping
    places = np.array(keeping.places_cm, dtype=float)
    held = held_together(places, rock, rules["station_apart_cm"])
    everywhere = np.ones(len(places), dtype=bool)
    left = everywhere if divider_cm is None else places[:, 0] < divider_cm
    right = everywhere if divider_cm is None else ~left
    held = np.where(left[:, None] == left[None, :], held, 0.0) if divider_cm is not None else held
    whole, on_left, on_right = (worth(held[np.ix_(here, here)]) for here in (everywhere, left, right))
    return replace(keeping, stations=len(places), stations_worth=(whole, on_left, on_right))


def held_together(places_cm: Array, rock: Rockwork, apart_cm: float) -> Array:
    """Return how far one animal holds two places at once, shape (S, S). [0 to 1]

    Notes
    -----
    exp(-(d/a)^2) times the share of four looks that pass between two places and the water 6 cm above
    them: d their distance, a the distance at which one animal holds both poorly. Assumed.
    """
    n = len(places_cm)
    seen = clear_pairs(rock, np.concatenate([places_cm, places_cm + np.array([0.0, 0.0, EYES_CM])]))
    looks = (seen[:n, :n].astype(float) + seen[:n, n:] + seen[n:, :n] + seen[n:, n:]) / 4.0
    away = np.linalg.norm(places_cm[:, None, :] - places_cm[None, :, :], axis=2)
    held = np.exp(-((away / apart_cm) ** 2)) * looks
    np.fill_diagonal(held, 1.0)
    return np.asarray(held)


def worth(held: Array) -> float:
    """Return the effective number of places, n^2 over the sum of what is held together, at least 1. [-]

    Examples
    --------
    >>> worth(np.eye(3)), worth(np.ones((3, 3)))
    (3.0, 1.0)
    """
    return max(len(held) ** 2 / float(held.sum()), 1.0) if len(held) else 1.0
