"""A tank's diary as its page shows it, and entries as a page sends them."""

from __future__ import annotations

import datetime as dt
import shlex
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Annotated, TypeVar

from pydantic import BaseModel, ConfigDict
from pydantic import Field as Told

from slackwater.errors import InputError, InputErrors
from slackwater.service.diary import Asked as AskedOf
from slackwater.service.diary import (
    Draft,
    Saved,
    add,
    at_home,
    labels_of,
    page,
    recent_pairs,
    standing_entries,
)
from slackwater.service.diary_sentences import sentence
from slackwater.service.diary_words import read_words
from slackwater.service.follow_up import TankDue, due_at_tank
from slackwater.service.kept_quarrels import rank_tank, remedy_tank
from slackwater.service.ranking import RankAnswer
from slackwater.service.remedy import Asked, RemedyAnswer
from slackwater.service.tank_view import checked
from slackwater.service.tanks import By
from slackwater.society.diary import ChaseKind, Chases, Entry, Watch
from slackwater.store import Store

T = TypeVar("T")

LONGEST_WORDS = 300
_MOST_AT_ONCE = 200


class ChasesTold(BaseModel):
    """Who turned on whom, how, and how often."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    who: str
    whom: str
    how: ChaseKind = ChaseKind.CHASE
    count: Annotated[int, Told(ge=0, le=10_000)] = 1


class EntryTold(BaseModel):
    """One entry as a page sends it: typed words, or chases with the minutes that were watched.

    `at` is when it was seen, with its clock; now if left out.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    words: Annotated[str, Told(max_length=LONGEST_WORDS)] = ""
    chases: Annotated[tuple[ChasesTold, ...], Told(max_length=_MOST_AT_ONCE)] = ()
    minutes: Annotated[float | None, Told(ge=0.0, le=1440.0)] = None
    note: Annotated[str, Told(max_length=2000)] = ""
    at: dt.datetime | None = None


class EntriesTold(BaseModel):
    """Entries that a page sends together: all are kept, or none."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    entries: Annotated[tuple[EntryTold, ...], Told(min_length=1, max_length=_MOST_AT_ONCE)]


@dataclass(frozen=True)
class EntryLine:
    """One entry as it is listed."""

    number: int
    at: dt.datetime
    by: str
    kind: str
    sentence: str
    note: str


@dataclass(frozen=True)
class WatchDay:
    """What was counted on one day: chases an hour of watching, and how long was watched. [1/h, h]"""

    day: dt.date
    per_h: float
    hours: float


@dataclass(frozen=True)
class DiaryPage:
    """All that the page of a diary shows.

    `why_no_quarrel` says why rank, trend and ladder are not there, empty where they are; `watched` are
    the days on which the pair in question was counted.
    """

    labels: tuple[str, ...]
    at_home: int
    pairs: tuple[tuple[str, str], ...]
    lines: tuple[EntryLine, ...]
    more: bool
    rank: RankAnswer | None
    remedy: RemedyAnswer | None
    watched: tuple[WatchDay, ...]
    due: TankDue | None
    why_no_quarrel: str


def diary_page(
    store: Store, said: str, now: dt.datetime, size: int = 40, *, judges: bool = True
) -> DiaryPage:
    """Return the diary of a tank, with what follows from it.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    now
        The moment of asking, with its clock.
    size
        Entries on the page. [-]
    judges
        Whether to work out what follows, nearly all of the work; without, `why_no_quarrel` is empty too.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    listed = page(store, said, size=size)
    zone = now.tzinfo or dt.UTC
    rank, _ = _answered(lambda: rank_tank(store, said, zone))
    asked = Asked(now, zone=zone)
    remedied, why = _answered(lambda: remedy_tank(store, said, asked)) if judges else (None, "")
    remedy = remedied.answer if remedied else None
    return DiaryPage(
        labels=labels_of(store, said),
        at_home=at_home(store, said),
        pairs=recent_pairs(store, said),
        lines=tuple(_line(entry) for entry in listed.entries),
        more=listed.before is not None,
        rank=rank,
        remedy=remedy,
        watched=_watched(store, said, remedy, now),
        due=_answered(lambda: due_at_tank(store, said, now))[0],
        why_no_quarrel=why,
    )


def write_entries(store: Store, said: str, told: object, by: By) -> Saved:
    """Write what a page sent into a tank's diary: all of it, or nothing.

    Raises
    ------
    InputError, InputErrors
        If something in it cannot be; all faults at once.
    """
    entries = checked(EntriesTold, told).entries
    known = labels_of(store, said)
    return add(store, said, [_draft(entry, known) for entry in entries], by)


def _draft(told: EntryTold, known: Sequence[str]) -> Draft:
    if told.words.strip():
        seen = read_words(_split(told.words), known, told.minutes)
    else:
        chases = tuple(Chases(c.who, c.whom, c.count, c.how) for c in told.chases)
        seen = Watch(told.minutes, chases)
    return Draft(seen, at=told.at, note=told.note)


def _split(words: str) -> list[str]:
    try:
        return shlex.split(words)
    except ValueError:
        return words.split()


def _line(entry: Entry) -> EntryLine:
    return EntryLine(entry.number, entry.at, entry.by, entry.seen.kind, sentence(entry.seen), entry.note)


def _answered(ask: Callable[[], T]) -> tuple[T | None, str]:
    """Return an answer, or none and why not."""
    try:
        return ask(), ""
    except (InputError, InputErrors) as fault:
        return None, str(fault)


def _watched(store: Store, said: str, remedy: RemedyAnswer | None, now: dt.datetime) -> tuple[WatchDay, ...]:
    """Return by day what was counted of the pair that the remedy is for."""
    if remedy is None:
        return ()
    counted: dict[dt.date, tuple[float, float]] = {}
    for entry in standing_entries(store, said, AskedOf(kinds=(Watch.kind,))):
        if isinstance(entry.seen, Watch) and entry.seen.watched_min:
            day = entry.at.astimezone(now.tzinfo).date()
            chases = sum(c.count for c in entry.seen.chases if (c.who, c.whom) == (remedy.who, remedy.whom))
            before = counted.get(day, (0.0, 0.0))
            counted[day] = (before[0] + chases, before[1] + entry.seen.watched_min / 60.0)
    return tuple(WatchDay(day, chases / hours, hours) for day, (chases, hours) in sorted(counted.items()))
