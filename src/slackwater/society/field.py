"""The encounter field of a company in one rock layout: homes, encounters, pressure, sight."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.attacks import Constants, contest
from slackwater.society.company import Individual, Situation
from slackwater.society.encounters import encounters, reach
from slackwater.society.recognition import LADDER_CM, reaction_radius_cm, rung_weights
from slackwater.society.residency import head_starts
from slackwater.society.use import Ground, retreat, settle, usable
from slackwater.tank.cells import cut
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass

Array = NDArray[np.float64]

MOST_CELLS = 6000
_SAME_DAY = 0.5


def edge_for(situation: Situation, *, fine: bool) -> float:
    """Return the cell edge: 5 cm for answers, 10 cm for search, coarser in very large tanks. [cm]"""
    litres = situation.glass.volume_l
    most = MOST_CELLS if fine else MOST_CELLS // 3
    return max(5.0 if fine else 10.0, float((1000.0 * litres / most) ** (1.0 / 3.0)))


@dataclass(frozen=True)
class Rungs:
    """For each ordered pair of parties, the lower ladder rung and the share of the next."""

    lower: NDArray[np.int64]
    share: Array

    @classmethod
    def of(cls, leaders: tuple[Individual, ...], rules: Rules) -> Rungs:
        """Return the rungs of all pairs of parties, [attacker, victim]."""
        n = len(leaders)
        lower = np.zeros((n, n), dtype=np.int64)
        share = np.zeros((n, n))
        for i, a in enumerate(leaders):
            for j, b in enumerate(leaders):
                radius = reaction_radius_cm(a.species, b.species, a.length_cm, rules)
                lower[i, j], share[i, j] = rung_weights(radius)
        return cls(lower, share)

    def mix(self, by_rung: Array) -> Array:
        """Return pair values [.., i, j] interpolated between rungs, from [rung, .., i, j]."""
        i, j = np.indices(self.lower.shape)
        low = by_rung[self.lower, ..., i, j]
        high = by_rung[np.minimum(self.lower + 1, len(LADDER_CM) - 1), ..., i, j]
        return np.asarray((1.0 - self.share) * low + self.share * high)


@dataclass(frozen=True)
class Field:
    """One layout, settled: use of the water and reach of every party.

    Shapes: `use` (C, S), `usable` (C, S), `shares` (H, S) of the candidate homes, `reach`
    (R, C, S) by rung of the ladder.
    """

    situation: Situation
    ground: Ground
    leaders: tuple[Individual, ...]
    use: Array
    usable: Array
    reach: NDArray[np.float32]
    rungs: Rungs
    shares: Array
    _near: dict[float, Array] = field(default_factory=dict, repr=False, compare=False)

    def felt(self, i: int, j: int) -> Array:
        """Return how strongly each cell is in reach and view of party i as j matters to it."""
        low, share = int(self.rungs.lower[i, j]), float(self.rungs.share[i, j])
        high = min(low + 1, len(LADDER_CM) - 1)
        return np.asarray((1.0 - share) * self.reach[low, :, i] + share * self.reach[high, :, i], dtype=float)

    def pressure_on(self, j: int, rate: Array) -> Array:
        """Return the pressure map of party j under rates of each party without encounter. [1/h]"""
        here = np.flatnonzero(rate > 0.0)
        low = self.rungs.lower[here, j]
        share = self.rungs.share[here, j, None]
        near = self.reach[low, :, here] * (1.0 - share).astype(np.float32)
        far = self.reach[np.minimum(low + 1, len(LADDER_CM) - 1), :, here] * share.astype(np.float32)
        return np.asarray((rate[here, None] * (near + far)).sum(axis=0))

    def near_homes(self, nest_cm: float) -> Array:
        """Return how near each cell is to each party's homes, shape (C, S). [0 to 1]"""
        if nest_cm not in self._near:
            self._near[nest_cm] = np.exp(-self.ground.distance2 / nest_cm**2) @ self.shares
        return self._near[nest_cm]


@functools.lru_cache(maxsize=48)
def ground_of(glass: Glass, rock: Rockwork, edge_cm: float) -> Ground:
    """Return the cut water of a tank; asked for again and again in a search."""
    return Ground.of(cut(glass, rock, edge_cm))


def _leaders(situation: Situation) -> tuple[Individual, ...]:
    first: dict[int, Individual] = {}
    for animal in situation.animals:
        first.setdefault(animal.party_index, animal)
    return tuple(first[p] for p in sorted(first))


def party_rates(situation: Situation, fixed: Constants, day: float, rules: Rules) -> Array:
    """Return central attack rates without encounter, between parties, [i, j]. [1/h]

    Rates of all members of an attacking party on one member of the other, at the sizes of
    release, with head starts as of a day and familiarity settled; none where no look passes.
    """
    animals = situation.animals
    lengths = np.array([a.length_cm for a in animals])
    start = head_starts(situation, day, rules)
    ratio = np.log(lengths[:, None] / lengths[None, :])
    won = contest(ratio, start - start.T, fixed.slope, rules)
    lead = 1.0 + (rules["head_start_most"] - 1.0) * start
    rate = fixed.base * won * lead * rules["familiar_rest"]
    np.fill_diagonal(rate, 0.0)
    party = np.array([a.party_index for a in animals])
    members = [np.flatnonzero(party == p) for p in range(len(situation.parties))]
    out = np.zeros((len(members), len(members)))
    for i, attackers in enumerate(members):
        for j, victims in enumerate(members):
            if len(attackers) == len(victims) == 1:
                out[i, j] = rate[attackers[0], victims[0]]
            else:
                out[i, j] = rate[np.ix_(attackers, victims)].sum() / max(len(victims), 1)
    return out * _across(situation, 1.0 if situation.divider_clear else 0.0)


def _across(situation: Situation, share: float) -> Array:
    """Return 1 between parties that can come together, a share where a sheet parts them, [i, j]."""
    parties = situation.parties
    return np.array([[share if situation.parts(a, b) else 1.0 for b in parties] for a in parties])


def settle_company(
    situation: Situation, rock: Rockwork, fixed: Constants, rules: Rules, edge_cm: float
) -> Field:
    """Return the field of one layout: homes taken in order of arrival under pressure.

    Parameters
    ----------
    situation
        The company.
    rock
        The layout.
    fixed
        Its constant factors.
    rules
        The coefficients.
    edge_cm
        Cell edge. [cm]
    """
    ground = ground_of(situation.glass, rock, edge_cm)
    leaders = _leaders(situation)
    rungs = Rungs.of(leaders, rules)
    naive = np.stack([settle(a, ground, situation, rules)[0] for a in leaders], axis=1)
    rate = party_rates(situation, fixed, situation.horizon_days, rules)
    first = Field(situation, ground, leaders, naive, naive, _reach(ground, naive), rungs, naive[:0])
    nearest = ground.distance2.argmin(axis=0)
    use, homes = [], []
    for j, animal in enumerate(leaders):
        begun = np.array([other.party.day for other in leaders])
        ahead = np.where(begun < animal.party.day, 1.0, np.where(begun > animal.party.day, 0.0, _SAME_DAY))
        ahead[j] = 0.0
        felt = first.pressure_on(j, ahead * rate[:, j])
        taken, shares = settle(animal, ground, situation, rules, felt[nearest])
        use.append(taken)
        homes.append(shares)
    settled = np.stack(use, axis=1)
    open_water = np.stack([usable(a, ground, situation, rules) for a in leaders], axis=1)
    home_shares = np.stack(homes, axis=1)
    reached = _reach(ground, settled)
    return Field(situation, ground, leaders, settled, open_water, reached, rungs, home_shares)


def _reach(ground: Ground, use: Array) -> NDArray[np.float32]:
    return reach(ground.cells, use.astype(np.float32), LADDER_CM)


@dataclass(frozen=True)
class Stage:
    """A stretch of days with one company: encounters and shares as they then stand.

    `meet[i, j]` is E between parties (i attacks j), `exposed[j]` the share of j's usable water
    inside attackers' reach and in view, `sees[k, i]` the share of i's time in view of k,
    `pressure[:, j]` the pressure map of party j (C,) in attacks per hour.
    """

    meet: Array
    exposed: Array
    sees: Array
    near_home: Array
    pressure: Array
    use: Array


def stage_of(field: Field, rate: Array, here: NDArray[np.bool_], rules: Rules) -> Stage:
    """Return the stage in which the parties `here` live together.

    Parameters
    ----------
    field
        The settled layout.
    rate
        Central rates between parties without encounter, [i, j]. [1/h]
    here
        Which parties are present, shape (S,).
    rules
        The coefficients.

    Notes
    -----
    Victims step back once, u ~ u exp(-gamma P), under the pressure of attackers at home; the
    attackers' own use stays that of their homes, so one pass of the kernel serves.
    """
    n = len(field.leaders)
    pressure = np.stack([field.pressure_on(j, here * rate[:, j]) for j in range(n)], axis=1)
    moved = np.stack([retreat(field.use[:, j], pressure[:, j], rules) for j in range(n)], axis=1)
    meet = field.rungs.mix(encounters(field.reach, moved.astype(np.float32)).astype(float))
    wide = encounters(field.reach[-1:], field.use.astype(np.float32))[0].astype(float)
    half = rules["quiet_per_h"]
    exposed = (field.usable * pressure / (pressure + half)).sum(axis=0)
    situation = field.situation
    shown = rules["sheet_display"] if situation.divider_clear else 0.0
    return Stage(
        meet=meet * _across(situation, shown),
        exposed=np.asarray(exposed),
        sees=np.minimum(wide / rules["view_full"], 1.0) * _across(situation, 0.0),
        near_home=_nearness(field, moved, rules),
        pressure=pressure,
        use=moved,
    )


def _nearness(field: Field, use: Array, rules: Rules) -> Array:
    """Return the share of j's time spent near i's home, [i, j], over i's candidate homes. [-]"""
    return np.asarray(field.near_homes(rules["nest_cm"]).T @ use)
