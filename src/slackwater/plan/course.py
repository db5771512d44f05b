"""What is fixed of the course of events: the order, the spacing, deeds on the way, first days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.society.company import Deed, Event


@dataclass(frozen=True)
class DeedOn:
    """Something done on the day on which a wish is let go.

    With `until` it lasts until that other wish is let go, and `days` more. [d]
    """

    key: str
    do: Deed
    species: str | None = None
    days: float = 0.0
    until: str = ""

    def event(self, releases: Mapping[str, float]) -> Event:
        """Return the deed on its day of the plan, the releases given by key. [d]"""
        day = releases[self.key]
        last = max(releases.get(self.until, day), day)
        return Event(day, self.do, self.species, last - day + self.days)


@dataclass(frozen=True)
class NotBefore:
    """The first day on which a wish may be let go, and why."""

    key: str
    date: dt.date
    why: str


@dataclass(frozen=True)
class Course:
    """What is fixed of the course of events; the planner chooses whatever is left out.

    `steps` is the order of release, those of one step on one day, by key; `spacing_days` the days
    between two releases; `days` are days of release that are known, by key [d]; wishes that `steps`
    does not name come last. `quarantine_from` is the day on which the quarantine was last free.
    """

    steps: tuple[tuple[str, ...], ...] = ()
    spacing_days: float | None = None
    deeds: tuple[DeedOn, ...] = ()
    not_before: tuple[NotBefore, ...] = ()
    days: tuple[tuple[str, float], ...] = ()
    quarantine_from: dt.date | None = None

    def events(self, releases: Mapping[str, float]) -> tuple[Event, ...]:
        """Return what is done on the way, for those wishes that are let go at all."""
        return tuple(deed.event(releases) for deed in self.deeds if deed.key in releases)

    def first_day(self, keys: frozenset[str]) -> NotBefore | None:
        """Return the latest of the first days of some wishes, if one is fixed."""
        bound = [limit for limit in self.not_before if limit.key in keys]
        return max(bound, key=lambda limit: limit.date, default=None)
