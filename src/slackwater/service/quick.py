"""Entries by single keys: two for what happens most, each written down before the next is read.

Digits stand for the pairs last seen to quarrel, and then for the animals; letters say what was
seen. While a watch runs every chase is added to its tally, and the tally as it stands is written
each time, so that nothing is lost if the program ends.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from slackwater.errors import InputError
from slackwater.service.diary import Draft, Saved, add, at_home, recent_pairs, take_back
from slackwater.service.diary_sentences import chases_sentence, sentence
from slackwater.service.tanks import By, open_tank
from slackwater.society.diary import (
    Bearing,
    ChaseKind,
    Chases,
    Eating,
    Entry,
    Feed,
    HeadCount,
    Manner,
    Missing,
    Seen,
    Sighted,
    Watch,
)
from slackwater.store import Store

ANIMAL_KEYS = "123456789abcdefghijklmnoprstuvwxyz"
PAIR_KEYS = "123456789"
END = frozenset({"q", "\x1b", "\x04", "\x03", ""})

_HOW = {"c": ChaseKind.CHASE, "d": ChaseKind.DISPLAY, "b": ChaseKind.BITE, "l": ChaseKind.LOCKED}
_ONE: dict[str, tuple[str, Callable[[str], Seen]]] = {
    "e": ("eats", Eating),
    "r": ("refuses food", lambda animal: Eating(animal, ate=False)),
    "h": ("hides", lambda animal: Bearing(animal, Manner.HIDES)),
    "p": ("is pinned", lambda animal: Bearing(animal, Manner.PINNED)),
    "s": ("was seen", Sighted),
    "m": ("is missing", Missing),
}
HELP = (
    "1-9 a pair, then  c chases  d displays  b bites  l locks jaws",
    "n another pair: two animals, then c d b l",
    *(", ".join(f"{key} {word}" for key, (word, _) in _ONE.items()) + "; then the animal",),
    "a all there at feeding   f fed   w begins and ends a watch",
    "u takes the last back   ? these lines   q ends",
)


@dataclass
class _Running:
    """A watch that runs: the entry it is written in, when it began, and its tally so far."""

    number: int
    begun: dt.datetime
    chases: dict[tuple[str, str, ChaseKind], int]


class QuickEntry:
    """The keys pressed for one tank, one at a time.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    who
        Who writes.
    clock
        Tells the present moment.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """

    def __init__(self, store: Store, said: str, who: str, clock: Callable[[], dt.datetime]) -> None:
        self._store, self._said, self._who, self._clock = store, said, who, clock
        labels = open_tank(store, said).labels
        self.animals = dict(zip(ANIMAL_KEYS, labels, strict=False))
        self._untold = "" if len(labels) <= len(self.animals) else "   (the others by whole words only)"
        self.pairs = list(recent_pairs(store, said))
        self._keys = ""
        self._pair: tuple[str, str] | None = None
        self._written: list[int] = []
        self._watch: _Running | None = None

    @property
    def opening(self) -> tuple[str, ...]:
        """What to show first: pairs and animals with their keys."""
        pairs = [f"{n} {who} > {whom}" for n, (who, whom) in enumerate(self.pairs, 1)]
        animals = "   ".join(f"{key} {label}" for key, label in self.animals.items())
        first = f"pairs:   {'   '.join(pairs) or 'none yet: press n'}"
        return (first, f"animals: {animals}{self._untold}")

    @property
    def asks(self) -> str:
        """What the next key is for."""
        if self._pair:
            return f"{self._pair[0]} > {self._pair[1]}: c d b l"
        if self._keys[:1] == "n":
            return "who?" if len(self._keys) == 1 else "whom?"
        if self._keys:
            return f"who {_ONE[self._keys][0]}?"
        return "watching" if self._watch else ""

    def press(self, key: str) -> tuple[str, ...]:
        """Take one key and return what to say; a key that fits nothing clears those before it.

        Raises
        ------
        StoreError
            If the store cannot be written; nothing of this key is kept then.
        """
        pair, keys = self._pair, self._keys
        self._pair, self._keys = None, ""
        try:
            if pair:
                return self._quarrel(pair, key)
            return self._next(keys, key) if keys else self._first(key)
        except InputError as fault:
            return (str(fault),)

    def finish(self) -> tuple[str, ...]:
        """End a watch that still runs."""
        return self._end_watch() if self._watch else ()

    def _first(self, key: str) -> tuple[str, ...]:
        if key in set(PAIR_KEYS) and int(key) <= len(self.pairs):
            self._pair = self.pairs[int(key) - 1]
            return ()
        if key in _ONE or key == "n":
            self._keys = key
            return ()
        alone: dict[str, Callable[[], tuple[str, ...]]] = {
            "a": self._all_there,
            "f": self._fed,
            "w": self._turn_watch,
            "u": self._undo,
            "?": lambda: HELP,
        }
        return alone[key]() if key in alone else (f"{key!r} stands for nothing here; ? shows the keys.",)

    def _next(self, keys: str, key: str) -> tuple[str, ...]:
        animal = self.animals.get(key)
        if animal is None:
            return (f"{key!r} is no animal's key.",)
        if keys == "n":
            self._keys = f"n{key}"
            return ()
        if keys[0] == "n":
            return self._new_pair(self.animals[keys[1]], animal)
        return self._write(_ONE[keys][1](animal))

    def _new_pair(self, who: str, whom: str) -> tuple[str, ...]:
        if who == whom:
            return ("An animal does not chase itself.",)
        self._pair = (who, whom)
        self.pairs = [self._pair, *(one for one in self.pairs if one != self._pair)][: len(PAIR_KEYS)]
        return ()

    def _quarrel(self, pair: tuple[str, str], key: str) -> tuple[str, ...]:
        how = _HOW.get(key)
        if how is None:
            return (f"{key!r} is no way to quarrel: c d b l.",)
        if self._watch is None:
            return self._write(Watch(None, (Chases(*pair, 1, how),)))
        tally = self._watch.chases
        tally[*pair, how] = tally.get((*pair, how), 0) + 1
        return self._write_watch(chases_sentence(Chases(*pair, 1, how)))

    def _all_there(self) -> tuple[str, ...]:
        return self._write(HeadCount(at_home(self._store, self._said)))

    def _fed(self) -> tuple[str, ...]:
        return self._write(Feed())

    def _turn_watch(self) -> tuple[str, ...]:
        if self._watch:
            return self._end_watch()
        begun = self._clock()
        saved = self._add(Draft(Watch(0.0), begun))
        self._watch = _Running(saved.entries[0].number, begun, {})
        return ("The watch begins; w ends it.",)

    def _end_watch(self) -> tuple[str, ...]:
        said = self._write_watch("The watch ends")
        self._watch = None
        return said

    def _write_watch(self, what: str) -> tuple[str, ...]:
        """Write the tally of the running watch as it stands now, in the place of its first entry."""
        running = self._watch
        if running is None:
            return ()
        minutes = max((self._clock() - running.begun).total_seconds() / 60.0, 0.0)
        chases = tuple(Chases(who, whom, n, how) for (who, whom, how), n in running.chases.items())
        self._add(Draft(Watch(minutes, chases), running.begun, corrects=running.number))
        return (f"{what} ({sum(running.chases.values())} in {minutes:.1f} min)",)

    def _undo(self) -> tuple[str, ...]:
        if self._watch:
            return ("Not while a watch runs: end it with w, then take it back.",)
        if not self._written:
            return ("Nothing was written here yet.",)
        number = self._written.pop()
        take_back(self._store, self._said, number, self._by())
        return (f"Entry {number} is taken back.",)

    def _write(self, seen: Seen) -> tuple[str, ...]:
        saved = self._add(Draft(seen))
        return (_line(saved.entries[0]), *saved.cautions)

    def _add(self, draft: Draft) -> Saved:
        saved = add(self._store, self._said, [draft], self._by())
        if draft.corrects is None:
            self._written.append(saved.entries[0].number)
        return saved

    def _by(self) -> By:
        return By(self._who, self._clock())


def _line(entry: Entry) -> str:
    return f"{entry.number}: {sentence(entry.seen)}"
