"""Backups: a copy of the whole store in one file, checked when it is written and when it is read."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import quote

from sqlalchemy import Engine, create_engine

from slackwater.errors import StoreError
from slackwater.store.copying import copy_store, free_name, is_whole, pages_into, rows_into, rows_of
from slackwater.store.engine import POSTGRES, engine_of, make_private, url_of, writing
from slackwater.store.faults import told_plainly
from slackwater.store.schema import LATEST, step_of, take_steps
from slackwater.store.unit import Store, open_store

_OTHER_FILE = "Name another file."


@dataclass(frozen=True)
class Backup:
    """A checked copy of a store: the last step of its tables and how many rows each holds."""

    path: Path
    step: str
    rows: Mapping[str, int]


@dataclass(frozen=True)
class Restored:
    """What was put back, and where what was there before now lies, if there was anything."""

    backup: Backup
    store: str
    before: Path | None


def backup(store: Store, target: Path, *, replace: bool = False) -> Backup:
    """Write a backup of an open store, while others go on writing, and check it.

    Parameters
    ----------
    store
        The store.
    target
        The file to write.
    replace
        Whether a file of that name may be replaced.

    Raises
    ------
    StoreError
        If there is such a file already, or it cannot be written, or is not whole.
    """
    if target.exists() and not replace:
        remedy = f"{_OTHER_FILE} Or say --replace."
        raise StoreError(store=str(target), problem="there is such a file already", remedy=remedy)
    copy_store(store.engine, store.name, target)
    return check(target)


def check(path: Path) -> Backup:
    """Return what a backup holds, once nothing is found wrong with it; nothing in it is changed.

    Raises
    ------
    StoreError
        If it is no backup, is damaged, or was written by a later release.
    """
    if not path.is_file():
        raise StoreError(store=str(path), problem="there is no such file", remedy="Check name and folder.")
    engine = _read_only(path)
    try:
        with told_plainly(str(path)), engine.connect() as connection:
            if wrong := is_whole(connection):
                raise StoreError(
                    store=str(path), problem=f"it is damaged: {wrong}", remedy="Take an earlier backup."
                )
            step = step_of(connection, str(path))
            if not step:
                raise StoreError(store=str(path), problem="it holds nothing", remedy=_OTHER_FILE)
            return Backup(path, step, rows_of(connection))
    finally:
        engine.dispose()


def restore(told: str, source: Path, *, replace: bool = False) -> Restored:
    """Put a backup in the place of a store; what was there is copied beside it first.

    Parameters
    ----------
    told
        The store, as for `open_store`.
    source
        The backup.
    replace
        Whether a store that holds something may be replaced.

    Raises
    ------
    StoreError
        If the backup is not whole, the store holds something and `replace` was not said, or it
        cannot be written. The store is then as it was.
    """
    given = check(source)
    url = url_of(told)
    if url.get_backend_name() != POSTGRES and Path(str(url.database)).resolve() == source.resolve():
        raise StoreError(store=str(source), problem="it is the store itself", remedy=_OTHER_FILE)
    with TemporaryDirectory() as folder:
        staged = Path(folder) / "staged.db"
        _stage(given, staged)
        return _put_back(told, given, staged, replace=replace)


def _put_back(told: str, given: Backup, staged: Path, *, replace: bool) -> Restored:
    damaged = _moved_aside(told) if replace else None
    store = open_store(told)
    try:
        before = damaged or _copied_aside(store, given, replace=replace)
        _fill(store, staged)
        with told_plainly(store.name), store.engine.connect() as connection:
            found = rows_of(connection)
        if found != check(staged).rows:
            raise StoreError(
                store=store.name, problem="it does not hold what the backup does", remedy="Restore it again."
            )
        return Restored(given, store.name, before)
    finally:
        store.close()


def _fill(store: Store, staged: Path) -> None:
    if store.path is not None:
        store.engine.dispose()
        pages_into(staged, store.path)
        return
    source = engine_of(url_of(str(staged)))
    try:
        with told_plainly(store.name), writing(store.engine.connect()) as target, target.begin():
            rows_into(source, target)
    finally:
        source.dispose()


def _stage(given: Backup, staged: Path) -> None:
    """Copy a backup and let its tables take the steps they lack; the backup stays as it is."""
    make_private(url_of(str(staged)))
    pages_into(given.path, staged)
    engine = engine_of(url_of(str(staged)))
    try:
        with told_plainly(str(staged)), writing(engine.connect()) as connection, connection.begin():
            if given.step != LATEST:
                take_steps(connection)
    finally:
        engine.dispose()


def _copied_aside(store: Store, given: Backup, *, replace: bool) -> Path | None:
    """Copy what a store holds, if anything, before it is replaced."""
    with told_plainly(store.name), store.engine.connect() as connection:
        rows = rows_of(connection)
    if not any(rows.values()):
        return None
    if not replace:
        held = f"what it holds would be replaced (tanks: {rows['tank']}, entries: {rows['entry']})"
        remedy = "Say --replace; what is there is copied to a file first."
        raise StoreError(store=store.name, problem=held, remedy=remedy)
    folder = given.path.parent if store.path is None else store.path.parent
    name = "slackwater.db" if store.path is None else store.path.name
    before = free_name(folder / f"{name}.before-restore")
    copy_store(store.engine, store.name, before)
    return before


def _moved_aside(told: str) -> Path | None:
    """Move a file that can no longer be opened as a store out of the way, and return where to."""
    url = url_of(told)
    path = Path(str(url.database))
    if url.get_backend_name() == POSTGRES or not path.exists() or path.stat().st_size == 0:
        return None
    try:
        check(path)
    except StoreError:
        aside = free_name(path.with_name(f"{path.name}.damaged"))
        for ending in ("", "-wal", "-shm"):
            part = path.with_name(path.name + ending)
            if part.exists():
                part.rename(aside.with_name(aside.name + ending))
        return aside
    return None


def _read_only(path: Path) -> Engine:
    address = f"file:{quote(str(path.absolute()))}?mode=ro"
    return create_engine("sqlite://", creator=lambda: sqlite3.connect(address, uri=True))
