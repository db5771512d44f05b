"""What a diary refuses, and what it warns of: who lives in the tank, and which times can be."""

from __future__ import annotations

import datetime as dt
import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from slackwater.errors import InputError, InputErrors, shown
from slackwater.service.moments import placed
from slackwater.service.tanks import labels_in
from slackwater.society.diary import (
    Entry,
    HeadCount,
    Photograph,
    Release,
    RemedyBegun,
    RemedyEnded,
    Seen,
    TakenBack,
    Watch,
    animals_of,
)
from slackwater.store import Asked, Tank, Work

LEEWAY = dt.timedelta(minutes=5)
FIRST_DAY = dt.datetime(1990, 1, 1, tzinfo=dt.UTC)
LONGEST_NOTE = 10_000


@dataclass(frozen=True)
class Draft:
    """Something seen, not written down yet; `at` is now if left out.

    Where a remedy ends that is begun among the same drafts, `begun` is minus the place of that
    draft, counted from 1.
    """

    seen: Seen
    at: dt.datetime | None = None
    note: str = ""
    photographs: tuple[Photograph, ...] = ()
    corrects: int | None = None


def refuse_faulty(work: Work, tank: Tank, drafts: Sequence[Draft], now: dt.datetime) -> None:
    """Refuse drafts that cannot be written: an animal not of this tank, a time ahead, a wrong number.

    Raises
    ------
    InputError, InputErrors
        All faults at once.
    """
    faults = [fault for wrong in faults_of_drafts(work, tank, drafts, now) for fault in wrong]
    if len(faults) == 1:
        raise faults[0]
    if faults:
        raise InputErrors(source="the entries", faults=faults)


def faults_of_drafts(
    work: Work, tank: Tank, drafts: Sequence[Draft], now: dt.datetime
) -> list[list[InputError]]:
    """Return the faults of each of some drafts that are to be written together."""
    arriving = {draft.seen.animal for draft in drafts if isinstance(draft.seen, Release)}
    known = {*known_labels(work, tank), *arriving}
    return [
        [
            *_animal_faults(draft, known),
            *_time_faults(draft, now),
            *_reference_faults(work, tank, draft, drafts),
        ]
        for draft in drafts
    ]


def _animal_faults(draft: Draft, known: set[str]) -> Iterable[InputError]:
    for label in animals_of(draft.seen):
        if label in known:
            continue
        try:
            meant = matched(label, sorted(known))
        except InputError as fault:
            yield fault
        else:
            yield _fault("the animal", label, "nobody goes by exactly that", f"Write {meant}.")


def _time_faults(draft: Draft, now: dt.datetime) -> Iterable[InputError]:
    if len(draft.note) > LONGEST_NOTE:
        yield _fault("the note", draft.note, f"{LONGEST_NOTE} letters are the most", "Shorten it.")
    if draft.at is None:
        return
    at = placed(draft.at)
    told = f"{at:%Y-%m-%d %H:%M} UTC"
    length = draft.seen.watched_min if isinstance(draft.seen, Watch) else None
    if at + dt.timedelta(minutes=length or 0.0) > now + LEEWAY:
        limit = f"it is {now:%Y-%m-%d %H:%M} UTC by this computer's clock"
        yield _fault("the time", told, limit, "Check the time, its zone and the clock.")
    if at < FIRST_DAY:
        yield _fault("the time", told, "diaries begin in 1990", "Check the year.")


def _reference_faults(work: Work, tank: Tank, draft: Draft, drafts: Sequence[Draft]) -> Iterable[InputError]:
    if draft.corrects is not None and work.diaries.get(tank.id, draft.corrects) is None:
        limit = f"{tank.name} has {tank.entries} entries"
        yield _fault("the entry to correct", str(draft.corrects), limit, "List them with their numbers.")
    if isinstance(draft.seen, TakenBack) and draft.corrects is None:
        yield _fault("the entry to take back", "not named", "one is needed", "Give its number.")
    if isinstance(draft.seen, RemedyEnded) and not _was_begun(work, tank, draft.seen.begun, drafts):
        limit = "no remedy was begun in that entry"
        given = f"entry {draft.seen.begun}"
        yield _fault("the remedy", given, limit, "Name the entry that began it.")


def _was_begun(work: Work, tank: Tank, begun: int, drafts: Sequence[Draft]) -> bool:
    if begun < 0:
        return -begun <= len(drafts) and isinstance(drafts[-1 - begun].seen, RemedyBegun)
    entry = work.diaries.get(tank.id, begun)
    return entry is not None and isinstance(entry.seen, RemedyBegun)


def clock_cautions(now: dt.datetime, last: dt.datetime | None) -> Iterable[str]:
    """Say when the clock has gone backwards since the last entry."""
    if last and now < last - LEEWAY:
        yield (
            f"The clock of this computer shows {now:%Y-%m-%d %H:%M} UTC, before the last entry "
            f"({last:%Y-%m-%d %H:%M} UTC). Check the clock; what was written now is placed at the last entry."
        )


def count_cautions(work: Work, tank: Tank, entries: Iterable[Entry]) -> Iterable[str]:
    """Say when more animals were counted than live there by the tank file."""
    last = work.tanks.revision(tank.id, tank.revision)
    home = len(labels_in(last.content)) if last else 0
    for entry in entries:
        if isinstance(entry.seen, HeadCount) and home and entry.seen.count + len(entry.seen.missing) > home:
            yield (
                f"Entry {entry.number} speaks of {entry.seen.count + len(entry.seen.missing)} animals, and "
                f"{home} live there by the tank file. Check the count, or save who came since."
            )


def known_labels(work: Work, tank: Tank) -> tuple[str, ...]:
    """Return what the animals of a tank go by or ever went by, those let go since among them."""
    named: dict[str, None] = {}
    for one in reversed(work.tanks.revisions(tank.id)):
        named |= dict.fromkeys(labels_in(one.content))
    for entry in work.diaries.standing(tank.id, Asked(kinds=(Release.kind,))):
        named |= dict.fromkeys(entry.animals)
    groups = [label.rsplit(" ", 1)[0] for label in named if label.rsplit(" ", 1)[-1].isdigit()]
    return tuple(named | dict.fromkeys(groups))


def matched(said: str, known: Iterable[str], field: str = "the animal") -> str:
    """Return the label that some words mean: itself, or the only one that they begin or stand in.

    Raises
    ------
    InputError
        If nobody goes by them, or several may be meant.
    """
    labels = tuple(known)
    told = " ".join(said.split()).casefold()
    exact = [label for label in labels if label.casefold() == told]
    inside = [label for label in labels if told and f" {told}" in f" {label.casefold()}"]
    found = exact or _without_members(inside)
    if len(found) == 1:
        return found[0]
    if found:
        remedy = "Write the whole label."
        raise _fault(field, said, f"that may be {' or '.join(found[:5])}", remedy)
    near = difflib.get_close_matches(told, [label.casefold() for label in labels], n=3, cutoff=0.5)
    names = [label for label in labels if label.casefold() in near]
    remedy = f"Did you mean {' or '.join(names)}?" if names else _listed(labels)
    raise _fault(field, said, "nobody in this tank goes by that", remedy)


def _without_members(labels: Sequence[str]) -> list[str]:
    """Leave the numbered members out where the name of their group is there too."""
    groups = {label for label in labels if not label.rsplit(" ", 1)[-1].isdigit()}
    return [label for label in labels if label.rsplit(" ", 1)[0] not in groups or label in groups]


def _listed(labels: Sequence[str]) -> str:
    if not labels:
        return "Save who lives there in the tank file first."
    return f"Those of this tank: {', '.join(labels[:12])}."


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
