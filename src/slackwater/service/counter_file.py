"""From what was told at the counter to a tank file, so that a plan begins without retyping."""

from __future__ import annotations

import datetime as dt

import yaml

from slackwater.service.animals import meant
from slackwater.service.counter import Told
from slackwater.service.spoken import Spoken, told_of
from slackwater.taxa.names import Meaning


def tank_file_of(spoken: Spoken, today: dt.date) -> str:
    """Return what was told at the counter as the text of a tank file.

    Parameters
    ----------
    spoken
        The facts, in the words of whoever typed them.
    today
        The day from which "since" is counted.

    Raises
    ------
    InputError, InputErrors, UnknownTaxonError
        If a fact cannot be, or a name is unclear.
    """
    told = told_of(spoken)
    parts: dict[str, object] = {
        "slackwater": 1,
        "tank": _tank(told),
        "rock": told.rock,
        "keeping": {"feeds_per_day": told.feeds_per_day} if told.feeds_per_day else None,
        "company": [_resident(meant(line, "a resident"), told, today) for line in told.residents],
        "wishes": [_animal(meant(said.words, "the newcomer")) for said in spoken.newcomers],
    }
    kept = {name: part for name, part in parts.items() if part}
    return yaml.safe_dump(kept, sort_keys=False, allow_unicode=True, width=100)


def _tank(told: Told) -> dict[str, object]:
    sizes = {
        "length": f"{told.length_cm:.5g} cm" if told.length_cm else None,
        "volume": f"{told.volume_l:.5g} L" if told.volume_l else None,
        "lid": told.lid,
    }
    return {name: size for name, size in sizes.items() if size is not None}


def _animal(meaning: Meaning) -> dict[str, object]:
    row: dict[str, object] = {"animal": meaning.name}
    if meaning.sex and meaning.sex != "unknown":
        row["sex"] = meaning.sex
    if meaning.count and meaning.sex != "pair":
        row["count"] = meaning.count
    if meaning.length_cm:
        row["length"] = f"{meaning.length_cm:.4g} cm"
    return row


def _resident(meaning: Meaning, told: Told, today: dt.date) -> dict[str, object]:
    row = _animal(meaning)
    if told.since_days is not None:
        row["since"] = (today - dt.timedelta(days=round(told.since_days))).isoformat()
    return row
