"""The compiled loop in which animals walk and attack.

It shares no geometry with the loops of the field, which it is there to check: it asks one point
or one segment at a time, in float64. That also spares it a trap: numba keeps compiled code by
the file of the caller, so a changed helper in another file would leave stale code in the cache.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import Doubles, Floats, loop

Counts = NDArray[np.int64]

_FLAT = 1e-12
_TRIES = 1_000_000


@loop()
def _in_frame(point: Any, piece: Doubles) -> tuple[float, float, float]:
    """Return a point in a piece's unit frame."""
    x, y, z = point[0] - piece[1], point[1] - piece[2], point[2] - piece[3]
    along, v = x * piece[7] + y * piece[8], y * piece[7] - x * piece[8]
    u, w = along * piece[9] + z * piece[10], z * piece[9] - along * piece[10]
    return u / piece[4], v / piece[5], w / piece[6]


@loop()
def _holds(piece: Doubles, point: Any) -> bool:
    u, v, w = _in_frame(point, piece)
    if piece[0] == 0.0:
        return u * u + v * v + w * w < 1.0
    return max(abs(u), abs(v), abs(w)) < 1.0


@loop()
def is_free(point: Any, gait: Doubles, water: Doubles, rock: Doubles) -> bool:
    """Say whether an animal may be at a point: within glass, sand, its own stretch and no rock."""
    x, y, z = point
    radius = 0.5 * water[0]
    if x < max(gait[8], 0.0) or x > min(gait[9], water[0]) or y < 0.0 or y > water[1]:
        return False
    if z < water[3] or z > water[2]:
        return False
    if water[4] > 0.0 and (x - radius) ** 2 + (y - radius) ** 2 > radius * radius:
        return False
    for p in range(rock.shape[0]):
        if _holds(rock[p], point):
            return False
    return True


@loop()
def _meets_ball(here: Any, there: Any) -> bool:
    """Say whether the point of a segment nearest to the middle lies in the unit ball."""
    x, y, z = here
    dx, dy, dz = there[0] - x, there[1] - y, there[2] - z
    t = -(x * dx + y * dy + z * dz) / (dx * dx + dy * dy + dz * dz + _FLAT)
    t = min(max(t, 0.0), 1.0)
    return (x + t * dx) ** 2 + (y + t * dy) ** 2 + (z + t * dz) ** 2 < 1.0


@loop()
def _meets_cube(here: Any, there: Any) -> bool:
    """Clip a segment by the three pairs of faces of the unit cube."""
    enter, leave = 0.0, 1.0
    for axis in range(3):
        step = there[axis] - here[axis]
        # A select, not a sum: fastmath would lose the guard against a step of nothing.
        step = step if abs(step) > _FLAT else _FLAT
        first, second = (-1.0 - here[axis]) / step, (1.0 - here[axis]) / step
        enter, leave = max(enter, min(first, second)), min(leave, max(first, second))
    return enter < leave


@loop()
def is_clear(here: Any, there: Any, rock: Doubles) -> bool:
    """Say whether no rock stands between two points."""
    for p in range(rock.shape[0]):
        start, end = _in_frame(here, rock[p]), _in_frame(there, rock[p])
        meets = _meets_ball(start, end) if rock[p, 0] == 0.0 else _meets_cube(start, end)
        if meets:
            return False
    return True


@loop()
def _placed(rng: Any, gait: Doubles, water: Doubles, rock: Doubles, place: Doubles) -> bool:
    """Put an animal where its Gaussian and the free water allow; say whether that was possible."""
    for _ in range(_TRIES):
        for axis in range(3):
            place[axis] = gait[axis] + gait[3 + axis] * rng.standard_normal()
        if is_free((place[0], place[1], place[2]), gait, water, rock):
            return True
    return False


@loop()
def _step(rng: Any, gait: Doubles, water: Doubles, rock: Doubles, place: Doubles) -> None:
    """Move an animal on, or leave it where it is if it would not be in free water."""
    keep = gait[6]
    push = np.sqrt(1.0 - keep * keep)
    x = gait[0] + keep * (place[0] - gait[0]) + push * gait[3] * rng.standard_normal()
    y = gait[1] + keep * (place[1] - gait[1]) + push * gait[4] * rng.standard_normal()
    z = gait[2] + keep * (place[2] - gait[2]) + push * gait[5] * rng.standard_normal()
    if is_free((x, y, z), gait, water, rock):
        place[0], place[1], place[2] = x, y, z


@loop()
def _strikes(rng: Any, here: Doubles, there: Doubles, reaction_cm: float, rock: Doubles) -> bool:
    """Say whether a possible attack happens: with chance exp(-d2 / reaction2), if in plain sight."""
    x, y, z = there[0] - here[0], there[1] - here[1], there[2] - here[2]
    if rng.standard_exponential() * reaction_cm * reaction_cm < x * x + y * y + z * z:
        return False
    return is_clear((here[0], here[1], here[2]), (there[0], there[1], there[2]), rock)


@loop()
def _noted(chases: Counts, noted: int, step: int, attacker: int, victim: int) -> int:
    """Write a chase down if there is room; return how many have been."""
    if noted < chases.shape[0]:
        chases[noted, 0], chases[noted, 1], chases[noted, 2] = step, attacker, victim
        return noted + 1
    return noted


@loop(
    "i8(npy_rng, f8[:,::1], f8[::1], f8[:,::1], i8[:,::1], f8[::1], i8, i8, "
    "f4[:,:,::1], i8[:,::1], i8[:,::1])"
)
def walk(
    rng: Any,
    gaits: Doubles,
    water: Doubles,
    rock: Doubles,
    pairs: Counts,
    upto: Doubles,
    steps: int,
    every: int,
    track: Floats,
    attacks: Counts,
    chases: Counts,
) -> int:
    """Let animals walk for some steps, count attacks [i, j] and keep their track (T, n, 3).

    The track holds a place for `every` so many steps, from the start until it is full; `chases`
    (K, 3) step, attacker and victim of each attack, in turn until it is full.
    `gaits` holds per animal home and spread x y z [cm], the share of its way from home kept in a
    step, reaction distance [cm] and the stretch along x it is kept to [cm]; `water` inner length,
    width, height, sand depth [cm] and 1 for round glass; `upto` the running sum over `pairs` of
    attacks in a step at full encounter. Returns an animal that finds no free water, or -1.
    """
    animals = gaits.shape[0]
    places = np.empty((animals, 3))
    for i in range(animals):
        if not _placed(rng, gaits[i], water, rock, places[i]):
            return i
    total = upto[-1] if upto.shape[0] > 0 else 0.0
    due = rng.standard_exponential()
    noted = 0
    for step in range(steps):
        if step % every == 0 and step // every < track.shape[0]:
            track[step // every] = places
        for i in range(animals):
            _step(rng, gaits[i], water, rock, places[i])
        # Possible attacks fall as a Poisson process along the summed rates of all pairs: only
        # those that fall into this step are looked at, and only the near ones need sight.
        while due < total:
            pair = np.searchsorted(upto, due, side="right")
            i, j = pairs[pair, 0], pairs[pair, 1]
            if _strikes(rng, places[i], places[j], gaits[i, 7], rock):
                attacks[i, j] += 1
                noted = _noted(chases, noted, step, i, j)
            due += rng.standard_exponential()
        due -= total
    return -1


def warm() -> None:
    """Run the loop once in a toy tank, so that compiled code stands in the cache."""
    gaits = np.array([[3.0, 3, 5, 2, 2, 2, 0.9, 5, 0, 10], [7.0, 7, 5, 2, 2, 2, 0.9, 5, 0, 10]])
    rock = np.array([[0.0, 5, 5, 3, 1, 1, 1, 1, 0, 1, 0], [1.0, 5, 5, 6, 1, 1, 0.5, 1, 0, 1, 0]])
    water = np.array([10.0, 10.0, 10.0, 1.0, 0.0])
    pairs, upto = np.array([[0, 1], [1, 0]]), np.array([1.0, 2.0])
    track, attacks = np.zeros((1, 2, 3), np.float32), np.zeros((2, 2), np.int64)
    chases = np.zeros((1, 3), np.int64)
    walk(np.random.default_rng(0), gaits, water, rock, pairs, upto, 10, 5, track, attacks, chases)
