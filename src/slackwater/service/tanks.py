"""Tanks that are kept: added from a tank file, changed by revisions, never overwritten."""

from __future__ import annotations

import datetime as dt
import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from slackwater.errors import InputError, StaleEditError, shown
from slackwater.service.differences import Difference, differences, merged
from slackwater.service.plain_data import read_text
from slackwater.service.tankfile import load
from slackwater.service.tankfile_copy import plain_copy
from slackwater.society.diary import labels
from slackwater.store import Changes, Revision, Signed, Store, Tank, Work

LONGEST_NAME = 100
_MOST_DIGITS = 19
MOST_CHANGES_TOLD = 5


@dataclass(frozen=True)
class By:
    """Who does something, when, and why."""

    who: str
    now: dt.datetime
    why: str = ""


@dataclass(frozen=True)
class KeptTank:
    """A tank as it is kept: its head, its last revision, and what its animals go by."""

    tank: Tank
    revision: Revision
    labels: tuple[str, ...]


@dataclass(frozen=True)
class RevisionRow:
    """One revision: who saved it, when and why, and what it changed."""

    number: int
    at: dt.datetime
    by: str
    why: str
    changed: tuple[Difference, ...]


def add_tank(store: Store, name: str, text: str, by: By, keeper: str = "") -> KeptTank:
    """Add a tank from the text of a tank file.

    Parameters
    ----------
    store
        The store.
    name
        What the tank is to be called.
    text
        The tank file, as it was written.
    by
        Who adds it, when and why.
    keeper
        Whose tank it is; a keeper not known yet is added.

    Raises
    ------
    InputError, InputErrors
        If the name is taken or cannot be, or the file cannot be used; all its faults at once.
    """
    content = content_of(text)
    name = _fit_name(name)
    with store.writing() as work:
        if work.tanks.find(name):
            remedy = "Choose another name, or save a revision of that tank."
            raise _fault("the tank's name", name, "a tank goes by that name already", remedy)
        tank_id = work.tanks.add(name, by.now, _keeper_id(work, keeper, by.now))
        work.tanks.save(tank_id, 0, text, content, by.why or "first", Signed(by.now, by.who))
    return open_tank(store, name)


def add_tank_file(store: Store, path: Path, by: By, name: str = "", keeper: str = "") -> KeptTank:
    """Add a tank from a tank file, under the file's name unless another is given.

    Raises
    ------
    InputError, InputErrors
        As for :func:`add_tank`, or if the file cannot be read.
    """
    return add_tank(store, name or path.stem, read_text(path), by, keeper)


def open_tank(store: Store, said: str) -> KeptTank:
    """Return a tank by its name, or by its number.

    Raises
    ------
    InputError
        If no tank goes by it.
    """
    with store.reading() as work:
        tank = find_tank(work, said)
        return _kept(work, tank)


def list_tanks(store: Store, keeper: str = "") -> tuple[Tank, ...]:
    """Return all tanks by name, or those of one keeper.

    Raises
    ------
    InputError
        If no keeper goes by the name.
    """
    with store.reading() as work:
        if not keeper:
            return work.tanks.all()
        found = work.keepers.find(keeper)
        if found is None:
            known = [one.name for one in work.keepers.all()]
            raise _fault("the keeper", keeper, "no keeper goes by that name", _nearest(keeper, known))
        return work.tanks.all(found.id)


def save_revision(store: Store, said: str, text: str, expected: int, by: By) -> KeptTank:
    """Save one more revision of a tank, if nobody else has saved one meanwhile.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    text
        The whole tank file.
    expected
        The number of the revision that was edited.
    by
        Who saves it, when and why.

    Raises
    ------
    StaleEditError
        If that is not the last revision any more; it tells what was changed meanwhile.
    InputError, InputErrors
        If no tank goes by the name, or the file cannot be used.
    """
    content = content_of(text)
    with store.writing() as work:
        tank = find_tank(work, said)
        if work.tanks.save(tank.id, expected, text, content, by.why, Signed(by.now, by.who)) is None:
            raise _stale(work, tank, expected)
        return _kept(work, find_tank(work, str(tank.id)))


def merge_revision(store: Store, said: str, text: str, expected: int, by: By) -> KeptTank:
    """Save an edit beside what others changed meanwhile, where the two do not touch.

    Parameters are those of :func:`save_revision`. The text kept is then written anew from both.

    Raises
    ------
    StaleEditError
        If both changed the same place.
    InputError, InputErrors
        If no tank goes by the name, or the edit or both together cannot be used.
    """
    mine = content_of(text)
    with store.writing() as work:
        tank = find_tank(work, said)
        if tank.revision != expected:
            base, theirs = (_revision(work, tank, n).content for n in (expected, tank.revision))
            both, clashes = merged(base, theirs, mine)
            if clashes:
                raise _stale(work, tank, expected)
            text = _as_yaml(both)
            mine = content_of(text)
        work.tanks.save(tank.id, tank.revision, text, mine, by.why, Signed(by.now, by.who))
        return _kept(work, find_tank(work, str(tank.id)))


def revisions(store: Store, said: str) -> tuple[RevisionRow, ...]:
    """Return who changed what in a tank, newest first.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        saved = work.tanks.revisions(find_tank(work, said).id)
    before: Mapping[str, object] = {}
    rows: list[RevisionRow] = []
    for one in saved:
        changed = differences(before, one.content) if rows else ()
        rows.append(RevisionRow(one.number, one.signed.at, one.signed.by, one.why, changed))
        before = one.content
    return tuple(reversed(rows))


def revision(store: Store, said: str, number: int) -> Revision:
    """Return one revision of a tank.

    Raises
    ------
    InputError
        If there is no such tank or revision.
    """
    with store.reading() as work:
        return _revision(work, find_tank(work, said), number)


def changes_since(store: Store, said: str, change: int) -> Changes:
    """Return all that was written about a tank after one of its changes, for who looks on.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    change
        The number of the last change that was seen; 0 for all.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        tank = find_tank(work, said)
        if tank.change <= change:
            return Changes(change, tank.change)
        return Changes(
            since=change,
            until=tank.change,
            revisions=work.tanks.revisions(tank.id, change),
            entries=work.diaries.written(tank.id, change),
            plans=work.plans.all(tank.id, change),
            looks=tuple(look for _, look in work.looks.all(tank.id, change)),
        )


def delete_tank(store: Store, said: str) -> None:
    """Delete a tank and all that was written about it, and overwrite its traces.

    Raises
    ------
    InputError
        If no tank goes by the name.
    StoreError
        If others use the store all the while, so that traces stay.
    """
    with store.writing() as work:
        work.tanks.delete(find_tank(work, said).id)
    store.overwrite_traces()


def find_tank(work: Work, said: str) -> Tank:
    """Return a tank by its name or number, within a unit of work.

    Raises
    ------
    InputError
        If no tank goes by it.
    """
    tank = work.tanks.find(said)
    if tank is None and said.strip().isdecimal() and len(said.strip()) < _MOST_DIGITS:
        tank = work.tanks.find(int(said))
    if tank is None:
        known = [one.name for one in work.tanks.all()]
        raise _fault("the tank", said, "no tank goes by that name", _nearest(said, known))
    return tank


def content_of(text: str) -> dict[str, object]:
    """Return what a tank file says, as plain values.

    Raises
    ------
    InputError, InputErrors
        If it cannot be used; all faults at once.
    """
    return plain_copy(load(f"{text}\n", nobody_ok=True))


def labels_in(content: Mapping[str, object]) -> tuple[str, ...]:
    """Return what the animals of a tank go by, from the plain values of its file."""
    company = content.get("company", [])
    rows = company if isinstance(company, list) else []
    return labels([(str(row["animal"]), int(row.get("count", 1))) for row in rows])


def _kept(work: Work, tank: Tank) -> KeptTank:
    last = _revision(work, tank, tank.revision)
    return KeptTank(tank, last, labels_in(last.content))


def _revision(work: Work, tank: Tank, number: int) -> Revision:
    found = work.tanks.revision(tank.id, number)
    if found is None:
        limit = f"the revisions of {tank.name} are 1 to {tank.revision}"
        raise _fault("the revision", str(number), limit, "See them: slackwater tanks NAME --revisions.")
    return found


def _stale(work: Work, tank: Tank, expected: int) -> StaleEditError:
    tank = find_tank(work, str(tank.id))
    last = _revision(work, tank, tank.revision)
    edited = work.tanks.revision(tank.id, expected)
    told = [d.sentence for d in differences(edited.content, last.content)] if edited else []
    more = [f"and {len(told) - MOST_CHANGES_TOLD} more"] if len(told) > MOST_CHANGES_TOLD else []
    return StaleEditError(
        record=f"revision {expected} of {tank.name}",
        changed_by=last.signed.by,
        changed_at=f"{last.signed.at:%Y-%m-%d %H:%M} UTC",
        changes=[*told[:MOST_CHANGES_TOLD], *more],
    )


def _keeper_id(work: Work, name: str, now: dt.datetime) -> int | None:
    if not name:
        return None
    found = work.keepers.find(name)
    return found.id if found else work.keepers.add(_fit_name(name), now)


def _fit_name(name: str) -> str:
    told = " ".join(name.split())
    if not told or len(told) > LONGEST_NAME or not told.isprintable():
        limit = f"it must have 1 to {LONGEST_NAME} letters that can be printed"
        raise _fault("the name", name, limit, "Choose another.")
    if told.isdigit():
        raise _fault("the name", name, "numbers alone stand for tanks by number", "Add a word.")
    return told


def _nearest(said: str, known: Iterable[str]) -> str:
    names = {name.casefold(): name for name in known}
    near = difflib.get_close_matches(said.casefold(), names, n=3, cutoff=0.5)
    if near:
        return f"Did you mean {' or '.join(names[name] for name in near)}?"
    return "Add it: slackwater tanks --add FILE." if not names else f"Known: {', '.join(names.values())}."


def _as_yaml(content: Mapping[str, object]) -> str:
    import yaml

    return str(yaml.safe_dump(dict(content), sort_keys=False, allow_unicode=True))


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
