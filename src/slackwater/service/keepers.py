"""Keepers and their own data: handed over whole, or deleted for good."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from slackwater.errors import InputError, StoreError, shown
from slackwater.service.diary_csv import safe_cell, write_entries
from slackwater.service.tanks import By, find_tank
from slackwater.service.written import write_all
from slackwater.store import DueLook, Keeper, KeptPlan, Revision, Signed, Store, Tank, Work
from slackwater.store.plain import plain_of

ELSEWHERE = (
    "Backups made before, copies made before tables changed or a restore, and files that were exported "
    "still hold it. Delete those by hand."
)
_LOOKS = ("number", "due_at", "animals", "asks", "reason", "forecast", "p", "outcome", "happened", "note")


@dataclass(frozen=True)
class KeeperRow:
    """A keeper and the names of their tanks."""

    keeper: Keeper
    tanks: tuple[str, ...]


@dataclass(frozen=True)
class HandedOver:
    """The files that one keeper's data were written into."""

    files: tuple[Path, ...]
    tanks: int
    entries: int


@dataclass(frozen=True)
class Deleted:
    """What was deleted, and where copies may lie that the program knows of."""

    keeper: str
    tanks: tuple[str, ...]
    copies: tuple[Path, ...]
    note: str


def list_keepers(store: Store) -> tuple[KeeperRow, ...]:
    """Return all keepers by name with their tanks."""
    with store.reading() as work:
        return tuple(
            KeeperRow(one, tuple(tank.name for tank in work.tanks.all(one.id))) for one in work.keepers.all()
        )


def note_keeper(store: Store, name: str, by: By, contact: str = "", tank: str = "") -> KeeperRow:
    """Add a keeper or change what is kept of one, and say which tank is theirs.

    Parameters
    ----------
    store
        The store.
    name
        The keeper's name.
    by
        Who says so, and when; `by.why` is kept as the note.
    contact
        A way to reach them, in whatever form; empty for what is kept already.
    tank
        A tank that is theirs; empty for none.

    Raises
    ------
    InputError
        If the name cannot be, or no tank goes by its name.
    """
    with store.writing() as work:
        found = work.keepers.find(name)
        if found is None:
            if not name.strip():
                raise _fault("the keeper", name, "a name is needed", "Write one.")
            keeper_id = work.keepers.add(name.strip(), by.now, contact, by.why)
        else:
            keeper_id = found.id
            work.keepers.change(keeper_id, contact or found.contact, by.why or found.note)
        if tank:
            work.tanks.hand_to(find_tank(work, tank).id, keeper_id)
        return next(
            KeeperRow(one, tuple(t.name for t in work.tanks.all(one.id)))
            for one in work.keepers.all()
            if one.id == keeper_id
        )


def export_keeper(store: Store, name: str, folder: Path) -> HandedOver:
    """Write all that is kept of one keeper into a folder: JSON of everything, CSV of diaries and looks.

    Parameters
    ----------
    store
        The store.
    name
        The keeper.
    folder
        Where to write; it must not hold files of that name yet.

    Raises
    ------
    InputError
        If no keeper goes by the name, or the files are there already.
    """
    with store.reading() as work:
        keeper = _keeper(work, name)
        tanks = [(tank, _whole(work, tank)) for tank in work.tanks.all(keeper.id)]
        entries = {tank.id: work.diaries.written(tank.id) for tank, _ in tanks}
        looks = {tank.id: [look for _, look in work.looks.all(tank.id)] for tank, _ in tanks}
    texts = {
        "keeper.json": _json(
            {"slackwater": 1, "keeper": _plain_keeper(keeper), "tanks": [w for _, w in tanks]}
        )
    }
    for tank, _ in tanks:
        stem = f"{tank.id}-{_file_name(tank.name)}"
        out = io.StringIO()
        write_entries(entries[tank.id], out)
        texts[f"{stem}-diary.csv"] = out.getvalue()
        texts[f"{stem}-looks.csv"] = _looks_csv(looks[tank.id])
    files = _write(folder, texts)
    return HandedOver(files, len(tanks), sum(map(len, entries.values())))


def delete_keeper(store: Store, name: str) -> Deleted:
    """Delete a keeper, their tanks and all that was written about them, and overwrite the traces.

    Raises
    ------
    InputError
        If no keeper goes by the name.
    StoreError
        If others use the store all the while, so that traces stay.
    """
    with store.writing() as work:
        keeper = _keeper(work, name)
        tanks = tuple(tank.name for tank in work.tanks.all(keeper.id))
        work.keepers.delete(keeper.id)
    store.overwrite_traces()
    return Deleted(keeper.name, tanks, _copies(store), ELSEWHERE)


def _copies(store: Store) -> tuple[Path, ...]:
    """Return copies of the store that the program made beside it."""
    if store.path is None:
        return ()
    return tuple(sorted(store.path.parent.glob(f"{store.path.name}.*")))


def _keeper(work: Work, name: str) -> Keeper:
    found = work.keepers.find(name)
    if found is None:
        known = ", ".join(one.name for one in work.keepers.all()) or "nobody"
        raise _fault("the keeper", name, "no keeper goes by that name", f"Known: {known}.")
    return found


def _whole(work: Work, tank: Tank) -> dict[str, object]:
    return {
        "name": tank.name,
        "number": tank.id,
        "since": tank.since.isoformat(),
        "revisions": [_plain_revision(one) for one in work.tanks.revisions(tank.id)],
        "diary": [
            {"kind": e.seen.kind, "seen": plain_of(e.seen)}
            | {n: _plain(v) for n, v in plain_of(e).items() if n != "seen"}
            for e in work.diaries.written(tank.id)
        ],
        "plans": [_plain_plan(one) for one in work.plans.all(tank.id)],
        "looks": [_look_row(look) | _plain_signed(look.signed) for _, look in work.looks.all(tank.id)],
    }


def _plain_keeper(keeper: Keeper) -> dict[str, object]:
    return {
        "name": keeper.name,
        "contact": keeper.contact,
        "note": keeper.note,
        "since": keeper.since.isoformat(),
    }


def _plain_revision(one: Revision) -> dict[str, object]:
    told = {"number": one.number, "text": one.text, "content": dict(one.content), "why": one.why}
    return told | _plain_signed(one.signed)


def _plain_plan(one: KeptPlan) -> dict[str, object]:
    rests: Mapping[str, object] = plain_of(one.rests_on)
    told = {"number": one.number, "revision": one.revision, "plan": dict(one.plan), "why": one.why}
    return told | {"rests_on": rests} | _plain_signed(one.signed)


def _plain_signed(signed: Signed) -> dict[str, object]:
    return {"written_at": signed.at.isoformat(), "written_by": signed.by}


def _look_row(look: DueLook) -> dict[str, object]:
    result = look.result
    values = (
        look.number,
        look.due_at.isoformat(),
        "; ".join(look.animals),
        "; ".join(look.asks),
        look.reason,
        look.forecast,
        look.p,
        result.outcome.value if result else None,
        result.happened if result else None,
        result.note if result else "",
    )
    return dict(zip(_LOOKS, values, strict=True))


def _looks_csv(looks: Iterable[DueLook]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, _LOOKS, lineterminator="\n")
    writer.writeheader()
    for look in looks:
        writer.writerow({name: safe_cell(cell) for name, cell in _look_row(look).items()})
    return out.getvalue()


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, dt.datetime) else value


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2) + "\n"


def _file_name(name: str) -> str:
    return re.sub(r"[^\w-]+", "-", name).strip("-")[:60] or "tank"


def _write(folder: Path, texts: Mapping[str, str]) -> tuple[Path, ...]:
    if there := [name for name in texts if (folder / name).exists()]:
        raise _fault("the folder", str(folder), f"it holds {there[0]} already", "Name an empty folder.")
    try:
        return write_all(folder, texts)
    except OSError as fault:
        problem = (fault.strerror or "it cannot be written").lower()
        raise StoreError(store=str(folder), problem=problem, remedy="Check the folder.") from fault


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
