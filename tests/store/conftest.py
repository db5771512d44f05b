"""One suite over both databases: SQLite always, PostgreSQL where SLACKWATER_TEST_POSTGRES names one."""

from __future__ import annotations

import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from slackwater.store import Store, open_store

SERVER = os.environ.get("SLACKWATER_TEST_POSTGRES", "")
DATABASES = ["sqlite", pytest.param("postgres", marks=pytest.mark.skipif(not SERVER, reason="no server"))]


@contextmanager
def empty_database() -> Iterator[str]:
    """Make a database on the server, and take it away afterwards."""
    from sqlalchemy import create_engine

    name = f"test_{uuid.uuid4().hex}"
    address = SERVER.replace("postgresql://", "postgresql+psycopg://")
    engine = create_engine(address, isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            connection.exec_driver_sql(f"CREATE DATABASE {name}")
        yield f"{SERVER.rsplit('/', maxsplit=1)[0]}/{name}"
        with engine.connect() as connection:
            connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")
    finally:
        engine.dispose()


@pytest.fixture(params=DATABASES)
def told(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Return where a store may be made."""
    if request.param == "sqlite":
        yield str(tmp_path / "kept" / "slackwater.db")
        return
    with empty_database() as address:
        yield address


@pytest.fixture
def store(told: str) -> Iterator[Store]:
    """Return an open store with nothing in it."""
    opened = open_store(told)
    yield opened
    opened.close()
