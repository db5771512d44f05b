"""Backups of all that is kept, and putting one back."""

from __future__ import annotations

from pathlib import Path

from slackwater.service.keeping import kept
from slackwater.settings import Settings, load_settings
from slackwater.store import Backup, Restored, backup, restore


def back_up(target: Path, *, replace: bool = False, settings: Settings | None = None) -> Backup:
    """Write a backup of the store into a file, while others go on writing, and check it.

    Parameters
    ----------
    target
        The file.
    replace
        Whether a file of that name may be replaced.
    settings
        What the surroundings decide; looked up if left out.

    Raises
    ------
    StoreError
        If there is such a file already, or the backup cannot be made or is not whole.
    """
    with kept(settings) as store:
        return backup(store, target, replace=replace)


def put_back(source: Path, *, replace: bool = False, settings: Settings | None = None) -> Restored:
    """Put a backup in the place of the store; what was there is copied first.

    Parameters
    ----------
    source
        The backup.
    replace
        Whether a store that holds something may be replaced.
    settings
        What the surroundings decide; looked up if left out.

    Raises
    ------
    StoreError
        If the backup is not whole, or the store holds something and `replace` was not said.
    """
    settings = settings or load_settings()
    return restore(settings.store, source, replace=replace)
