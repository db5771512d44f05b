"""Lines that name animals, as people write them: one kind each, or several with commas and "and"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.service.animals import who
from slackwater.taxa.names import Verdict, is_listed
from slackwater.taxa.scribbles import plain, read, without_filler

_COMMAS = re.compile(r"\s*(?:[;\n]|(?<!\d),|,(?!\d))\s*")
_ANDS = re.compile(r"\s+(?:and|plus|&|\+)\s+", re.IGNORECASE)
_LEADING_AND = re.compile(r"^(?:and|plus|&|\+)\s+", re.IGNORECASE)


@dataclass(frozen=True)
class Said:
    """One animal that was named: in which of the lines, beside which others there.

    `line` counts the lines that are not empty.
    """

    line: int
    place: int
    parts: tuple[str, ...]

    @property
    def words(self) -> str:
        """The words for this animal alone."""
        return self.parts[self.place]

    def instead(self, words: str) -> str:
        """Return the whole line with other words for this animal."""
        return ", ".join((*self.parts[: self.place], words, *self.parts[self.place + 1 :]))


def said_in(lines: Sequence[str]) -> tuple[Said, ...]:
    """Return every animal that is named in some lines, in their order.

    Parameters
    ----------
    lines
        As they were typed; empty ones are passed over.
    """
    told = [line.strip() for line in lines if line.strip()]
    split = [kinds_in(line) for line in told]
    return tuple(Said(n, place, parts) for n, parts in enumerate(split) for place in range(len(parts)))


def kinds_in(line: str) -> tuple[str, ...]:
    """Return the kinds that a line names, each with its count, length and sex.

    Examples
    --------
    >>> kinds_in("royal gramma, 2 firefish and a six line")
    ('royal gramma', '2 firefish', 'a six line')
    >>> kinds_in("2 black and white ocellaris, 6,5 cm")
    ('2 black and white ocellaris 6,5 cm',)
    """
    found: list[str] = []
    for part in filter(None, _COMMAS.split(line.strip())):
        bare = _LEADING_AND.sub("", part)
        if found and _names_nobody(bare):
            found[-1] = f"{found[-1]} {bare}"
        else:
            found.extend(_apart(bare))
    return tuple(found) or (line.strip(),)


def _apart(part: str) -> list[str]:
    """Split at "and" unless the whole is a name, or a piece means nothing by itself."""
    pieces = _ANDS.split(part)
    if len(pieces) == 1 or is_listed(read(part).name):
        return [part]
    if any(who(piece).verdict is Verdict.UNKNOWN for piece in pieces):
        return [part]
    return pieces


def _names_nobody(part: str) -> bool:
    """Say whether a piece holds nothing but a count, a length or a sex."""
    return not re.sub(r"\d+", "", without_filler(plain(read(part).name))).strip()
