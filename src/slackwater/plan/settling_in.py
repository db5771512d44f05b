"""An acclimation box for a newcomer: how large, with which holes, where; and whether a mirror helps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.plan.draft import BOX_DAYS, LONGEST_BOXED_CM
from slackwater.plan.question import BoxPlace, Question, Wanted
from slackwater.plan.rejudge import rejudged, with_best_order
from slackwater.plan.sheet_design import body_cm
from slackwater.plan.stations import Stations, apart_stations
from slackwater.rules import Rules
from slackwater.society.field import Field
from slackwater.society.judge import Judgement
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.tank.sheets import Opening, passing_cm

Array = NDArray[np.float64]
Spot = tuple[float, float, float]

MIRROR_FAMILIES = frozenset({"Acanthuridae", "Pomacanthidae"})
_HOME_OWNERS = frozenset({"Pomacentridae", "Pseudochromidae"})


@dataclass(frozen=True)
class BoxAdvice:
    """An acclimation box: inner size [cm], largest opening [cm], its middle [cm], and days in it. [d]

    `pressure_per_h` is what its place would draw on the newcomer, `usual_per_h` the mean over the
    water it uses [1/h]; `there` says how the place of a box that is in the tank
    already compares; `chaser_cm` the distance from the likeliest home of the worst chaser. [cm]
    """

    size_cm: Spot
    opening_cm: float
    middle_cm: Spot
    place: str
    days: int
    pressure_per_h: float
    usual_per_h: float
    chaser: str
    chaser_cm: float
    in_range: bool
    sentence: str
    there: str = ""


@dataclass(frozen=True)
class SettlingIn:
    """What helps one newcomer in: a box, a mirror or not, and stations for the food."""

    common_name: str
    p_straight: float
    p_boxed: float
    box: BoxAdvice
    mirror: str
    stations: Stations


def settling_in(question: Question, key: str, rules: Rules) -> SettlingIn:
    """Return what helps one wish into the tank.

    Parameters
    ----------
    question
        The tank and its company.
    key
        Which wish.
    rules
        The coefficients.

    Raises
    ------
    InputError
        If no wish has this key, or no place has room for a box.
    """
    wanted = next((w for w in question.wishes if w.key == key), None)
    if wanted is None:
        raise InputError(
            field="the newcomer",
            given=key or "nobody",
            limit="a box is for an animal that is still to come",
            remedy="Name one of the wishes.",
        )
    fixed = with_best_order(question, rules)
    straight = rejudged(fixed, rules, sketch=True)
    boxed = rejudged(fixed, rules, lambda q: _boxed(q, key), sketch=True)
    return SettlingIn(
        common_name=wanted.species.common_name,
        p_straight=_chance(straight, key),
        p_boxed=_chance(boxed, key),
        box=box_advice(question, wanted, straight, rules),
        mirror=_mirror(straight, key, question),
        stations=apart_stations(question.glass, question.rockworks[0], max(question.keeping.stations, 2)),
    )


def _boxed(question: Question, key: str) -> Question:
    from slackwater.plan.changes import line

    return line(key, box_days=float(BOX_DAYS))(question)


def _chance(verdict: Judgement, key: str) -> float:
    lots = [lot for lot in verdict.lots if lot.animal.party.key == key]
    return max(float(verdict.community_draws(lot).mean()) for lot in lots)


def box_advice(question: Question, wanted: Wanted, verdict: Judgement, rules: Rules) -> BoxAdvice:
    """Return size, opening and place of a box: where the newcomer would draw least, clear of rock.

    Raises
    ------
    InputError
        If no place in the tank has room for it.
    """
    depth, width = body_cm(wanted.species, wanted.length_cm)
    size = size_cm(wanted, depth, rules)
    party = [p.key for p in verdict.situation.parties].index(wanted.key)
    field, pressure = verdict.fields[0], verdict.spans[-1].stages[0].pressure[:, party]
    middle, drawn = _quietest(question, field, pressure, size)
    chaser, home = _chaser(verdict, wanted)
    usual = float(field.usable[:, party] @ pressure)
    in_range = wanted.length_cm <= LONGEST_BOXED_CM
    return BoxAdvice(
        size_cm=size,
        opening_cm=rules["sheet_wedge"] * passing_cm(depth, width, Opening.ROUND),
        middle_cm=middle,
        place=_words(middle, question),
        days=BOX_DAYS,
        pressure_per_h=drawn,
        usual_per_h=usual,
        chaser=chaser,
        chaser_cm=float(np.linalg.norm(np.array(middle) - home)) if chaser else 0.0,
        in_range=in_range,
        sentence=_sentence(wanted, size, in_range=in_range),
        there=_there(question, drawn_at(field, pressure, question.box), drawn),
    )


def drawn_at(field: Field, pressure: Array, box: BoxPlace | None) -> float | None:
    """Return what an animal would draw where a box is; None without a box, or with no water in it. [1/h]

    Parameters
    ----------
    field
        The settled tank.
    pressure
        The pressure map of the animal, shape (C,). [1/h]
    box
        The box; the cells of which the middle lies in it count, or the nearest ones.
    """
    if box is None:
        return None
    cells = field.ground.cells
    reach = np.maximum(np.array(box.size_cm), cells.edge_cm) / 2.0
    inside = np.all(np.abs(cells.points_cm.astype(float) - box.middle_cm) <= reach, axis=1)
    return float(np.average(pressure[inside], weights=cells.free_l[inside])) if inside.any() else None


def _there(question: Question, there_per_h: float | None, quietest_per_h: float) -> str:
    """Say how the place of the box that is in the tank compares with the quietest."""
    if question.box is None:
        return ""
    place = _words(question.box.middle_cm, question)
    if there_per_h is None:
        return f"The box in the tank, {place}, stands in rock: move one of the two."
    return (
        f"Where the box is now ({place}) the newcomer would draw {there_per_h:.2g} attacks an hour; "
        f"at the quietest place {quietest_per_h:.2g}."
    )


def size_cm(wanted: Wanted, depth: float, rules: Rules) -> Spot:
    """Return length, width and height of a box, whole centimetres."""
    length = max(rules["box_lengths"] * wanted.length_cm, 12.0)
    across = max(1.2 * wanted.length_cm, 2.5 * depth, 10.0)
    return float(np.ceil(length)), float(np.ceil(across)), float(np.ceil(across))


def _sentence(wanted: Wanted, size: Spot, *, in_range: bool) -> str:
    sizes = " x ".join(f"{side:.0f}" for side in size)
    name = wanted.species.common_name
    if in_range:
        return f"A box of {sizes} cm inside for {name} of {wanted.length_cm:.0f} cm."
    return (
        f"{name[:1].upper()}{name[1:]} of {wanted.length_cm:.0f} cm is too long for a box: "
        "part the tank with a divider."
    )


def _quietest(question: Question, field: Field, pressure: Array, size: Spot) -> tuple[Spot, float]:
    """Return the middle of the quietest box clear of rock and glass, and what it draws. [cm, 1/h]"""
    cells = field.ground.cells
    points = cells.points_cm.astype(float)
    best: tuple[float, Spot] | None = None
    for middle in _middles(question, size):
        inside = np.all(np.abs(points - middle) <= np.maximum(np.array(size), cells.edge_cm) / 2.0, axis=1)
        if not inside.any() or not is_clear(question.glass, question.rockworks[0], middle, size):
            continue
        drawn = float(np.average(pressure[inside], weights=cells.free_l[inside]))
        if best is None or drawn < best[0] - 1e-9:
            best = drawn, middle
    if best is None:
        raise InputError(
            field="the box",
            given=" x ".join(f"{side:.0f}" for side in size) + " cm",
            limit="no place in the tank has room for it",
            remedy="Take a smaller animal, or move a stone.",
        )
    return best[1], best[0]


def _middles(question: Question, size: Spot) -> list[Spot]:
    """Return middles of boxes along the panes, from high to low: near the surface it hangs best."""
    glass, sand = question.glass, question.rockworks[0].sand_cm
    xs = np.linspace(size[0] / 2.0, glass.length_cm - size[0] / 2.0, 9)
    ys = (size[1] / 2.0, glass.width_cm - size[1] / 2.0)
    zs = np.linspace(glass.height_cm - size[2] / 2.0, sand + size[2] / 2.0, 4)
    return [(float(x), float(y), float(z)) for z in zs for y in ys for x in xs]


def is_clear(glass: Glass, rock: Rockwork, middle: Spot, size: Spot) -> bool:
    """Say whether a box is inside the glass and touches no rock, by points on a grid through it."""
    from slackwater import kernels_tank

    steps = np.array(np.meshgrid(*(np.linspace(-0.5, 0.5, 4),) * 3)).reshape(3, -1).T
    points = np.ascontiguousarray(np.array(middle) + steps * np.array(size))
    shrunk = np.array(middle) + 0.98 * steps * np.array(size)
    if not glass.contains(shrunk).all():
        return False
    return not rock.pieces or bool((kernels_tank.rock_distance(points, rock.rock_table) > 0.0).all())


def _chaser(verdict: Judgement, wanted: Wanted) -> tuple[str, Array]:
    """Return the common name of whoever harms the newcomer most, and its likeliest home. [cm]"""
    lots = [lot for lot in verdict.lots if lot.animal.party.key == wanted.key]
    by = {name: p for lot in lots for name, p in lot.by.items() if name != wanted.species.name}
    worst = max(by, key=lambda name: by[name], default="")
    field = verdict.fields[0]
    homes = {leader.species.name: n for n, leader in enumerate(field.leaders)}
    if not worst or by[worst] <= 0.0:
        return "", np.zeros(3)
    column = homes[worst]
    home = field.ground.sites.points_cm[int(np.argmax(field.shares[:, column]))]
    return field.leaders[column].species.common_name, np.asarray(home)


def _words(middle: Spot, question: Question) -> str:
    """Return a place in words: left or right, front or back, high or low."""
    glass = question.glass
    x, y, z = middle[0] / glass.length_cm, middle[1] / glass.width_cm, middle[2] / glass.height_cm
    along = "left" if x < 1.0 / 3.0 else "right" if x > 2.0 / 3.0 else "middle"
    return f"{along}, at the {'front' if y < 0.5 else 'back'}, {'high' if z > 0.5 else 'low'}"  # noqa: PLR2004 - half way


def _mirror(verdict: Judgement, key: str, question: Question) -> str:
    """Return whether a mirror would draw the worst chaser off, and where."""
    wanted = next(w for w in question.wishes if w.key == key)
    chaser, home = _chaser(verdict, wanted)
    if not chaser:
        return "No mirror: nobody troubles it much."
    species = next(f.species for f in verdict.fields[0].leaders if f.species.common_name == chaser)
    name = f"{chaser[:1].upper()}{chaser[1:]}"
    if species.family in MIRROR_FAMILIES:
        end = "left" if home[0] < question.glass.length_cm / 2.0 else "right"
        return (
            f"A mirror outside the {end} end pane, by the home of {chaser}, for some hours a day, "
            f"at most {verdict.rules['mirror_days']:.0f} days; away with it if the animal no longer eats."
        )
    if species.family in _HOME_OWNERS:
        return f"No mirror: {name} guards a home and takes no notice of it."
    return f"No mirror: it draws off surgeonfishes and angelfishes, not {chaser}."
