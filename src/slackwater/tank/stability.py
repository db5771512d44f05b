"""Whether listed stones can stand as they are placed: on something, without tipping, inside the glass.

A stone stands when the middle of what it carries and weighs lies over the places where it rests.
Real stones have flat feet and catch on one another, so a gap of a centimetre counts as touching.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.pieces import Piece, PieceKind, as_table
from slackwater.tank.shapes import Glass
from slackwater.tank.stone import LEVEL, Form, Stone, bodies

Array = NDArray[np.float64]

TOUCH_CM = 1.0
"""Gap that counts as touching; assumed. [cm]"""

BURIED_SHARE = 0.5
"""Share of a stone that may lie inside another before it is no way to stack them; assumed. [-]"""

THROUGH_CM = 0.3
"""How far a stone may reach into a pane, for rounding. [cm]"""

FLOOR = -1
"""The number of the floor among what a stone rests on."""

_STEPS = 25
_WAYS = np.array([(math.cos(a), math.sin(a)) for a in np.linspace(0.0, 2.0 * math.pi, 72, endpoint=False)])


class Fault(StrEnum):
    """What is wrong with a stone's place."""

    FLOATS = "floats"
    LEANS = "leans out"
    THROUGH_GLASS = "goes through the glass"
    TOO_HIGH = "stands out of the water"
    INSIDE_ANOTHER = "lies inside another stone"


@dataclass(frozen=True)
class Standing:
    """How one stone stands.

    Parameters
    ----------
    stone
        Its number, from 0.
    gap_cm
        Room below it where it comes closest to what it could rest on, below 0 if pressed in. [cm]
    margin_cm
        How far the middle of its load lies inside its support, below 0 outside. [cm]
    rests_on
        Numbers of the stones below it; -1 is the floor.
    load_kg
        Its own mass and what it carries, out of the water. [kg]
    faults
        What is wrong, worst first; empty if it stands.
    by_cm
        By how much, in the order of the faults. [cm]
    """

    stone: int
    gap_cm: float
    margin_cm: float
    rests_on: tuple[int, ...]
    load_kg: float
    faults: tuple[Fault, ...] = ()
    by_cm: tuple[float, ...] = ()


def standings(stones: tuple[Stone, ...], glass: Glass) -> tuple[Standing, ...]:
    """Return how every stone stands, in the order given.

    Parameters
    ----------
    stones
        The stones as listed.
    glass
        The tank.

    Notes
    -----
    A stone rests on the floor and on whatever lies close below it; where two each lie below the
    other, as boulders that overlap do, the one that reaches lower bears. What a stone carries is
    shared among its supports by nearness, which for two is the lever rule. Stones that are fixed
    need to touch something, may lean, and may lie inside one another, as the bodies of a scan do.
    """
    probed = [_Probe.of(stone) for stone in stones]
    contacts = _mended([_contacts(n, probed) for n in range(len(stones))], probed)
    loads = [_Load(stone.weight_kg, probe.middle) for stone, probe in zip(stones, probed, strict=True)]
    for n in _from_the_top(contacts, probed):
        for below, spots in contacts[n].spots.items():
            if below != FLOOR:
                loads[below].carried.append((loads[n].on(contacts[n], below), spots.mean(axis=0)))
    return tuple(_standing(n, probed, contacts[n], loads[n], glass) for n in range(len(stones)))


def _mended(contacts: list[_Contacts], probed: list[_Probe]) -> list[_Contacts]:
    """Return contacts of which no two stones bear each other, and none hangs on what itself floats."""
    for n, mine in enumerate(contacts):
        for k in [k for k in mine.spots if k != FLOOR and n in contacts[k].spots]:
            upper = n if (probed[n].lowest_cm, n) > (probed[k].lowest_cm, k) else k
            del contacts[n + k - upper].spots[upper]
    grounded = {FLOOR}
    while found := {n for n, c in enumerate(contacts) if n not in grounded and grounded & c.spots.keys()}:
        grounded |= found
    fixed = {n for n, probe in enumerate(probed) if probe.stone.is_fixed}
    return [
        _Contacts(c.gap_cm, {k: s for k, s in c.spots.items() if k in grounded | fixed}) for c in contacts
    ]


def _from_the_top(contacts: list[_Contacts], probed: list[_Probe]) -> list[int]:
    """Return the stones in an order in which each comes after all that rest on it."""
    left = sorted(range(len(contacts)), key=lambda n: (-probed[n].lowest_cm, -n))
    order: list[int] = []
    while left:
        free = [n for n in left if not any(n in contacts[k].spots for k in left if k != n)] or left[:1]
        order.append(free[0])
        left.remove(free[0])
    return order


def is_standing(stones: tuple[Stone, ...], glass: Glass) -> bool:
    """Say whether every stone stands in its place."""
    return not any(standing.faults for standing in standings(stones, glass))


def let_down(stone: Stone, before: tuple[Stone, ...]) -> Stone:
    """Return a stone on the floor, or on the highest of the stones below it.

    Parameters
    ----------
    stone
        The stone; its base is left out of account.
    before
        The stones that lie there already.
    """
    on_floor = stone.moved_to(stone.x_cm, stone.y_cm, 0.0)
    me = _Probe.of(on_floor)
    rise = 0.0
    for other in before:
        if not other.is_soft and len(me.spots):
            _, highs = _felt(me.spots, bodies(other))
            rise = max(rise, float((highs - me.bottoms).max()))
    return stone.moved_to(stone.x_cm, stone.y_cm, rise)


@dataclass
class _Probe:
    """A stone felt from below by upright lines."""

    stone: Stone
    pieces: tuple[Piece, ...]
    spots: Array
    bottoms: Array
    tops: Array
    middle: Array
    lowest_cm: float

    @classmethod
    def of(cls, stone: Stone) -> _Probe:
        pieces = bodies(stone)
        spans = np.array([piece.spans_cm for piece in pieces])
        centres = np.array([piece.centre_cm for piece in pieces])
        low, high = (centres - spans).min(axis=0), (centres + spans).max(axis=0)
        xs, ys = (np.linspace(a, b, 2 * _STEPS + 1)[1::2] for a, b in zip(low[:2], high[:2], strict=True))
        spots = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        bottoms, tops = _felt(spots, pieces)
        if stone.form in LEVEL:
            bottoms = np.maximum(bottoms, stone.base_cm)
        kept = bottoms < tops
        volumes = np.array([piece.volume_l for piece in pieces])
        middle = (volumes[:, None] * centres[:, :2]).sum(axis=0) / volumes.sum()
        lowest = float(bottoms[kept].min()) if kept.any() else stone.base_cm
        return cls(stone, pieces, spots[kept], bottoms[kept], tops[kept], middle, lowest)


@dataclass
class _Contacts:
    """Where a stone rests: spots by what is below, and the closest gap."""

    gap_cm: float
    spots: dict[int, Array]


@dataclass
class _Load:
    """What a stone weighs and carries."""

    own_kg: float
    own_spot: Array
    carried: list[tuple[float, Array]] = field(default_factory=list)

    @property
    def kg(self) -> float:
        return self.own_kg + sum(kg for kg, _ in self.carried)

    @property
    def spot(self) -> Array:
        if self.kg <= 0.0:
            return self.own_spot
        moment = self.own_kg * self.own_spot + sum((kg * spot for kg, spot in self.carried), np.zeros(2))
        return np.asarray(moment / self.kg)

    def on(self, contacts: _Contacts, below: int) -> float:
        """Return what falls on one of the supports: the nearer bear more. [kg]"""
        away = {n: float(np.linalg.norm(s.mean(axis=0) - self.spot)) for n, s in contacts.spots.items()}
        parts = {n: 1.0 / (distance + 1e-6) for n, distance in away.items()}
        return self.kg * parts[below] / sum(parts.values())


def _felt(spots: Array, pieces: tuple[Piece, ...]) -> tuple[Array, Array]:
    """Return the lowest and highest rock on upright lines; not rising where there is none. [cm]"""
    from slackwater import kernels_tank

    ends = kernels_tank.profiles(np.ascontiguousarray(spots), as_table(pieces))
    met = ends[:, :, 0] < ends[:, :, 1]
    bottoms = np.where(met, ends[:, :, 0], np.inf).min(axis=0)
    tops = np.where(met, ends[:, :, 1], -np.inf).max(axis=0)
    return bottoms, tops


def _contacts(n: int, probed: list[_Probe]) -> _Contacts:
    """Return where a stone touches the floor and the stones below it."""
    me = probed[n]
    gaps = {FLOOR: me.bottoms}
    for k, other in enumerate(probed):
        if k == n or other.stone.is_soft:
            continue
        lows, highs = _felt(me.spots, other.pieces)
        gaps[k] = np.where(lows < me.bottoms, me.bottoms - highs, np.inf)
    spots = {k: me.spots[gap < TOUCH_CM] for k, gap in gaps.items() if (gap < TOUCH_CM).any()}
    closest = min(float(gap.min()) for gap in gaps.values())
    return _Contacts(closest, spots)


def _standing(n: int, probed: list[_Probe], contacts: _Contacts, load: _Load, glass: Glass) -> Standing:
    me = probed[n]
    margin = _margin_cm(contacts, load.spot, me)
    found = list(_faults(n, probed, contacts, margin, glass))
    return Standing(
        stone=n,
        gap_cm=contacts.gap_cm,
        margin_cm=margin,
        rests_on=tuple(contacts.spots),
        load_kg=load.kg,
        faults=tuple(fault for fault, _ in found),
        by_cm=tuple(by for _, by in found),
    )


def _margin_cm(contacts: _Contacts, spot: Array, me: _Probe) -> float:
    """Return how far a place lies inside the hull of the contact spots. [cm]"""
    if not contacts.spots:
        return -math.inf
    touched = np.vstack(list(contacts.spots.values()))
    slack = 0.5 * float(np.ptp(me.spots, axis=0).max()) / _STEPS
    return float(((touched @ _WAYS.T).max(axis=0) - _WAYS @ spot).min()) + slack


def _faults(
    n: int, probed: list[_Probe], contacts: _Contacts, margin_cm: float, glass: Glass
) -> Iterator[tuple[Fault, float]]:
    me = probed[n]
    through = max(_through_panes_cm(me.pieces, glass), _through_walls_cm(me.spots, glass))
    if through > THROUGH_CM:
        yield Fault.THROUGH_GLASS, through
    out = float(me.tops.max()) - glass.height_cm if len(me.tops) else 0.0
    if out > THROUGH_CM:
        yield Fault.TOO_HIGH, out
    held = me.stone.is_fixed and (_at_pane(me.pieces, glass) or _touches_any(n, probed))
    if not contacts.spots and not held:
        yield Fault.FLOATS, max(contacts.gap_cm, 0.0)
    elif margin_cm < 0.0 and not held and not me.stone.is_soft:
        yield Fault.LEANS, -margin_cm
    loose = [o for k, o in enumerate(probed) if k != n and not (me.stone.is_fixed and o.stone.is_fixed)]
    if any(_share_inside(me, other) > BURIED_SHARE for other in loose):
        yield Fault.INSIDE_ANOTHER, 0.0


def _through_panes_cm(pieces: tuple[Piece, ...], glass: Glass) -> float:
    """Return how far the farthest body reaches through a pane. [cm]"""
    return max(_past_cm(piece, glass) for piece in pieces)


def _past_cm(piece: Piece, glass: Glass) -> float:
    """Return how far a body reaches beyond the panes, below 0 if it stands off them. [cm]"""
    starts, normals = glass.hull.panes
    across = normals @ (piece.axes[:2, :] * np.array(piece.half_cm))
    is_slab = piece.kind is PieceKind.SLAB
    reach = np.abs(across).sum(axis=1) if is_slab else np.linalg.norm(across, axis=1)
    inside = ((np.array(piece.centre_cm[:2]) - starts) * normals).sum(axis=1)
    return float((reach - inside).max())


def _through_walls_cm(spots: Array, glass: Glass) -> float:
    if not glass.walls or not len(spots):
        return 0.0
    return -float(glass.clearance_cm(spots).min())


def _at_pane(pieces: tuple[Piece, ...], glass: Glass) -> bool:
    return _through_panes_cm(pieces, glass) > -TOUCH_CM


def _touches_any(n: int, probed: list[_Probe]) -> bool:
    """Say whether a fixed stone meets any other, above or below."""
    me = probed[n]
    for k, other in enumerate(probed):
        if k == n:
            continue
        lows, highs = _felt(me.spots, other.pieces)
        if ((lows - me.tops < TOUCH_CM) & (me.bottoms - highs < TOUCH_CM)).any():
            return True
    return False


def _share_inside(me: _Probe, other: _Probe) -> float:
    """Return the share of a stone that lies within the upright extent of another. [-]"""
    if me.stone.form is Form.ANEMONE or other.stone.is_bed or not len(me.spots):
        return 0.0
    lows, highs = _felt(me.spots, other.pieces)
    shared = np.minimum(me.tops, highs) - np.maximum(me.bottoms, lows)
    return float(np.maximum(shared, 0.0).sum() / (me.tops - me.bottoms).sum())
