"""Which steps the tables of a store have taken, and taking those that are missing."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, inspect, text

from slackwater.errors import StoreError
from slackwater.store.engine import POSTGRES

STEPS = ("0001", "0002", "0003")
LATEST = STEPS[-1]
_LOCK = 7_348_211  # any number that all releases agree on
_MARK = "alembic_version"


def step_of(connection: Connection, store: str) -> str:
    """Return the last step that the tables of a store have taken; empty for a store without tables.

    Raises
    ------
    StoreError
        If the tables are not those of this program, or of a later release of it.
    """
    tables = set(inspect(connection).get_table_names())
    if not tables:
        return ""
    if _MARK not in tables:
        problem = "it holds tables of another program"
        raise StoreError(store=store, problem=problem, remedy="Name another store in SLACKWATER_STORE.")
    step = str(connection.execute(text(f"SELECT version_num FROM {_MARK}")).scalar() or "")  # noqa: S608 - a constant
    if step and step not in STEPS:
        raise StoreError(
            store=store,
            problem=f"its tables are of step {shown_step(step)}, and this program knows {LATEST}",
            remedy="Install the release that wrote it, or restore an earlier backup.",
        )
    return step


def shown_step(step: str) -> str:
    """Return a step as it may stand in a sentence."""
    return "".join(c for c in step if c.isalnum())[:20] or "?"


def take_steps(connection: Connection, until: str = LATEST) -> None:
    """Take the steps that are missing, inside the transaction of a connection.

    Parameters
    ----------
    connection
        A connection whose transaction has begun; all steps hold when it is committed, or none.
    until
        The last step to take.
    """
    from alembic import command
    from alembic.config import Config

    if connection.dialect.name == POSTGRES:
        connection.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    command.upgrade(config, until)
