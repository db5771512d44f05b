"""The diary of a kept tank: entries added and corrected, listed page by page, counted by day.

What commands and pages share. Functions take the open store and return frozen records.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from slackwater.errors import InputError, shown
from slackwater.service.diary_checks import Draft, clock_cautions, count_cautions, known_labels, refuse_faulty
from slackwater.service.tanks import By, find_tank, labels_in
from slackwater.society.diary import (
    Chases,
    Death,
    Entry,
    Photograph,
    Release,
    RemedyEnded,
    Removal,
    Seen,
    TakenBack,
    Watch,
)
from slackwater.store import Asked, Store, Tank, Work

__all__ = [
    "Asked",
    "Draft",
    "Page",
    "PairCount",
    "PeriodCount",
    "Saved",
    "add",
    "at_home",
    "counts",
    "labels_of",
    "page",
    "pairs_of",
    "photograph",
    "photograph_state",
    "recent_pairs",
    "standing_entries",
    "take_back",
    "tallies",
    "written_entries",
]

LARGEST_PAGE = 1_000
MOST_PAIRS = 9
_LOOKED_BACK = 200


@dataclass(frozen=True)
class Saved:
    """Entries as they were written, and what whoever wrote them should know."""

    entries: tuple[Entry, ...]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Page:
    """A page of entries, newest first; `before` asks for the next page, None where there is none."""

    entries: tuple[Entry, ...]
    before: tuple[dt.datetime, int] | None


@dataclass(frozen=True)
class PairCount:
    """How often one animal turned on another within a period, in each way."""

    who: str
    whom: str
    display: int = 0
    chase: int = 0
    bite: int = 0
    locked: int = 0


@dataclass(frozen=True)
class PeriodCount:
    """What was written of a day or week: tallies, minutes watched, and chases by pair.

    `in_passing` counts chases seen without watching; they are not in `pairs`, since no rate can be
    read off them.
    """

    start: dt.date
    entries: int
    watches: int
    watched_min: float
    in_passing: int
    pairs: tuple[PairCount, ...]


def add(store: Store, said: str, drafts: Sequence[Draft], by: By) -> Saved:
    """Write entries into a tank's diary: all of them, or none.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    drafts
        What was seen; at least one.
    by
        Who writes, and when.

    Raises
    ------
    InputError, InputErrors
        If no tank goes by the name, or something in the drafts cannot be: an animal that is not
        of this tank, a time ahead, a correction of nothing. All faults at once.
    """
    with store.writing() as work:
        tank = find_tank(work, said)
        refuse_faulty(work, tank, drafts, by.now)
        last = work.diaries.last_written(tank.id)
        counted = work.tanks.count_on(tank.id, len(drafts))
        first = int(counted["entries"]) - len(drafts) + 1
        written_at = max(by.now, last) if last else by.now
        entries = tuple(
            _entry(work, tank, draft, (first, number), replace(by, now=written_at))
            for number, draft in enumerate(drafts, first)
        )
        work.diaries.add(tank.id, counted["change"], entries)
        cautions = [*clock_cautions(by.now, last), *count_cautions(work, tank, entries)]
    return Saved(entries, tuple(cautions))


def take_back(store: Store, said: str, number: int, by: By) -> Saved:
    """Say that an entry does not hold; it stays readable among what was written.

    Raises
    ------
    InputError
        If there is no such tank or entry.
    """
    return add(store, said, [Draft(TakenBack(), note=by.why, corrects=number)], by)


def page(store: Store, said: str, asked: Asked | None = None, size: int = 50) -> Page:
    """Return a page of what holds, newest first.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    asked
        Which entries; all if left out.
    size
        How many, 1000 at the most.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    size = min(max(size, 1), LARGEST_PAGE)
    with store.reading() as work:
        found = work.diaries.standing(find_tank(work, said).id, asked or Asked(), size + 1)
    here = found[:size]
    more = len(found) > size
    return Page(here, (here[-1].at, here[-1].number) if more else None)


def standing_entries(store: Store, said: str, asked: Asked | None = None) -> tuple[Entry, ...]:
    """Return all that holds, oldest first, for ranks, settling and the ladder.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        tank = find_tank(work, said)
        return tuple(reversed(work.diaries.standing(tank.id, asked or Asked())))


def tallies(store: Store, said: str) -> tuple[Entry, ...]:
    """Return the tallies that hold, oldest first, with nothing but number, time and what was seen.

    For ranks over a long diary; a third faster than :func:`standing_entries`.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        return work.diaries.watches(find_tank(work, said).id)


def written_entries(store: Store, said: str) -> tuple[Entry, ...]:
    """Return all that was ever written, corrections among them, in that order.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        return work.diaries.written(find_tank(work, said).id)


def recent_pairs(store: Store, said: str, most: int = MOST_PAIRS) -> tuple[tuple[str, str], ...]:
    """Return the pairs that were last seen to quarrel, the latest first, each once.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    seen = page(store, said, Asked(kinds=(Watch.kind,)), _LOOKED_BACK).entries
    pairs = (pair for entry in seen for pair in pairs_of(entry.seen))
    return tuple(dict.fromkeys(pairs))[:most]


def labels_of(store: Store, said: str) -> tuple[str, ...]:
    """Return what the animals of a tank go by or ever went by, groups among them.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        return known_labels(work, find_tank(work, said))


def at_home(store: Store, said: str) -> int:
    """Return how many animals live in a tank: those of its file less those who died or left since.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        tank = find_tank(work, said)
        last = work.tanks.revision(tank.id, tank.revision)
        if last is None:
            return 0
        moved = Asked(kinds=(Death.kind, Removal.kind, Release.kind), since=last.signed.at)
        seen = [entry.seen for entry in work.diaries.standing(tank.id, moved)]
    came = sum(one.count for one in seen if isinstance(one, Release))
    went = sum(one.count for one in seen if isinstance(one, Death | Removal))
    return max(len(labels_in(last.content)) + came - went, 0)


def pairs_of(seen: Seen) -> tuple[tuple[str, str], ...]:
    """Return who turned on whom in a tally."""
    return tuple((c.who, c.whom) for c in seen.chases if c.count) if isinstance(seen, Watch) else ()


def counts(
    store: Store, said: str, asked: Asked | None = None, days: int = 1, zone: dt.tzinfo | None = None
) -> tuple[PeriodCount, ...]:
    """Return what was written by day or week, oldest first; periods without entries are left out.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    asked
        Which entries; all if left out.
    days
        Days in a period, counted from the first of January of the year 1; 7 begins on Mondays.
    zone
        The zone whose midnight parts the days; that of this computer if left out.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    periods: dict[int, list[Entry]] = {}
    for entry in standing_entries(store, said, asked):
        day = entry.at.astimezone(zone).toordinal()
        periods.setdefault(day - (day - 1) % days, []).append(entry)
    return tuple(_counted(start, entries) for start, entries in sorted(periods.items()))


def photograph(path: Path) -> Photograph:
    """Return a photograph by reference: its full path, and the hash of its bytes.

    Raises
    ------
    InputError
        If there is no such file.
    """
    if not path.is_file():
        raise _fault("the photograph", str(path), "there is no such file", "Check the name and the folder.")
    with path.open("rb") as file:
        return Photograph(str(path.absolute()), hashlib.file_digest(file, "sha256").hexdigest())


def photograph_state(one: Photograph) -> str:
    """Return what has become of a photograph: `there`, `changed` since, or `gone`."""
    path = Path(one.path)
    if not path.is_file():
        return "gone"
    return "there" if photograph(path).sha256 == one.sha256 else "changed"


def _entry(work: Work, tank: Tank, draft: Draft, numbers: tuple[int, int], by: By) -> Entry:
    """Return a draft as an entry; the numbers are those of the first of its company and its own."""
    first, number = numbers
    root = draft.corrects
    earlier = work.diaries.get(tank.id, root) if root is not None else None
    if earlier is not None and earlier.corrects is not None:
        root = earlier.corrects
    at = draft.at or (earlier.at if earlier else _begun(draft.seen, by.now))
    seen = draft.seen
    if isinstance(seen, RemedyEnded) and seen.begun < 0:
        seen = replace(seen, begun=first - 1 - seen.begun)
    return Entry(number, at, seen, by.who, draft.note, draft.photographs, root, by.now)


def _begun(seen: Seen, now: dt.datetime) -> dt.datetime:
    """Return when something began that is written down now: a tally, when watching began."""
    watched_min = seen.watched_min if isinstance(seen, Watch) else None
    return now - dt.timedelta(minutes=watched_min or 0.0)


def _counted(start: int, entries: Sequence[Entry]) -> PeriodCount:
    watches = [entry.seen for entry in entries if isinstance(entry.seen, Watch)]
    timed = [watch for watch in watches if watch.watched_min is not None]
    passing = (c.count for watch in watches if watch.watched_min is None for c in watch.chases)
    return PeriodCount(
        start=dt.date.fromordinal(start),
        entries=len(entries),
        watches=len(timed),
        watched_min=sum(watch.watched_min or 0.0 for watch in timed),
        in_passing=sum(passing),
        pairs=_by_pair(c for watch in timed for c in watch.chases),
    )


def _by_pair(chases: Iterable[Chases]) -> tuple[PairCount, ...]:
    found: dict[tuple[str, str], Counter[str]] = {}
    for one in chases:
        found.setdefault((one.who, one.whom), Counter())[one.how.value] += one.count
    return tuple(PairCount(who, whom, **how) for (who, whom), how in sorted(found.items()))


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
