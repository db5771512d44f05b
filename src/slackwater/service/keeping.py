"""The store, as every other service function is handed it, and what kept answers rest on.

A command opens the store for one piece of work (`kept`); the web pages open it once
(`open_kept`) and hand the same one to every function.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from importlib import resources
from pathlib import Path

from slackwater import __version__
from slackwater.settings import Settings, load_settings
from slackwater.store import RestsOn, Store, open_store

_FACTS = (
    "facts.csv",
    "traits.csv",
    "names.csv",
    "relatedness.csv",
    "colour_likeness.csv",
    "foods.csv",
    "water.csv",
)
_MARK_LENGTH = 12


def open_kept(settings: Settings | None = None) -> Store:
    """Open the store that the surroundings name; who opens it closes it.

    Parameters
    ----------
    settings
        What the surroundings decide; looked up if left out.

    Raises
    ------
    StoreError
        If it cannot be opened.
    """
    settings = settings or load_settings()
    return open_store(settings.store, copies=_copies(settings))


@contextmanager
def kept(settings: Settings | None = None) -> Iterator[Store]:
    """Open the store for one piece of work.

    Raises
    ------
    StoreError
        If it cannot be opened.
    """
    store = open_kept(settings)
    try:
        yield store
    finally:
        store.close()


def rests_on(house_notes: Iterable[str] = ()) -> RestsOn:
    """Return the marks of what an answer given now rests on.

    Parameters
    ----------
    house_notes
        The house notes behind it, as sentences.
    """
    return RestsOn(__version__, _mark(*_FACTS), _mark("rules.csv"), tuple(house_notes))


@cache
def _mark(*tables: str) -> str:
    """Return a mark that changes whenever one of some tables does."""
    found = hashlib.sha256()
    for name in tables:
        table = resources.files("slackwater.data").joinpath(name)
        if table.is_file():
            found.update(name.encode() + b"\0" + table.read_bytes())
    return found.hexdigest()[:_MARK_LENGTH]


def _copies(settings: Settings) -> Path | None:
    """Return where copies of a server's database go before its tables change."""
    return settings.folder if "://" in settings.store else None
