"""Copies of a whole store. A copy is always one file of SQLite, whatever it was taken from.

Rows are copied by the tables as they are found, so that a store of an earlier step is copied as
it is, before anything in it is changed.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from itertools import count
from pathlib import Path

from sqlalchemy import Connection, Engine, Integer, MetaData, Table, func, insert, select, text

from slackwater.errors import StoreError
from slackwater.store.engine import POSTGRES, engine_of, make_private, url_of, writing
from slackwater.store.faults import told_plainly
from slackwater.store.schema import step_of, take_steps

_ROWS_AT_ONCE = 2_000
_PAGES_AT_ONCE = 4_096


def copy_store(source: Engine, store: str, target: Path) -> None:
    """Write a copy of a store into a new file, while others go on reading and writing.

    Parameters
    ----------
    source, store
        The store, and what to call it.
    target
        The file; it appears only once the copy is whole and on the disk.

    Raises
    ------
    StoreError
        If the store cannot be read, or the file not be written.
    """
    partial = target.with_name(f"{target.name}.partial")
    try:
        partial.unlink(missing_ok=True)
    except OSError as fault:
        raise _failed(target, fault) from fault
    make_private(url_of(str(partial)))
    try:
        if source.dialect.name == POSTGRES:
            _copy_rows_to_file(source, store, partial)
        else:
            _copy_pages(Path(str(source.url.database)), partial)
        _settle(partial, target)
    finally:
        for leftover in (partial, *_companions(partial)):
            leftover.unlink(missing_ok=True)


def pages_into(source: Path, target: Path) -> None:
    """Put the contents of one file of SQLite in the place of those of another, all or nothing."""
    try:
        with closing(_opened(source)) as given, closing(_opened(target)) as taken:
            given.backup(taken)
    except sqlite3.Error as fault:
        raise _failed(target, fault) from fault


def rows_into(source: Engine, target: Connection) -> None:
    """Put the rows of a store in the place of those of another, inside the other's transaction."""
    found = MetaData()
    found.reflect(target)
    mine = [table for table in found.sorted_tables if table.name != "alembic_version"]
    for table in reversed(mine):
        target.execute(table.delete())
    with _snapshot(source) as given:
        theirs = MetaData()
        theirs.reflect(given)
        for table in mine:
            _copy_table(given, theirs.tables[table.name], target, table)
    if target.dialect.name == POSTGRES:
        _count_on(target, mine)


def free_name(wanted: Path) -> Path:
    """Return a name that no file has yet, counted up from the wanted one."""
    numbered = (wanted.with_name(f"{wanted.name}-{n}") for n in count(2))
    return wanted if not wanted.exists() else next(path for path in numbered if not path.exists())


def _copy_pages(source: Path, partial: Path) -> None:
    try:
        with closing(_opened(source)) as given, closing(_opened(partial)) as taken:
            given.backup(taken, pages=_PAGES_AT_ONCE)
            taken.execute("PRAGMA journal_mode = delete")
    except sqlite3.Error as fault:
        raise _failed(partial, fault) from fault


def _opened(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, timeout=10.0, isolation_level=None)


def _copy_rows_to_file(source: Engine, store: str, partial: Path) -> None:
    target = engine_of(url_of(str(partial)))
    try:
        with told_plainly(str(partial)), writing(target.connect()) as taken, taken.begin():
            with source.connect() as given:
                step = step_of(given, store)
            take_steps(taken, step)
            rows_into(source, taken)
        with told_plainly(str(partial)), target.connect() as taken:
            taken.exec_driver_sql("PRAGMA wal_checkpoint(truncate)")
    finally:
        target.dispose()


def _snapshot(source: Engine) -> Connection:
    """Return a connection that sees one state of a store, whoever writes meanwhile."""
    connection = source.connect()
    if source.dialect.name == POSTGRES:
        return connection.execution_options(isolation_level="REPEATABLE READ")
    return connection


def _copy_table(given: Connection, theirs: Table, target: Connection, mine: Table) -> None:
    ordered = select(theirs).order_by(*theirs.primary_key.columns)
    for rows in given.execution_options(yield_per=_ROWS_AT_ONCE).execute(ordered).mappings().partitions():
        target.execute(insert(mine), [dict(row) for row in rows])


def _count_on(target: Connection, tables: list[Table]) -> None:
    """Let the counters of PostgreSQL go on after the rows that were put in."""
    for table in tables:
        column = table.primary_key.columns.get("id")
        if column is not None and isinstance(column.type, Integer):
            highest = target.execute(select(func.max(column))).scalar()
            counter = func.pg_get_serial_sequence(table.name, "id")
            target.execute(select(func.setval(counter, highest or 1, highest is not None)))


def _settle(partial: Path, target: Path) -> None:
    """Bring a finished copy onto the disk, and only then under its name."""
    try:
        with partial.open("rb") as file:
            os.fsync(file.fileno())
        partial.replace(target)
        if os.name == "posix":
            _sync_folder(target.parent)
    except OSError as fault:
        raise _failed(target, fault) from fault


def _sync_folder(path: Path) -> None:
    folder = os.open(path, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def _companions(path: Path) -> tuple[Path, ...]:
    return tuple(path.with_name(path.name + ending) for ending in ("-wal", "-shm", "-journal"))


def _failed(path: Path, fault: Exception) -> StoreError:
    told = fault.strerror if isinstance(fault, OSError) else str(fault)
    remedy = "Check the folder, its room and its rights. The store itself is as it was."
    return StoreError(store=str(path), problem=f"the copy failed: {told}", remedy=remedy)


def rows_of(connection: Connection) -> dict[str, int]:
    """Return how many rows each table of a store holds."""
    found = MetaData()
    found.reflect(connection)
    counted = {
        t.name: connection.execute(select(func.count()).select_from(t)).scalar() for t in found.sorted_tables
    }
    return {name: int(rows or 0) for name, rows in counted.items() if name != "alembic_version"}


def is_whole(connection: Connection) -> str:
    """Return what SQLite finds wrong with a file, or nothing."""
    found = connection.execute(text("PRAGMA integrity_check(1)")).scalar()
    if found != "ok":
        return str(found)
    orphan = connection.execute(text("PRAGMA foreign_key_check")).first()
    return "" if orphan is None else f"a row of {orphan[0]} belongs to nothing"
