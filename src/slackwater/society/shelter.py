"""Who finds a home that suits it: holes shared out by need, size and arrival; what each home sees.

Figures for the report. The field of the judgement takes no holes into account: homes there are
places near rock, and its coefficients were fitted so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.attacks import Constants
from slackwater.society.company import Individual, Place, Sex, Situation
from slackwater.society.field import Field, Stage, party_rates
from slackwater.tank.pieces import Hole
from slackwater.tank.rock import Rockwork
from slackwater.tank.sight import clear_between
from slackwater.tank.stone import Form

Array = NDArray[np.float64]

HOLE_TYPES = frozenset({"crevice", "tunnel", "cave", "branches"})
"""Hiding places that are holes in rock or between branches."""

_ROUNDS = 200
_MOUTH_CM = 1.5
_SEEN_HOMES = 24


def body_depth_cm(animal: Individual) -> float:
    """Return the depth of an animal's body at its present length. [cm]"""
    species = animal.species
    return species.number("body_depth_ratio") * animal.length_cm / species.number("tl_per_sl")


def hole_fit(width_cm: Array, depth_cm: float, rules: Rules) -> Array:
    """Return how well holes fit a body, 1 within the usual widths, shape (K,). [0 to 1]

    Parameters
    ----------
    width_cm
        Narrowest width of each hole, shape (K,). [cm]
    depth_cm
        Greatest depth of the body. [cm]
    rules
        The coefficients.

    Notes
    -----
    1 between 1.2 and 2 body depths [cp]; beyond, exp(-(ln w/limit)^2 / (2 s^2)) with s 0.25
    (assumed), times a step that closes holes narrower than the body over a tenth of its depth.
    """
    low, high = rules["hole_width.low"] * depth_cm, rules["hole_width.high"] * depth_cm
    off = np.log(np.clip(width_cm, low, high) / width_cm)
    fit = np.exp(-0.5 * (off / rules["hole_width.spread"]) ** 2)
    return np.asarray(fit / (1.0 + np.exp(-20.0 * (width_cm / depth_cm - 1.0))))


def shared_holes(fit: Array, wanted: Array, strength: Array, rules: Rules) -> Array:
    """Return how holes are shared among parties that want them, shape (S, K). [animals]

    Parameters
    ----------
    fit
        How well hole k suits party s, shape (S, K). [0 to 1]
    wanted
        Places that each party wants, shape (S,).
    strength
        How well each can hold a place against the others, shape (S,). [-]
    rules
        The coefficients.

    Notes
    -----
    x[s, k] = u[s] w[s, k] v[k] with w = strength fit times the worth of a perfect hole over none;
    u and v are scaled in turn until each party has at most the places it wants, the rest of it
    without one, and each hole at most one animal, the rest of it empty. One solution, smooth in all.
    """
    worth = rules["hole_worth"] * strength[:, None] * fit
    v = np.ones(fit.shape[1])
    u = np.zeros(len(wanted))
    for _ in range(_ROUNDS):
        u = wanted / (1.0 + worth @ v)
        v = 1.0 / (rules["hole_empty"] + u @ worth)
    return np.asarray(u[:, None] * worth * v[None, :])


def strengths(leaders: tuple[Individual, ...], rules: Rules) -> Array:
    """Return how well each party holds a hole: by size and by how long it has been there. [-]

    Notes
    -----
    (L / mean L)^8 exp(2 tanh((mean day - day) / 30 d)), assumed: of two that want one hole, the
    one half as strong again holds it with sqrt(1.5) : 1.
    """
    lengths = np.array([animal.length_cm for animal in leaders])
    days = np.array([animal.party.day for animal in leaders])
    before = np.tanh((days.mean() - days) / rules["hole_arrival_days"])
    return np.asarray(
        (lengths / lengths.mean()) ** rules["hole_size_power"] * np.exp(rules["hole_arrival"] * before)
    )


@dataclass(frozen=True)
class Homes:
    """What the parties of a company find in one rockwork.

    Shapes: S parties, K holes. `hole_shares` (S, K) animals in each hole; `found` (S,) share of a
    party that finds a home of its need; `sees` (S,) share of the water seen from where it lives;
    `in_view` (S, K) how far hole k is in view of where party s lives; `quiet` (S,) share of its
    usable water that is quiet; `presses` (S, S) attacks per hour that i deals to a member of j.
    """

    leaders: tuple[Individual, ...]
    holes: tuple[Hole, ...]
    hole_shares: Array
    found: Array
    sees: Array
    in_view: Array
    quiet: Array
    presses: Array


def homes_found(situation: Situation, fixed: Constants, field: Field, stage: Stage, rules: Rules) -> Homes:
    """Return the homes that a company finds in one layout.

    Parameters
    ----------
    situation
        The company.
    fixed
        Its constant factors.
    field
        The layout, settled.
    stage
        The last stretch of days, with everyone there.
    rules
        The coefficients.
    """
    rock = field.ground.cells.rockwork
    leaders = field.leaders
    fit = np.array([_fit(animal, rock, field, rules) for animal in leaders]).reshape(len(leaders), -1)
    wanted = np.array([_wanted(animal) for animal in leaders])
    shares = shared_holes(fit, wanted, strengths(leaders, rules), rules)
    sees, in_view = _views(field, rock)
    return Homes(
        leaders=leaders,
        holes=rock.holes,
        hole_shares=shares,
        found=np.array([_found(a, situation, shares[n], wanted[n], rules) for n, a in enumerate(leaders)]),
        sees=sees,
        in_view=in_view,
        quiet=_quiet(field, stage, rules),
        presses=party_rates(situation, fixed, situation.horizon_days, rules) * stage.meet,
    )


def mouths_cm(rock: Rockwork) -> Array:
    """Return a place just outside the mouth of each hole, shape (K, 3). [cm]"""
    places = np.array([hole.centre_cm for hole in rock.holes]).reshape(-1, 3)
    middles = np.array([rock.pieces[hole.piece].centre_cm for hole in rock.holes]).reshape(-1, 3)
    out = places - middles
    length = np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-9)
    return np.asarray(places + _MOUTH_CM * out / length)


def _fit(animal: Individual, rock: Rockwork, field: Field, rules: Rules) -> Array:
    """Return how well each hole suits an animal: width, kind, level and pressure left out. [0 to 1]"""
    if animal.species.word("hole_type") not in HOLE_TYPES or animal.party.place is Place.SUMP:
        return np.zeros(len(rock.holes))
    widths = np.array([hole.width_cm for hole in rock.holes])
    fit = hole_fit(widths, body_depth_cm(animal), rules) if len(widths) else widths
    return np.asarray(fit * _kind_fit(animal, rock, rules) * _same_side(animal, rock, field))


def _kind_fit(animal: Individual, rock: Rockwork, rules: Rules) -> Array:
    """Return 1 for holes of the kind an animal seeks, less for others. [0 to 1]"""
    seeks_branches = animal.species.word("hole_type") == "branches"
    branched = np.array([_is_branched(hole, rock) for hole in rock.holes], bool)
    return np.where(branched == seeks_branches, 1.0, rules["hole_other_kind"])


def _is_branched(hole: Hole, rock: Rockwork) -> bool:
    return bool(rock.stones) and rock.stones[rock.owners[hole.piece]].form is Form.BRANCHING_CORAL


def _same_side(animal: Individual, rock: Rockwork, field: Field) -> Array:
    """Return 1 for holes on an animal's own side of a divider, as its homes show. [0 or 1]"""
    if animal.party.side is None:
        return np.ones(len(rock.holes))
    sites = field.ground.sites.points_cm
    used = field.shares[:, field.leaders.index(animal)] > 0.0
    low, high = sites[used, 0].min(), sites[used, 0].max()
    return np.array([float(low <= hole.centre_cm[0] <= high) for hole in rock.holes])


def _wanted(animal: Individual) -> float:
    """Return the holes that a party wants: a pair shares one. [-]"""
    return 1.0 if animal.party.sex is Sex.PAIR else float(animal.party.count)


def _found(animal: Individual, situation: Situation, shares: Array, wanted: float, rules: Rules) -> float:
    """Return the share of a party that finds a home of its need. [0 to 1]"""
    species = animal.species
    kind = species.word("hole_type")
    if kind in HOLE_TYPES:
        return float(min(shares.sum() / wanted, 1.0))
    if kind in {"sand", "burrow"}:
        need = max(species.number("needs_sand_cm"), rules["hole_least_sand"])
        return float(min(situation.sand_cm / need, 1.0))
    if species.word("home_kind") == "host":
        return float(situation.keeping.has_host or species.word("needs_host") != "anemone")
    if species.word("home_kind") in {"perch", "rock_face", "rubble"}:
        return float(bool(situation.rockworks[0].pieces))
    return 1.0


def _views(field: Field, rock: Rockwork) -> tuple[Array, Array]:
    """Return the share of the water, and of each hole, in view of where each party lives."""
    cells, sites = field.ground.cells, field.ground.sites.points_cm
    kept = np.argsort(-field.shares.max(axis=1), kind="stable")[:_SEEN_HOMES]
    homes = field.shares[kept] / np.maximum(field.shares[kept].sum(axis=0), 1e-12)
    seen = clear_between(cells, sites[kept], cells.points_cm).astype(float)
    share = seen @ cells.free_l.astype(float) / float(cells.free_l.sum())
    holes = clear_between(cells, sites[kept], mouths_cm(rock)).astype(float)
    return np.asarray(homes.T @ share), np.asarray(homes.T @ holes)


def _quiet(field: Field, stage: Stage, rules: Rules) -> Array:
    """Return the share of each party's usable water with little pressure, over a soft threshold. [-]"""
    threshold = rules["quiet_per_h"]
    calm = 1.0 / (1.0 + (stage.pressure / threshold) ** 4)
    return np.asarray((field.usable * calm).sum(axis=0))


def fright_share(homes: Homes, victim: int) -> Array:
    """Return how far each hole is in view of those that press a party, shape (K,). [0 to 1]"""
    weight = homes.presses[:, victim]
    total = float(weight.sum())
    if total <= 0.0 or math.isnan(total):
        return np.zeros(len(homes.holes))
    return np.asarray(weight @ homes.in_view / total)
