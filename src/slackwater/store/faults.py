"""From what a database complains of to a sentence that says what to do next."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from slackwater.errors import StoreError

_NOTHING_LOST = "What was confirmed before is kept, and nothing of this writing is."
_TOLD: tuple[tuple[str, str, str], ...] = (
    ("is full", "the disk is full", f"{_NOTHING_LOST} Make room and do it again."),
    ("no space left", "the disk is full", f"{_NOTHING_LOST} Make room and do it again."),
    ("could not extend", "the disk is full", f"{_NOTHING_LOST} Make room and do it again."),
    ("disk i/o", "it cannot be read or written", f"{_NOTHING_LOST} Check the disk and its room."),
    ("readonly", "it may not be written", "Check the rights of the file and its folder."),
    ("read-only", "it may not be written", "Check the rights of the file and its folder."),
    ("permission denied", "it may not be written", "Check the rights of this user."),
    ("unable to open", "it cannot be opened", "Check the folder, its room and its rights."),
    ("locked", "someone else has been writing for too long", f"{_NOTHING_LOST} Do it again in a moment."),
    ("lock timeout", "someone else has been writing for too long", f"{_NOTHING_LOST} Do it again."),
    ("not a database", "it is no store of this program", "Name another file in SLACKWATER_STORE."),
    ("malformed", "it is damaged", "Restore the last backup: slackwater restore FILE."),
    ("password", "the server refuses this user", "Check user and password in SLACKWATER_STORE."),
    ("does not exist", "the server has no such database or user", "Check SLACKWATER_STORE."),
    ("connection", "the server cannot be reached", f"{_NOTHING_LOST} Check that it runs, and its address."),
)


@contextmanager
def told_plainly(store: str) -> Iterator[None]:
    """Turn what a database complains of into a `StoreError`.

    Parameters
    ----------
    store
        The store, as a person knows it.
    """
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as fault:
        raise plainly(fault, store) from fault


def plainly(fault: Exception, store: str) -> StoreError:
    """Return the sentence for one complaint."""
    cause = fault.orig if isinstance(fault, DBAPIError) and fault.orig else fault
    said = " ".join(str(cause).split())
    for sign, problem, remedy in _TOLD:
        if sign in said.lower():
            return StoreError(store=store, problem=problem, remedy=remedy)
    remedy = f"{_NOTHING_LOST} Check the store, and make a backup before anything else."
    return StoreError(store=store, problem=f"the database says: {said[:200]}", remedy=remedy)
