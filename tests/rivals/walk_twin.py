"""Walkers a second time: plain numpy, all animals at once, a chance for every pair at every step."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from tests.rivals.sight_twin import _meets_ball, _meets_cube

from slackwater.society.walkers import STEP_S, Scene
from slackwater.tank.pieces import PieceKind
from slackwater.tank.rock import Rockwork

Array = NDArray[np.float64]
Claims = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Rock:
    """Pieces of rock as arrays with one row a piece."""

    balls: Claims
    centre_cm: Array
    half_cm: Array
    cosine: Array
    sine: Array

    @classmethod
    def of(cls, rockwork: Rockwork) -> "Rock":
        pieces = rockwork.pieces
        yaw = np.array([piece.yaw_rad for piece in pieces]).reshape(-1, 1)
        return cls(
            balls=np.array([piece.kind is PieceKind.ELLIPSOID for piece in pieces], bool),
            centre_cm=np.array([piece.centre_cm for piece in pieces]).reshape(-1, 1, 3),
            half_cm=np.array([piece.half_cm for piece in pieces]).reshape(-1, 1, 3),
            cosine=np.cos(yaw),
            sine=np.sin(yaw),
        )

    def frames(self, points_cm: Array) -> Array:
        """Return points in all unit frames, shape (3, P, N)."""
        x, y, z = np.moveaxis(points_cm - self.centre_cm, 2, 0)
        turned = (self.cosine * x + self.sine * y, self.cosine * y - self.sine * x, z)
        return np.stack(turned) / np.moveaxis(self.half_cm, 2, 0)

    def holds(self, points_cm: Array) -> Claims:
        """Say which points lie in rock."""
        local = self.frames(points_cm)
        in_ball = (local**2).sum(axis=0) < 1.0
        in_cube = np.abs(local).max(axis=0) < 1.0
        return np.asarray(np.where(self.balls[:, None], in_ball, in_cube).any(axis=0))

    def hides(self, here_cm: Array, there_cm: Array) -> Claims:
        """Say which segments meet rock."""
        here = self.frames(here_cm)
        step = self.frames(there_cm) - here
        hidden = _meets_ball(here[:, self.balls], step[:, self.balls]).any(axis=0)
        return np.asarray(hidden | _meets_cube(here[:, ~self.balls], step[:, ~self.balls]).any(axis=0))


def is_free(scene: Scene, rock: Rock, points_cm: Array) -> Claims:
    above_sand = points_cm[:, 2] >= scene.rockwork.sand_cm
    return np.asarray(scene.glass.contains(points_cm) & above_sand & ~rock.holds(points_cm))


def walk(scene: Scene, steps: int, rng: np.random.Generator) -> NDArray[np.int64]:
    """Return attacks [i, j] over some steps, from a start in free water."""
    rock = Rock.of(scene.rockwork)
    home = np.array([w.home_cm for w in scene.walkers])
    spread = np.array([w.spread_cm for w in scene.walkers])
    keep = np.exp(-STEP_S / np.array([[w.memory_s] for w in scene.walkers]))
    push = spread * np.sqrt(1.0 - keep**2)
    steep = -1.0 / np.array([[w.reaction_cm] for w in scene.walkers]) ** 2
    chance = scene.between_per_h * STEP_S / 3600.0
    place = _start(scene, rock, home, spread, rng)
    attacks = np.zeros(chance.shape, np.int64)
    for _ in range(steps):
        proposed = home + keep * (place - home) + push * rng.standard_normal(place.shape)
        place = np.where(is_free(scene, rock, proposed)[:, None], proposed, place)
        square = sum((place[:, None, axis] - place[None, :, axis]) ** 2 for axis in range(3))
        i, j = np.nonzero(rng.random(chance.shape) < chance * np.exp(steep * square))
        if len(i):
            seen = ~rock.hides(place[i], place[j])
            attacks[i[seen], j[seen]] += 1
    return attacks


def _start(scene: Scene, rock: Rock, home: Array, spread: Array, rng: np.random.Generator) -> Array:
    place = home + spread * rng.standard_normal(home.shape)
    while not (free := is_free(scene, rock, place)).all():
        place[~free] = (home + spread * rng.standard_normal(home.shape))[~free]
    return np.asarray(place)
