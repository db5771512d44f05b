"""Overrule and keep: a shop's word on one fact, added to its file of house notes."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from slackwater.errors import InputError
from slackwater.service.house_file import load_table
from slackwater.service.plain_data import parse, read_text

_FACTS = re.compile(r"^facts:[ \t]*(#.*)?\n", re.MULTILINE)
_ITEM = re.compile(r"^([ \t]*)-", re.MULTILINE)
_FIRST = "# House notes: what this shop knows better, with who and why.\nslackwater: 1\n"


@dataclass(frozen=True)
class Overruled:
    """A fact as the shop has it: of which taxon, which trait, which value, who says so, and why."""

    taxon: str
    trait: str
    value: str
    who: str
    why: str


def overrule(path: Path, said: Overruled, today: dt.date) -> None:
    """Add a fact to a file of house notes, which is made where there is none.

    What stands in the file, comments too, stays as it is. The new file is read as a whole before it
    takes the place of the old one, so that no fault comes into it.

    Parameters
    ----------
    path
        The file.
    said
        The fact, with who and why.
    today
        The day of the note.

    Raises
    ------
    InputError, InputErrors
        If the fact cannot be, or the file cannot be used or written.
    """
    entry = {name: value.strip() for name, value in vars(said).items()} | {"on": today.isoformat()}
    before = read_text(path) if path.is_file() else _FIRST
    beside = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(_with(before, entry), encoding="utf-8")
        load_table(beside)
        beside.replace(path)
    except OSError as problem:
        remedy = "Name another file with --house or SLACKWATER_HOUSE."
        told = f"the system says: {problem.strerror}"
        raise InputError(field="the house notes", given=str(path), limit=told, remedy=remedy) from None
    finally:
        beside.unlink(missing_ok=True)


def _with(text: str, entry: Mapping[str, str]) -> str:
    """Return a file with one more fact: by a line of its own where that reads right, else written anew."""
    old = parse(text, "the house notes")
    content = dict(old) if isinstance(old, Mapping) else {}
    wanted = {**content, "facts": [*(content.get("facts") or []), dict(entry)]}
    line = yaml.safe_dump(
        dict(entry), default_flow_style=True, sort_keys=False, allow_unicode=True, width=1000
    )
    for tried in _lines(text, line.strip()):
        if _same(tried, wanted):
            return tried
    return yaml.safe_dump(wanted, sort_keys=False, allow_unicode=True, width=100)


def _lines(text: str, line: str) -> list[str]:
    """Return the text with the line at the end of its facts, or with a block of facts at its end."""
    found = _FACTS.search(text)
    if found is None:
        return [f"{text.rstrip()}\nfacts:\n  - {line}\n"]
    rest = text[found.end() :]
    first = _ITEM.search(rest)
    indent = first[1] if first else "  "
    return [f"{text[: found.end()]}{indent}- {line}\n{rest}"]


def _same(text: str, wanted: Mapping[str, object]) -> bool:
    try:
        read = parse(text, "the house notes")
    except InputError:
        return False
    if not isinstance(read, Mapping):
        return False
    facts = read.get("facts")
    rotated = [*facts[1:], facts[0]] if isinstance(facts, list) and facts else []
    alike = {**read, "facts": None} == {**wanted, "facts": None}
    return alike and wanted["facts"] in (facts, rotated)
