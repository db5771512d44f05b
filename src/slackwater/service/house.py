"""A shop's house notes: where they are found, and what is answered with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from slackwater.settings import HOUSE_FILE, Settings, load_settings
from slackwater.taxa.facts import load_facts, using


def find_house_file(
    told: Path | None = None, beside: Path | None = None, settings: Settings | None = None
) -> Path | None:
    """Return the file of house notes to use, or None.

    Parameters
    ----------
    told
        The file that was asked for; nothing else is looked for then.
    beside
        A tank file, beside which a `house.yaml` may lie.
    settings
        What the surroundings decide; looked up if left out.

    Notes
    -----
    In order: the file asked for, the one that the environment names, `house.yaml` beside the tank
    file, `house.yaml` in the user's folder. The first two must be there, the others may be.
    """
    settings = settings or load_settings()
    if named := told or settings.house_file:
        return named
    folders = (beside.parent if beside else None, settings.folder)
    files = (folder / HOUSE_FILE for folder in folders if folder)
    return next((file for file in files if file.is_file()), None)


@contextmanager
def house_notes(path: Path | None) -> Iterator[None]:
    """Answer with the house notes of a file; with None, with what holds already.

    One context serves one answer: the notes it rests on are gathered as they are read.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    if path is None:
        yield
        return
    from slackwater.service.house_file import load_table

    with using(load_table(path)):
        yield


def notes_behind(animals: Iterable[str]) -> tuple[str, ...]:
    """Return the house notes that an answer about some species rests on, as sentences."""
    return tuple(note.sentence for note in load_facts().notes_behind(animals))
