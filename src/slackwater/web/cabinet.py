"""The store as the pages see it: opened at the first use, closed with the server, signed by who serves."""

from __future__ import annotations

import datetime as dt
from threading import Lock

from slackwater.service.keeping import open_kept
from slackwater.service.tanks import By
from slackwater.settings import Settings, load_settings
from slackwater.store import Store


class Cabinet:
    """Holds the one store of a server.

    Parameters
    ----------
    settings
        What the surroundings decide; looked up when the store is first needed, if left out.
    """

    def __init__(self, settings: Settings | None = None) -> None:
        self._settings = settings
        self._store: Store | None = None
        self._lock = Lock()

    @property
    def settings(self) -> Settings:
        """What the surroundings decide.

        Raises
        ------
        InputError
            If the file of settings cannot be used.
        """
        if self._settings is None:
            self._settings = load_settings()
        return self._settings

    @property
    def store(self) -> Store:
        """The store.

        Raises
        ------
        StoreError
            If it cannot be opened.
        """
        with self._lock:
            if self._store is None:
                self._store = open_kept(self.settings)
            return self._store

    def by(self, why: str = "") -> By:
        """Return who writes now: whoever serves the pages, as there are no accounts yet."""
        return By(self.settings.who, dt.datetime.now(dt.UTC), why)

    def close(self) -> None:
        """Let the store go."""
        with self._lock:
            if self._store is not None:
                self._store.close()
                self._store = None
