"""The question put to the planner: a tank, who lives in it, who is wished for, and the limits."""

from __future__ import annotations

import datetime as dt
import functools
from dataclasses import dataclass, field, replace

from slackwater.plan.course import Course
from slackwater.plan.records import Assumption
from slackwater.plan.water_records import Clock
from slackwater.rules import load_rules
from slackwater.society.company import Keeping, Party, Place, Sex, Situation, resident_party
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.taxa.facts import Species

MIN_TAIL_DAYS = 365.0


@dataclass(frozen=True)
class Wanted:
    """Animals of one species that live in the tank or are wished for.

    `since` is the day of release of residents; `length_told` and `since_told` say whether the
    keeper told them; `stock` is what the shop's stock list says of them; `side` is the side of the
    divider and `place` where they live.
    """

    key: str
    said: str
    species: Species
    count: int
    sex: Sex
    length_cm: float
    wish: float = 5.0
    price: str | None = None
    since: dt.date | None = None
    resident: bool = False
    length_told: bool = False
    box_days: float = 0.0
    own_temper: float = 1.0
    own_sigma: float | None = None
    seen: str = ""
    stock: str = ""
    side: str | None = None
    place: Place = Place.TANK

    def party(self, day: float) -> Party:
        """Return the animals as a party released on a day of the plan; residents at today's length."""
        if self.resident:
            here = resident_party(
                self.species, self.length_cm, -day, count=self.count, sex=self.sex, key=self.key
            )
            untold = 0.0 if self.length_told else load_rules()["spread.grown_length"]
            return replace(
                here,
                length_sigma=untold,
                own_temper=self.own_temper,
                own_sigma=self.own_sigma,
                side=self.side,
                place=self.place,
            )
        return Party(
            species=self.species,
            length_cm=self.length_cm,
            day=day,
            count=self.count,
            sex=self.sex,
            box_days=self.box_days,
            key=self.key,
            own_temper=self.own_temper,
            own_sigma=self.own_sigma,
            side=self.side,
            place=self.place,
        )


@dataclass(frozen=True)
class QuarantineRoom:
    """The keeper's quarantine: number of tanks, days that a batch stays, and water in each if told. [L]

    `clocks` are the batches that are in it already.
    """

    tanks: int
    days: int
    volume_l: float | None = None
    clocks: tuple[Clock, ...] = ()

    def free_from(self, earliest: dt.date) -> list[dt.date]:
        """Return the first day from `earliest` on which each tank is empty, shape (tanks,)."""
        free = [earliest] * self.tanks
        for clock in self.clocks:
            free[clock.tank - 1] = max(free[clock.tank - 1], clock.until)
        return free


@dataclass(frozen=True)
class BoxPlace:
    """An acclimation box in the tank: its middle and its inner length, width and height. [cm]"""

    middle_cm: tuple[float, float, float]
    size_cm: tuple[float, float, float]


@dataclass(frozen=True)
class Question:
    """Everything the planner needs to know, told or assumed."""

    title: str
    made_on: dt.date
    start: dt.date
    glass: Glass
    rockworks: tuple[Rockwork, ...]
    rock_word: str
    keeping: Keeping
    residents: tuple[Wanted, ...]
    wishes: tuple[Wanted, ...]
    quarantine: QuarantineRoom | None
    away: tuple[tuple[dt.date, dt.date], ...] = ()
    running_since: dt.date | None = None
    temperature_c: float = 26.0
    salinity: float = 35.0
    ph: float | None = None
    lights_off: str = "21:00"
    children: bool = False
    sump_l: float = 0.0
    assumptions: tuple[Assumption, ...] = ()
    length_told: bool = True
    rock_told: bool = True
    notes: tuple[str, ...] = field(default_factory=tuple)
    course: Course = field(default_factory=Course)
    divider_cm: float | None = None
    divider_clear: bool = False
    box: BoxPlace | None = None
    box_size_cm: tuple[float, float, float] | None = None

    @functools.cached_property
    def groups(self) -> tuple[tuple[int, ...], ...]:
        """The wishes as items of release: those of one species come on one day."""
        by_species: dict[str, list[int]] = {}
        for number, wanted in enumerate(self.wishes):
            by_species.setdefault(wanted.species.name, []).append(number)
        return tuple(tuple(members) for members in by_species.values())

    def day_of(self, date: dt.date) -> float:
        """Return a date as days from the start of the plan. [d]"""
        return float((date - self.start).days)

    def resident_parties(self) -> tuple[Party, ...]:
        """Return the residents as parties, released before the plan begins."""
        return tuple(w.party(min(self.day_of(w.since or self.made_on), 0.0)) for w in self.residents)

    def situation(self, releases: dict[str, float], *, layouts: int | None = None) -> Situation:
        """Return the tank with the residents and the wishes released on given days.

        Parameters
        ----------
        releases
            Day of release by key; wishes that are not in it stay out.
        layouts
            How many of the possible rock layouts to judge; all if left out.
        """
        wished = tuple(w.party(releases[w.key]) for w in self.wishes if w.key in releases)
        parties = (*self.resident_parties(), *wished)
        last = max([0.0, *releases.values()])
        return Situation(
            glass=self.glass,
            rockworks=self.rockworks[:layouts],
            parties=parties,
            keeping=self.keeping,
            events=self.course.events(releases),
            horizon_days=last + MIN_TAIL_DAYS,
            divider_cm=self.divider_cm,
            divider_clear=self.divider_clear,
        )
