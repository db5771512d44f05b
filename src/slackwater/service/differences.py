"""What differs between two states of a tank file, and two edits of one state brought together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import TypeGuard

from slackwater.errors import shown

Plain = Mapping[str, object]
_NOTHING = object()


@dataclass(frozen=True)
class Difference:
    """One place of a file, before and after; empty for what was not there."""

    place: str
    before: str
    after: str

    @property
    def sentence(self) -> str:
        """The difference as a clause."""
        if not self.before:
            return f"{self.place} added: {self.after}"
        return f"{self.place}: {self.before} to {self.after}" if self.after else f"{self.place} taken out"


def differences(before: Plain, after: Plain) -> tuple[Difference, ...]:
    """Return where two states differ, in the order of the earlier one.

    Examples
    --------
    >>> [d.sentence for d in differences({"tank": {"length": "120 cm"}}, {"tank": {"length": "1 m"}})]
    ['tank.length: 120 cm to 1 m']
    """
    return tuple(_found("", before, after))


def merged(base: Plain, theirs: Plain, mine: Plain) -> tuple[dict[str, object], tuple[str, ...]]:
    """Bring two edits of one state together, place by place.

    Parameters
    ----------
    base
        The state that both began with.
    theirs, mine
        The two edits.

    Returns
    -------
    dict, tuple of str
        The state with both edits, mine where they clash; and the places where they clash. A list
        is brought together entry by entry, an entry by its facts while it stays the same animal;
        entries added by both are both kept.
    """
    clashes: list[str] = []
    return _merged("", base, theirs, mine, clashes), tuple(clashes)


def _found(place: str, before: object, after: object) -> Iterator[Difference]:
    if before == after:
        return
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in dict.fromkeys([*before, *after]):
            inner = f"{place}.{key}" if place else str(key)
            yield from _found(inner, before.get(key, _NOTHING), after.get(key, _NOTHING))
    elif isinstance(before, list) and isinstance(after, list):
        yield from _in_lists(place, before, after)
    else:
        yield Difference(place, _said(before), _said(after))


def _in_lists(place: str, before: list[object], after: list[object]) -> Iterator[Difference]:
    for number in range(max(len(before), len(after))):
        old = before[number] if number < len(before) else _NOTHING
        new = after[number] if number < len(after) else _NOTHING
        yield from _found(f"{place}[{number + 1}]", old, new)


def _said(value: object) -> str:
    if value is _NOTHING:
        return ""
    if isinstance(value, Mapping):
        return shown(", ".join(f"{key} {_said(inner)}" for key, inner in value.items()))
    if isinstance(value, list):
        return shown("; ".join(_said(one) for one in value))
    return shown(value)


def _merged(place: str, base: Plain, theirs: Plain, mine: Plain, clashes: list[str]) -> dict[str, object]:
    found: dict[str, object] = {}
    for key in dict.fromkeys([*theirs, *mine]):
        inner = f"{place}.{key}" if place else str(key)
        sides = (base.get(key, _NOTHING), theirs.get(key, _NOTHING), mine.get(key, _NOTHING))
        value = _one(inner, *sides, clashes)
        if value is not _NOTHING:
            found[key] = value
    return found


def _one(place: str, base: object, theirs: object, mine: object, clashes: list[str]) -> object:
    if theirs in (base, mine):
        return mine
    if mine == base:
        return theirs
    if isinstance(theirs, Mapping) and isinstance(mine, Mapping):
        start = base if isinstance(base, Mapping) else {}
        return _merged(place, start, theirs, mine, clashes)
    if _of_entries(base) and _of_entries(theirs) and _of_entries(mine):
        return _list(place, base, (theirs, mine), clashes)
    clashes.append(place)
    return mine


def _of_entries(value: object) -> TypeGuard[list[Plain]]:
    return isinstance(value, list) and all(isinstance(entry, Mapping) for entry in value)


def _list(
    place: str, base: list[Plain], sides: tuple[list[Plain], list[Plain]], clashes: list[str]
) -> list[object]:
    """Bring two edits of a list together: each entry that both began with, and what was put between them."""
    (theirs, put_by_them), (mine, put_by_me) = (_aligned(base, side) for side in sides)
    found: list[object] = []
    for n in range(len(base) + 1):
        found += [*put_by_them[n], *(one for one in put_by_me[n] if one not in put_by_them[n])]
        if n < len(base):
            found.append(_entry(f"{place}[{n + 1}]", (base[n], theirs[n], mine[n]), clashes))
    return [one for one in found if one is not _NOTHING]


def _entry(place: str, states: tuple[object, object, object], clashes: list[str]) -> object:
    """Bring two edits of an entry together: by its facts while it stays one animal, else as a whole."""
    base, theirs, mine = states
    names = {_name(one) for one in states}
    if len(names) == 1 and "" not in names:
        return _one(place, base, theirs, mine, clashes)
    if base not in (theirs, mine) and theirs != mine:
        clashes.append(place)
    return theirs if mine == base else mine


def _aligned(base: list[Plain], side: list[Plain]) -> tuple[list[object], list[list[Plain]]]:
    """Return what became of each entry of a list, and what was put before each and at the end."""
    if len(side) == len(base):
        return list(side), [[] for _ in range(len(base) + 1)]
    became: list[object] = [_NOTHING] * len(base)
    put: list[list[Plain]] = [[] for _ in range(len(base) + 1)]
    old, new = ([repr(one) for one in entries] for entries in (base, side))
    for _, i1, i2, j1, j2 in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        paired = min(i2 - i1, j2 - j1)
        became[i1 : i1 + paired] = side[j1 : j1 + paired]
        put[i2] += side[j1 + paired : j2]
    return became, put


def _name(entry: object) -> str:
    return str(entry.get("animal", "")) if isinstance(entry, Mapping) else ""
