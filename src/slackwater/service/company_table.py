"""The company of a tank file as rows to write in, and back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

import yaml

from slackwater.service.tankfile import load
from slackwater.service.tankfile_copy import plain_copy

LIVES, WANTED = "lives there", "wanted"
"""The two words of a row's place."""

NOT_TOLD = "not told"
"""What a choice of nothing says."""

_SECTIONS = {LIVES: "company", WANTED: "wishes"}
_OWN = {LIVES: ("since",), WANTED: ("wish", "price")}


@dataclass(frozen=True)
class CompanyRow:
    """One row: where it belongs, and each fact in the words of whoever typed it, empty if not told."""

    place: str = LIVES
    animal: str = ""
    count: str = ""
    sex: str = ""
    length: str = ""
    since: str = ""
    wish: str = ""
    price: str = ""


COLUMNS = tuple(field.name for field in fields(CompanyRow))
"""The columns, in order."""


def company_rows(text: str) -> tuple[CompanyRow, ...]:
    """Return the company and the wishes of a tank file, in their order.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used.
    """
    content = _content(text)
    return tuple(
        CompanyRow(place, **{name: str(entry[name]) for name in COLUMNS[1:] if name in entry})
        for place, section in _SECTIONS.items()
        for entry in _entries(content, section)
    )


def with_company(text: str, rows: Sequence[CompanyRow]) -> str:
    """Return a tank file with another company, all else as it was.

    Parameters
    ----------
    text
        The tank file; what a row cannot show (counted chases and the like) stays with its animal.
    rows
        The company; rows without a name are left out.

    Raises
    ------
    InputError, InputErrors
        If the file it was cannot be used; what was typed is looked at when the new one is read.
    """
    content = _content(text)
    for place, section in _SECTIONS.items():
        old = _entries(content, section)
        content[section] = [_entry(row, old) for row in rows if row.place == place and row.animal.strip()]
        if not content[section]:
            del content[section]
    return yaml.safe_dump(content, sort_keys=False, allow_unicode=True, width=100)


def _content(text: str) -> dict[str, object]:
    return plain_copy(load(f"{text}\n", nobody_ok=True))


def _entries(content: Mapping[str, object], section: str) -> list[dict[str, object]]:
    found = content.get(section, [])
    listed = found if isinstance(found, list) else []
    return [dict(entry) for entry in listed]


def _entry(row: CompanyRow, old: list[dict[str, object]]) -> dict[str, object]:
    """Return a row as an entry, with what the animal of that name had besides."""
    mine = next((entry for entry in old if entry.get("animal") == row.animal.strip()), None)
    if mine is not None:
        old.remove(mine)
    shown = ("animal", "count", "sex", "length", *_OWN[row.place])
    hidden = {key: value for key, value in (mine or {}).items() if key not in COLUMNS}
    told = {name: getattr(row, name).strip() for name in shown}
    return {name: value for name, value in told.items() if value and value != NOT_TOLD} | hidden
