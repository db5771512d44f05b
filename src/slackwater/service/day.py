"""A day of a tank as walkers: where everyone is, hour by hour, and who chases whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict
from pydantic import Field as Told

from slackwater.service.furnishing import Things
from slackwater.service.tank_view import MOST_STONES, StoneTold, TankView, checked
from slackwater.society.animation import ANIMATION, track_of
from slackwater.society.company import Place
from slackwater.society.judge import Settings, judge
from slackwater.society.walkers import STEP_S, Outing
from slackwater.tank.rock import arranged

EVERY_S = 10.0
"""Interval of the positions that are sent. [s]"""

MM_PER_CM = 10.0
_MONTH_DAYS = 30.0


class AskedDay(BaseModel):
    """A day that a page asks for: the text of the tank file, its stones and things, sizes and a seed."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    tank: Annotated[str, Told(max_length=200_000)]
    stones: Annotated[tuple[StoneTold, ...], Told(max_length=MOST_STONES)] = ()
    size: Literal["today", "grown"] = "today"
    seed: Annotated[int, Told(ge=0, le=2**31)] = 0
    things: Things | None = None


def asked_day(told: object) -> AskedDay:
    """Return the day that a page asks for.

    Raises
    ------
    InputErrors
        If it is no such question.
    """
    return checked(AskedDay, told)


@dataclass(frozen=True)
class Day:
    """One day of light.

    Parameters
    ----------
    keys
        Whose position each column is: the key of its party, one entry for each animal.
    hours
        Hours of light. [h]
    every_s
        Time between two positions. [s]
    track_mm
        Positions from left, front and floor, shape (T, n, 3). [mm]
    chases
        Time, attacker and victim of each chase, shape (K, 3). [s, column, column]
    said
        What is said beside it.
    """

    keys: tuple[str, ...]
    hours: float
    every_s: float
    track_mm: NDArray[np.uint16]
    chases: NDArray[np.int64]
    said: str = ANIMATION


def day_of(
    view: TankView,
    stones: Sequence[StoneTold],
    size: str = "today",
    seed: int = 0,
    things: Things | None = None,
) -> Day:
    """Return a day in some rockwork, a month after the last release.

    Parameters
    ----------
    view
        The tank.
    stones
        Its stones as they stand.
    size
        `today` or `grown`.
    seed
        Of everything random.
    things
        The places for food, the divider and the box; as the file tells them if left out.
    """
    rock = arranged([told.stone() for told in stones], view.question.glass, view.today.sand_cm)
    situation = view.with_things(things, rock).situation(size)
    last = max((party.day for party in situation.parties), default=0.0) + _MONTH_DAYS
    verdict = judge(replace(situation, rockworks=(rock,)), Settings(fine=False, draws=1), view.rules)
    outing = Outing(hours=situation.keeping.lights_h, seed=seed, every_s=EVERY_S)
    walked = track_of(verdict, last, outing)
    present = [a.party.key for a in situation.animals if a.party.place is Place.TANK]
    track = np.zeros((0, len(present), 3)) if walked.track_cm is None else walked.track_cm
    chases = walked.chases * np.array([int(STEP_S), 1, 1])
    millimetres = np.clip(np.rint(MM_PER_CM * track), 0, np.iinfo(np.uint16).max).astype(np.uint16)
    return Day(tuple(present), outing.hours, EVERY_S, millimetres, chases)
