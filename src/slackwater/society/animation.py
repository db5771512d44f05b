"""A judged company as walkers, so that a page can show a day of it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from slackwater.errors import InputError
from slackwater.society.company import Individual, Place, Situation
from slackwater.society.judge import Judgement, Span, central_rates
from slackwater.society.recognition import reaction_radius_cm
from slackwater.society.walkers import ANYWHERE, STEP_S, Outing, Scene, Walk, Walker, walk

ANIMATION = "An animation: walkers that keep to the places of the judgement. It is not the judgement."
"""What is said beside every track that is shown."""

_LEAST_SPREAD_CM = 2.0


def scene_of(verdict: Judgement, day: float) -> Scene:
    """Return walkers that stand for a judged company on a day, in its first layout.

    Parameters
    ----------
    verdict
        The judgement.
    day
        A day of it; one before or after counts as the first or last. [d]

    Returns
    -------
    Scene
        The animals that are in the tank by then, in the order of the situation.

    Raises
    ------
    InputError
        If nobody is in the tank on that day.

    Notes
    -----
    Each walker has the mean and the standard deviation per axis of its party's use, the widest
    of its reaction distances, and the median animal's attack rates before encounter. What a use
    has beside these (two homes, a liking for rock) is lost: an animation, not the judgement.
    """
    span = _span_at(verdict, day)
    situation = verdict.situation
    animals = tuple(a for a in situation.animals if span.here[a.index] and a.party.place is Place.TANK)
    if not animals:
        raise InputError(
            field="day",
            given=f"{day:g}",
            limit="nobody is in the tank",
            remedy="Choose a day after a release.",
        )
    factors = central_rates(verdict, span, day)
    index = np.array([a.index for a in animals])
    rate, meet = factors["rate"], factors["meet"]
    beside = np.divide(rate, meet, out=np.zeros_like(rate), where=meet > 0.0)
    walkers = tuple(_stand_in(a, animals, verdict, span) for a in animals)
    return Scene(situation.glass, situation.rockworks[0], walkers, beside[np.ix_(index, index)])


def track_of(verdict: Judgement, day: float, outing: Outing) -> Walk:
    """Return a walk with a track that animates a judged company on a day.

    Show :data:`ANIMATION` beside it. Arguments and errors as of :func:`scene_of` and :func:`walk`;
    an outing without an interval is tracked at every step.
    """
    return walk(scene_of(verdict, day), replace(outing, every_s=outing.every_s or STEP_S))


def _span_at(verdict: Judgement, day: float) -> Span:
    for span in verdict.spans:
        if span.start <= day < span.end:
            return span
    return verdict.spans[-1 if day >= verdict.spans[-1].end else 0]


def _stand_in(animal: Individual, company: tuple[Individual, ...], verdict: Judgement, span: Span) -> Walker:
    points = verdict.fields[0].ground.cells.points_cm.astype(float)
    use = span.stages[0].use[:, animal.party_index]
    home = use @ points
    spread = np.sqrt(np.maximum(use @ (points - home) ** 2, _LEAST_SPREAD_CM**2))
    length = animal.length_cm
    radii = [
        reaction_radius_cm(animal.species, other.species, length, verdict.rules)
        for other in company
        if other.index != animal.index
    ]
    return Walker(
        home_cm=(float(home[0]), float(home[1]), float(home[2])),
        spread_cm=(float(spread[0]), float(spread[1]), float(spread[2])),
        reaction_cm=max(radii, default=length),
        stretch_cm=_stretch(animal, verdict.situation),
    )


def _stretch(animal: Individual, situation: Situation) -> tuple[float, float]:
    divider, side = situation.divider_cm, animal.party.side
    if divider is None or side is None:
        return ANYWHERE
    return (-math.inf, divider) if side == "left" else (divider, math.inf)
