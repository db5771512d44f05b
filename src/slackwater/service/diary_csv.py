"""A diary as a table, out and in again: a row for each entry, and one for each pair of a tally.

The columns are the fields of the records. A cell of text that a spreadsheet would take for a
formula goes out with an apostrophe before it, and comes in without.
"""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, TextIO, get_args, get_type_hints

from slackwater.errors import InputError, InputErrors, shown
from slackwater.service.diary import Saved, add, standing_entries
from slackwater.service.diary_checks import Draft, faults_of_drafts
from slackwater.service.moments import placed
from slackwater.service.plain_data import read_text
from slackwater.service.tanks import By, find_tank
from slackwater.society.diary import KINDS, Chases, Entry, Photograph, RemedyEnded, Seen, TakenBack, Watch
from slackwater.store import Store

LARGEST_BYTES = 100_000_000
MOST_ROWS = 500_000
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_ENTRY = ("entry", "at", "by", "kind")
_NEEDED = ("at", "kind")
_CLOSING = ("note", "photographs")
_CHASE = tuple(field.name for field in dataclasses.fields(Chases))
_SEEN = tuple(
    dict.fromkeys(
        name
        for record in KINDS.values()
        for field in dataclasses.fields(record)
        for name in (_CHASE if field.name == "chases" else (field.name,))
    )
)
COLUMNS = (*_ENTRY, *_SEEN, *_CLOSING)

Row = Mapping[str, str]


@dataclass(frozen=True)
class Imported:
    """What became of a file: entries written, rows that were there already, and rows left out."""

    saved: Saved
    already: int
    left_out: tuple[str, ...] = ()


def write_csv(store: Store, said: str, out: TextIO, zone: dt.tzinfo | None = None) -> int:
    """Write what holds of a tank's diary as CSV, oldest first, and return the number of entries.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    out
        Where to write, opened without translation of line ends.
    zone
        The zone to write times in; UTC if left out.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    entries = standing_entries(store, said)
    write_entries(entries, out, zone)
    return len(entries)


def write_csv_file(store: Store, said: str, path: Path) -> int:
    """Write what holds of a tank's diary into a new CSV file and return the number of entries.

    Raises
    ------
    InputError
        If no tank goes by the name, or the file is there already.
    """
    out = io.StringIO()
    count = write_csv(store, said, out)
    try:
        with path.open("x", encoding="utf-8", newline="") as file:
            file.write(out.getvalue())
    except FileExistsError as fault:
        raise _fault("the file", str(path), "it is there already", "Name another.") from fault
    return count


def write_entries(entries: Iterable[Entry], out: TextIO, zone: dt.tzinfo | None = None) -> None:
    """Write entries as CSV; see :func:`write_csv`."""
    writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    for entry in entries:
        for row in _rows(entry, zone or dt.UTC):
            writer.writerow({name: safe_cell(cell) for name, cell in row.items()})


def read_csv(store: Store, said: str, path: Path, by: By, *, good_rows: bool = False) -> Imported:
    """Write the entries of a CSV file into a tank's diary; those that are there already are passed over.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    path
        The file; `at` and `kind` are needed, other columns where the kind has them. Rows of one
        tally share their `entry`, or else their time and minutes.
    by
        Who writes, and when; a `by` in a row stands in the entry's note.
    good_rows
        Whether to write the good rows of a file that has broken ones.

    Raises
    ------
    InputError
        If the file cannot be read, or has no such columns.
    InputErrors
        If rows are broken and `good_rows` was not said: all of them, each by its line. Nothing is
        written then.
    """
    faults: list[InputError] = []
    read = _drafts(read_text(path, LARGEST_BYTES), path.name, faults)
    there = {(entry.at, _likeness(entry.seen), entry.note) for entry in standing_entries(store, said)}
    fresh = [o for o in read if (o.draft.at, _likeness(o.draft.seen), o.draft.note) not in there]
    sound = _sound(store, said, fresh, by, faults)
    faults.sort(key=_line_of)
    if faults and not good_rows:
        raise InputErrors(source=path.name, faults=faults)
    saved = add(store, said, _linked(sound), by) if sound else Saved(())
    return Imported(saved, len(read) - len(fresh), tuple(str(fault) for fault in faults))


def read_entries(path: Path) -> tuple[Entry, ...]:
    """Return the entries of a CSV file as they stand, oldest first, without writing them anywhere.

    Parameters
    ----------
    path
        The file, as for :func:`read_csv`.

    Raises
    ------
    InputError
        If the file cannot be read, or has no such columns.
    InputErrors
        If rows are broken: all of them, each by its line.
    """
    faults: list[InputError] = []
    read = _drafts(read_text(path, LARGEST_BYTES), path.name, faults)
    if faults:
        raise InputErrors(source=path.name, faults=faults)
    drafts = _linked(read)
    found = [
        Entry(number, one.at, _in_place(one.seen), note=one.note, photographs=one.photographs)
        for number, one in enumerate(drafts, start=1)
        if one.at is not None
    ]
    return tuple(sorted(found, key=lambda entry: (entry.at, entry.number)))


def _in_place(seen: Seen) -> Seen:
    """Return the end of a remedy with the place of its beginning in the file as a number."""
    if isinstance(seen, RemedyEnded) and seen.begun < 0:
        return replace(seen, begun=-seen.begun)
    return seen


@dataclass(frozen=True)
class _Read:
    """A draft, the line that it began on, and the number that its entry had where it came from."""

    line: int
    entry: str
    draft: Draft


def safe_cell(cell: object) -> object:
    """Return a cell that no spreadsheet takes for a formula; numbers stay as they are."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_FORMULA) else cell


def _plain_cell(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA) else cell


def _rows(entry: Entry, zone: dt.tzinfo) -> Iterator[dict[str, object]]:
    seen = entry.seen
    head: dict[str, object] = {
        "entry": entry.number,
        "at": entry.at.astimezone(zone).isoformat(),
        "by": entry.by,
        "kind": seen.kind,
    }
    tail = {"note": entry.note, "photographs": "; ".join(f"{p.sha256} {p.path}" for p in entry.photographs)}
    if isinstance(seen, Watch) and seen.chases:
        for one in seen.chases:
            yield head | {"watched_min": _cell(seen.watched_min)} | _cells(one) | tail
        return
    yield head | _cells(seen) | tail


def _cells(record: Seen | Chases) -> dict[str, object]:
    told = {field.name: getattr(record, field.name) for field in dataclasses.fields(record)}
    return {name: _cell(value) for name, value in told.items() if name in COLUMNS}


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(value)
    return value.value if isinstance(value, StrEnum) else "" if value is None else value


def _drafts(text: str, name: str, faults: list[InputError]) -> list[_Read]:
    """Return the drafts of a file; faults of its rows are gathered."""
    try:
        lines = list(_lines(text, name))
    except csv.Error as fault:
        raise _fault(name, "not a table", str(fault), "Save it as CSV.") from fault
    found: list[_Read] = []
    for first, rows in _tallies(lines):
        try:
            found.append(_Read(first, rows[0].get("entry", ""), _draft(rows)))
        except (InputError, ValueError, TypeError, OverflowError) as fault:
            faults.append(_at_line(first, fault))
    return found


def _lines(text: str, name: str) -> Iterator[tuple[int, Row]]:
    sample = text[:4096].split("\n", 1)[0]
    mark = ";" if sample.count(";") > sample.count(",") else ","
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=mark)
    heads = [(head or "").strip() for head in reader.fieldnames or ()]
    _refuse_heads(heads, name)
    reader.fieldnames = heads
    for row in reader:
        if reader.line_num > MOST_ROWS:
            raise _fault(name, "too long", f"{MOST_ROWS} lines are the most", "Split the file.")
        told = {key: _plain_cell((cell or "").strip()) for key, cell in row.items() if key}
        if any(told.values()):
            yield reader.line_num, told | ({"": "more"} if None in row else {})


def _refuse_heads(heads: Sequence[str], name: str) -> None:
    unknown = [head for head in heads if head not in COLUMNS]
    lacking = [head for head in _NEEDED if head not in heads]
    if unknown or lacking or len(set(heads)) < len(heads):
        given = ", ".join(unknown or heads) or "empty"
        others = ", ".join(column for column in COLUMNS if column not in _NEEDED)
        limit = f"its columns are at, kind and any of {others}"
        raise _fault(f"the first line of {name}", given, limit, "Write each column once, by its name.")


def _tallies(lines: Iterable[tuple[int, Row]]) -> Iterator[tuple[int, list[Row]]]:
    """Bring the rows of one tally together: neighbours of one entry, or of one time and length."""
    open_first, open_rows, open_key = 0, list[Row](), tuple[str, ...]()
    for line, row in lines:
        key = (row.get("entry", ""), row["at"], row["kind"], row.get("watched_min", ""), row.get("note", ""))
        if open_rows and row["kind"] == Watch.kind and key == open_key:
            open_rows.append(row)
            continue
        if open_rows:
            yield open_first, open_rows
        open_first, open_rows, open_key = line, [row], key
    if open_rows:
        yield open_first, open_rows


def _draft(rows: Sequence[Row]) -> Draft:
    row = rows[0]
    if any("" in one for one in rows):
        remedy = "Check the commas and the quotes."
        raise _fault("the row", "longer than the first line", "each cell needs its column", remedy)
    at = placed(_moment(row["at"]))
    kind = row["kind"]
    if kind not in KINDS or kind == TakenBack.kind:
        known = ", ".join(word for word in KINDS if word != TakenBack.kind)
        raise _fault("kind", kind, "it is not a kind of entry", f"Write one of: {known}.")
    note = row.get("note", "")
    photographs = tuple(_photographs(row.get("photographs", "")))
    return Draft(_tally(rows) if kind == Watch.kind else _seen(KINDS[kind], row), at, note, photographs)


def _tally(rows: Sequence[Row]) -> Watch:
    minutes = rows[0].get("watched_min", "")
    named = [row for row in rows if any(row.get(name) for name in ("who", "whom", "how"))]
    chases = tuple(_filled(Chases, {n: row[n] for n in _CHASE if row.get(n)}) for row in named)
    return Watch(_value(float, minutes, "watched_min") if minutes else None, chases)


def _seen(record: type[Seen], row: Row) -> Seen:
    names = {field.name for field in dataclasses.fields(record)}
    strangers = [n for n in _SEEN if row.get(n) and n not in names]
    if strangers:
        limit = f"an entry of the kind {record.kind} has no {strangers[0]}"
        raise _fault(strangers[0], row[strangers[0]], limit, "Leave the cell empty, or check the kind.")
    filled: Seen = _filled(record, {n: row[n] for n in names if row.get(n)})
    return filled


def _filled(record: Any, told: Row) -> Any:  # noqa: ANN401 - one of many records
    hints = _hints(record)
    lacking = [name for name in _needed(record) if name not in told]
    if lacking:
        raise _fault(lacking[0], "empty", f"a {getattr(record, 'kind', 'chase')} needs it", "Fill the cell.")
    return record(**{name: _value(hints[name], cell, name) for name, cell in told.items()})


@cache
def _hints(record: type[Any]) -> Mapping[str, Any]:
    return get_type_hints(record)


@cache
def _needed(record: type[Any]) -> tuple[str, ...]:
    return tuple(f.name for f in dataclasses.fields(record) if f.default is dataclasses.MISSING)


def _value(hint: Any, cell: str, name: str) -> Any:  # noqa: ANN401 - whatever a field is said to be
    kinds = get_args(hint) or (hint,)
    if str in kinds and ... in kinds:
        return tuple(one.strip() for one in cell.split(";") if one.strip())
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return _word(hint, cell, name)
    if bool in kinds:
        return _yes(cell, name)
    return _number(kinds, cell, name)


def _word(words: type[StrEnum], cell: str, name: str) -> StrEnum:
    try:
        return words(cell.casefold())
    except ValueError as fault:
        remedy = f"Write one of: {', '.join(words)}."
        raise _fault(name, cell, "it is not a word for it", remedy) from fault


def _yes(cell: str, name: str) -> bool:
    if cell.casefold() not in {"yes", "no", "true", "false"}:
        raise _fault(name, cell, "it is neither yes nor no", "Write yes or no.")
    return cell.casefold() in {"yes", "true"}


def _number(kinds: Sequence[object], cell: str, name: str) -> object:
    if int not in kinds and float not in kinds:
        return cell
    try:
        return int(cell) if int in kinds else float(cell.replace(",", "."))
    except ValueError as fault:
        whole = "whole " if int in kinds else ""
        raise _fault(name, cell, f"it is not a {whole}number", "Write a number such as 3.") from fault


def _moment(cell: str) -> dt.datetime:
    try:
        return dt.datetime.fromisoformat(cell)
    except ValueError as fault:
        remedy = "Write 2027-01-10T18:30:00+01:00, or without the zone for this computer's."
        raise _fault("at", cell or "empty", "it is not a moment", remedy) from fault


def _photographs(cell: str) -> Iterator[Photograph]:
    for one in cell.split("; ") if cell else ():
        digest, _, path = one.partition(" ")
        yield Photograph(path, digest)


def _likeness(seen: Seen) -> Seen:
    """Return what two entries of the same thing have in common, whatever numbers they speak of."""
    return replace(seen, begun=0) if isinstance(seen, RemedyEnded) else seen


def _sound(store: Store, said: str, read: Sequence[_Read], by: By, faults: list[InputError]) -> list[_Read]:
    """Return the drafts that the diary takes; faults of the others are gathered by line."""
    with store.reading() as work:
        found = faults_of_drafts(work, find_tank(work, said), _linked(read), by.now)
    for one, wrong in zip(read, found, strict=True):
        faults += [_at_line(one.line, fault) for fault in wrong]
    return [one for one, wrong in zip(read, found, strict=True) if not wrong]


def _linked(read: Sequence[_Read]) -> list[Draft]:
    """Return drafts in which the end of a remedy names its beginning by its place among them."""
    places = {one.entry: place for place, one in enumerate(read) if one.entry}

    def linked(draft: Draft) -> Draft:
        seen = draft.seen
        if not isinstance(seen, RemedyEnded) or str(seen.begun) not in places:
            return draft
        return replace(draft, seen=replace(seen, begun=-1 - places[str(seen.begun)]))

    return [linked(one.draft) for one in read]


def _at_line(line: int, fault: Exception) -> InputError:
    if isinstance(fault, InputError):
        return InputError(
            field=f"line {line}, {fault.field}", given=fault.given, limit=fault.limit, remedy=fault.remedy
        )
    return _fault(f"line {line}", "not to be read", shown(fault), "Check the row.")


def _line_of(fault: InputError) -> int:
    return int(fault.field.removeprefix("line ").split(",")[0])


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
