"""The way to a database: a file of SQLite, or PostgreSQL by a URL.

SQLite: a write-ahead log, foreign keys, every commit on the disk before it is confirmed, what is
deleted overwritten, and one writer at a time, who waits for the one before.
"""

from __future__ import annotations

import os
import sqlite3
import time
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection, DBAPICursor
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import ConnectionPoolEntry

from slackwater.errors import StoreError

BUSY_MS = 10_000
_AGAIN_S = 0.02
POSTGRES = "postgresql"
_WRITES = "slackwater_writes"
_PRAGMAS = (
    f"busy_timeout = {BUSY_MS}",
    "journal_mode = wal",
    "synchronous = full",
    "foreign_keys = on",
    "secure_delete = on",
)


def url_of(told: str) -> URL:
    """Return the URL of a store: that of a server as it is, that of a file by its path.

    Raises
    ------
    StoreError
        If it is the URL of a database that is not known here.
    """
    if "://" not in told:
        return URL.create("sqlite", database=str(Path(told).expanduser().absolute()))
    try:
        url = make_url(told)
    except (ArgumentError, ValueError) as fault:
        raise _unknown(told.split("://", maxsplit=1)[0]) from fault
    if url.get_backend_name() == POSTGRES:
        return url.set(drivername="postgresql+psycopg")
    if url.get_backend_name() == "sqlite" and url.database:
        return url
    raise _unknown(url.get_backend_name())


def shown_url(url: URL) -> str:
    """Return a store as a person knows it: a path, or a URL without its password."""
    if url.get_backend_name() == "sqlite":
        return str(url.database)
    return url.render_as_string(hide_password=True)


def engine_of(url: URL) -> Engine:
    """Return the engine for a store; nothing is opened yet.

    Raises
    ------
    StoreError
        If PostgreSQL is asked for and its driver is not installed.
    """
    if url.get_backend_name() == POSTGRES:
        return _postgres(url)
    engine = create_engine(url, connect_args={"timeout": BUSY_MS / 1000.0})
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def writing(connection: Connection) -> Connection:
    """Mark a connection so that its next transaction takes the place of the one writer at once."""
    return connection.execution_options(**{_WRITES: True})


def make_private(url: URL) -> None:
    """Make the folder and the file of a store, readable by their owner alone.

    Raises
    ------
    StoreError
        If that cannot be done.
    """
    path = Path(str(url.database))
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    except OSError as fault:
        problem = f"it cannot be made: {(fault.strerror or 'unknown').lower()}"
        remedy = "Check the folder, its room and its rights, or name another in SLACKWATER_STORE."
        raise StoreError(store=str(path), problem=problem, remedy=remedy) from fault


def _postgres(url: URL) -> Engine:
    try:
        return create_engine(
            url,
            pool_pre_ping=True,
            connect_args={"options": f"-c lock_timeout={BUSY_MS} -c timezone=UTC", "connect_timeout": 10},
        )
    except ImportError as fault:
        raise StoreError(
            store=shown_url(url),
            problem="the part that speaks to PostgreSQL is not installed",
            remedy="Install it: pip install 'slackwater[postgres]'.",
        ) from fault


def _on_connect(raw: DBAPIConnection, _: ConnectionPoolEntry) -> None:
    """Set SQLite up; transactions are begun by `_on_begin`, never by the driver."""
    raw.isolation_level = None
    cursor = raw.cursor()
    for pragma in _PRAGMAS:
        _patiently(cursor, f"PRAGMA {pragma}")
    cursor.close()


def _patiently(cursor: DBAPICursor, command: str) -> None:
    """Run a command, waiting for whoever is in the way.

    SQLite does not wait by itself where a file is to get its write-ahead log, whatever `busy_timeout` says.
    """
    until = time.monotonic() + BUSY_MS / 1000.0
    while True:
        try:
            cursor.execute(command)
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(_AGAIN_S)
        else:
            return


def _on_begin(connection: Connection) -> None:
    immediate = connection.get_execution_options().get(_WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if immediate else "BEGIN")


def _unknown(kind: str) -> StoreError:
    return StoreError(
        store=f"a database of kind {kind}",
        problem="only SQLite and PostgreSQL are known here",
        remedy="Name the path of a file, or postgresql://user@host/database.",
    )
