"""The rules of the walkers as a plain Mesa model: one agent an animal, attributes and pure Python."""

from __future__ import annotations

import math

import mesa

from slackwater.society.walkers import STEP_S, Scene, Walker
from slackwater.tank.pieces import Piece, PieceKind, Point


class Fish(mesa.Agent):
    """An animal that walks and attacks."""

    def __init__(self, model: Tank, walker: Walker, chances: list[float]) -> None:
        super().__init__(model)
        self.home, self.spread = walker.home_cm, walker.spread_cm
        self.keep = math.exp(-STEP_S / walker.memory_s)
        self.push = math.sqrt(1.0 - self.keep**2)
        self.reaction2 = walker.reaction_cm**2
        self.chances = chances
        self.attacks = [0] * len(chances)
        self.place = self._drawn(self.home, self.spread)
        while not model.is_free(self.place):
            self.place = self._drawn(self.home, self.spread)

    def _drawn(self, middle: Point, width: Point) -> Point:
        gauss = self.random.gauss
        (x, y, z), (a, b, c) = middle, width
        return gauss(x, a), gauss(y, b), gauss(z, c)

    def move(self) -> None:
        """Walk a step, if it leads into free water."""
        (mx, my, mz), (x, y, z), (a, b, c) = self.home, self.place, self.spread
        keep, push = self.keep, self.push
        middle = (mx + keep * (x - mx), my + keep * (y - my), mz + keep * (z - mz))
        proposed = self._drawn(middle, (push * a, push * b, push * c))
        if self.model.is_free(proposed):
            self.place = proposed

    def attack(self) -> None:
        """Attack by chance whoever is near and in plain sight."""
        x, y, z = self.place
        for j, other in enumerate(self.model.fish):
            chance = self.chances[j]
            if chance > 0.0 and self.random.random() < chance:
                u, v, w = other.place
                square = (u - x) ** 2 + (v - y) ** 2 + (w - z) ** 2
                is_near = self.random.random() < math.exp(-square / self.reaction2)
                if is_near and self.model.is_clear(self.place, other.place):
                    self.attacks[j] += 1


class Tank(mesa.Model):
    """A tank of fish."""

    def __init__(self, scene: Scene, seed: int) -> None:
        super().__init__(seed=seed)
        glass = scene.glass
        self.size, self.sand = (glass.length_cm, glass.width_cm, glass.height_cm), scene.rockwork.sand_cm
        self.rock = [
            (piece, math.cos(piece.yaw_rad), math.sin(piece.yaw_rad)) for piece in scene.rockwork.pieces
        ]
        chance = scene.rate_per_h * STEP_S / 3600.0
        for i, walker in enumerate(scene.walkers):
            chances = chance[i].tolist()
            chances[i] = 0.0
            Fish(self, walker, chances)
        self.fish = list(self.agents)

    def step(self) -> None:
        """Let all move, then all attack."""
        self.agents.do("move")
        self.agents.do("attack")

    def is_free(self, place: Point) -> bool:
        """Say whether a place is within glass, above the sand and outside rock."""
        x, y, z = place
        length, width, height = self.size
        if not (0.0 <= x <= length and 0.0 <= y <= width and self.sand <= z <= height):
            return False
        return not any(_holds(piece, _frame(piece, cosine, sine, place)) for piece, cosine, sine in self.rock)

    def is_clear(self, here: Point, there: Point) -> bool:
        """Say whether no rock stands between two places."""
        return not any(
            _meets(piece, _frame(piece, cosine, sine, here), _frame(piece, cosine, sine, there))
            for piece, cosine, sine in self.rock
        )


def _frame(piece: Piece, cosine: float, sine: float, place: Point) -> Point:
    (x, y, z), (a, b, c), (p, q, r) = piece.centre_cm, piece.half_cm, place
    dx, dy = p - x, q - y
    return (cosine * dx + sine * dy) / a, (cosine * dy - sine * dx) / b, (r - z) / c


def _holds(piece: Piece, local: Point) -> bool:
    u, v, w = local
    if piece.kind is PieceKind.ELLIPSOID:
        return u * u + v * v + w * w < 1.0
    return abs(u) < 1.0 and abs(v) < 1.0 and abs(w) < 1.0


def _meets(piece: Piece, here: Point, there: Point) -> bool:
    step = tuple(b - a for a, b in zip(here, there, strict=True))
    if piece.kind is PieceKind.ELLIPSOID:
        along = -sum(a * d for a, d in zip(here, step, strict=True))
        t = min(max(along / (sum(d * d for d in step) + 1e-12), 0.0), 1.0)
        return sum((a + t * d) ** 2 for a, d in zip(here, step, strict=True)) < 1.0
    enter, leave = 0.0, 1.0
    for a, d in zip(here, step, strict=True):
        first, second = sorted(((-1.0 - a) / (d or 1e-12), (1.0 - a) / (d or 1e-12)))
        enter, leave = max(enter, first), min(leave, second)
    return enter < leave
