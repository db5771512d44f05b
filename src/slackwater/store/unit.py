"""The store, opened; and the unit of work: all of one writing holds, or nothing of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine

from slackwater.errors import StoreError
from slackwater.store.copying import copy_store, free_name
from slackwater.store.diaries import Diaries
from slackwater.store.engine import POSTGRES, engine_of, make_private, shown_url, url_of, writing
from slackwater.store.faults import told_plainly
from slackwater.store.links import Links
from slackwater.store.plans import Looks, Plans
from slackwater.store.schema import LATEST, step_of, take_steps
from slackwater.store.tanks import Keepers, Tanks


class Work:
    """What can be read and written within one transaction."""

    def __init__(self, connection: Connection) -> None:
        self.keepers = Keepers(connection)
        self.tanks = Tanks(connection)
        self.diaries = Diaries(connection)
        self.plans = Plans(connection)
        self.looks = Looks(connection)
        self.links = Links(connection)


class Store:
    """A store that is open; made by `open_store`. Threads may share one.

    Parameters
    ----------
    engine
        The way to the database.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.name = shown_url(engine.url)

    @property
    def path(self) -> Path | None:
        """The file of a store that is one, else None."""
        return None if self.engine.dialect.name == POSTGRES else Path(str(self.engine.url.database))

    @contextmanager
    def reading(self) -> Iterator[Work]:
        """Read within one transaction, which sees one state of the store.

        Raises
        ------
        StoreError
            If the store cannot be read.
        """
        with told_plainly(self.name), self.engine.connect() as connection, connection.begin():
            yield Work(connection)

    @contextmanager
    def writing(self) -> Iterator[Work]:
        """Write within one transaction; when this ends without an error all of it is on the disk.

        Raises
        ------
        StoreError
            If the store cannot be written; nothing of the writing is kept then.
        """
        with told_plainly(self.name), writing(self.engine.connect()) as connection, connection.begin():
            yield Work(connection)

    def overwrite_traces(self) -> None:
        """Overwrite what was deleted, in the file, its log and its free room.

        Raises
        ------
        StoreError
            If someone else reads or writes all the while.
        """
        with told_plainly(self.name):
            if self.path is not None:
                self._overwrite_file()
                return
            apart = self.engine.execution_options(isolation_level="AUTOCOMMIT")
            with apart.connect() as connection:
                connection.exec_driver_sql("VACUUM FULL")

    def _overwrite_file(self) -> None:
        with closing(self.engine.raw_connection()) as raw:
            cursor = raw.cursor()
            cursor.execute("PRAGMA temp_store = memory")
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(truncate)")
            answer = cursor.fetchone()
        if answer is None or answer[0]:
            raise StoreError(
                store=self.name,
                problem="it is deleted, but someone else reads and its traces are still in the log",
                remedy="Close the program elsewhere, and run this again.",
            )

    def close(self) -> None:
        """Close what is open."""
        self.engine.dispose()


def open_store(told: str, copies: Path | None = None) -> Store:
    """Open a store, make it where there is none, and take the steps that its tables lack.

    Parameters
    ----------
    told
        The path of a file, or the URL of a PostgreSQL database.
    copies
        The folder for the copy that is made before tables are changed; for a file its own folder.

    Raises
    ------
    StoreError
        If it cannot be opened, is no store of this program, or was written by a later release.
    """
    url = url_of(told)
    if url.get_backend_name() != POSTGRES:
        make_private(url)
    store = Store(engine_of(url))
    try:
        _bring_up(store, copies)
    except BaseException:
        store.close()
        raise
    return store


def _bring_up(store: Store, copies: Path | None) -> None:
    with told_plainly(store.name):
        with store.engine.connect() as connection:
            step = step_of(connection, store.name)
        if step == LATEST:
            return
        if step:
            copy_store(store.engine, store.name, _copy_name(store, step, copies))
        with writing(store.engine.connect()) as connection, connection.begin():
            take_steps(connection)


def _copy_name(store: Store, step: str, copies: Path | None) -> Path:
    name = "slackwater.db" if store.path is None else store.path.name
    folder = copies or (Path.cwd() if store.path is None else store.path.parent)
    return free_name(folder / f"{name}.step-{step}")
