"""What is kept, as plain frozen records; moments are aware and in UTC."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from slackwater.society.diary import Entry


class Outcome(StrEnum):
    """What came of a due look."""

    ALL_WELL = "all well"
    LOOK_AGAIN = "look again"
    VISIT = "visit"
    TAKE_BACK = "take back"
    NOT_REACHED = "not reached"
    DROPPED = "dropped"


@dataclass(frozen=True)
class Signed:
    """When something was written, by whom, and as which change of its tank."""

    at: dt.datetime
    by: str
    change: int = 0


@dataclass(frozen=True)
class Keeper:
    """Who looks after tanks; names and ways of contact are personal data."""

    id: int
    name: str
    contact: str
    note: str
    since: dt.datetime


@dataclass(frozen=True)
class Tank:
    """A tank, without what is in it.

    `revision` and `change` are the numbers of the last revision and of the last change of any
    kind; `entries` counts what was ever written into the diary.
    """

    id: int
    name: str
    keeper: str
    revision: int
    change: int
    entries: int
    since: dt.datetime


@dataclass(frozen=True)
class Revision:
    """A tank file as it was saved: the text as given, what it says as plain values, and why."""

    number: int
    text: str
    content: Mapping[str, object]
    why: str
    signed: Signed


@dataclass(frozen=True)
class RestsOn:
    """What a plan rests on: releases of the program and marks of the tables it read."""

    program: str
    facts: str
    rules: str
    house_notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class KeptPlan:
    """A plan as it was given, and the revision of the tank that it was made for."""

    number: int
    revision: int
    plan: Mapping[str, object]
    rests_on: RestsOn
    why: str
    signed: Signed


@dataclass(frozen=True)
class LookResult:
    """What came of a due look; `happened` says whether what was forecast came true."""

    outcome: Outcome
    note: str
    signed: Signed
    happened: bool | None = None


@dataclass(frozen=True)
class DueLook:
    """A look or call that is due: when, at whom, what to ask, and what was forecast with chance p."""

    number: int
    due_at: dt.datetime
    asks: tuple[str, ...]
    reason: str
    signed: Signed
    animals: tuple[str, ...] = ()
    forecast: str = ""
    p: float | None = None
    result: LookResult | None = None


@dataclass(frozen=True)
class KeeperLink:
    """A link by which a keeper reads about one tank, until it expires or is withdrawn.

    `secret` signs its token and is shown to nobody; `shows_diary` says whether the diary is read too.
    """

    number: int
    secret: str
    shows_diary: bool
    expires_at: dt.datetime
    signed: Signed
    withdrawn_at: dt.datetime | None = None

    def holds(self, now: dt.datetime) -> bool:
        """Say whether it may be used at a moment."""
        return self.withdrawn_at is None and now < self.expires_at


@dataclass(frozen=True)
class Changes:
    """All that was written about a tank after one of its changes."""

    since: int
    until: int
    revisions: tuple[Revision, ...] = ()
    entries: tuple[Entry, ...] = ()
    plans: tuple[KeptPlan, ...] = ()
    looks: tuple[DueLook, ...] = ()
