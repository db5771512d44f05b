"""Understanding what a customer means: names, slips, sizes and sexes glued on, and asking back."""

from __future__ import annotations

import csv
import functools
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from importlib import resources

from slackwater.taxa.facts import FactTable, load_facts
from slackwater.taxa.matching import Entry, Likeness, NameIndex
from slackwater.taxa.scribbles import Scribble, plain, read, squeezed, without_filler, words_of


class Verdict(StrEnum):
    """What a name came to."""

    ONE = "one"
    ASK = "ask"
    NOT_A_FISH = "not a fish"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Candidate:
    """An animal that may be meant, how close the name is (0 to 100), and its telling mark."""

    scientific_name: str
    score: float
    mark: str


@dataclass(frozen=True)
class Meaning:
    """What a customer's words may mean, with the count, length and sex found in them.

    `house_notes` are the sentences of the house notes it rests on.
    """

    said: str
    verdict: Verdict
    candidates: tuple[Candidate, ...]
    count: int | None = None
    length_cm: float | None = None
    sex: str | None = None
    house_notes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The scientific name where the verdict is `one`."""
        return self.candidates[0].scientific_name


HOUSE = "house"


def entries() -> tuple[Entry, ...]:
    """Return all names in use, scientific names and those of the house included."""
    return _entries(load_facts())


def _index() -> dict[str, tuple[Entry, ...]]:
    return _index_of(load_facts())


_TABLES_KEPT = 4


@functools.lru_cache(maxsize=_TABLES_KEPT)
def _entries(facts: FactTable) -> tuple[Entry, ...]:
    if facts.base:
        return (*_of_house(facts), *_entries(facts.base))
    text = resources.files("slackwater.data").joinpath("names.csv").read_text(encoding="utf-8")
    listed = [
        Entry(row["name"], row["scientific_name"], row["kind"], row["mark"])
        for row in csv.DictReader(text.splitlines())
    ]
    listed.extend(Entry(name.lower(), name, "scientific", "") for name in facts.species_names)
    return tuple(listed)


def _of_house(facts: FactTable) -> tuple[Entry, ...]:
    animals = facts.house.animals
    called = (fact for animal in animals for fact in animal.facts if fact.trait == "common_name")
    return (
        *(Entry(note.name, note.scientific_name, HOUSE, "") for note in facts.house.names),
        *(Entry(a.scientific_name.lower(), a.scientific_name, "scientific", "") for a in animals),
        *(Entry(fact.value, fact.taxon, "trade", "") for fact in called),
    )


@functools.lru_cache(maxsize=_TABLES_KEPT)
def _index_of(facts: FactTable) -> dict[str, tuple[Entry, ...]]:
    """Return the entries by name as said and by name squeezed."""
    if facts.base:
        return _over(_index_of(facts.base), _of_house(facts))
    found: dict[str, dict[tuple[str, str], Entry]] = {}
    for entry in _entries(facts):
        as_said = plain(entry.name)
        for key in {as_said, squeezed(as_said), _shortened(entry)}:
            found.setdefault(key, {})[(entry.scientific_name, entry.kind)] = entry
    found.pop("", None)
    return _genera(facts) | {key: tuple(rows.values()) for key, rows in found.items()}


def _shortened(entry: Entry) -> str:
    """Return a scientific name with the initial of its genus: `z. flavescens`."""
    genus, _, epithet = entry.name.partition(" ")
    return f"{genus[0]}. {epithet}" if entry.kind in {"scientific", "synonym"} and epithet else ""


def _genera(facts: FactTable) -> dict[str, tuple[Entry, ...]]:
    """Return the genera as names that are asked back."""
    found: dict[str, tuple[Entry, ...]] = {}
    for name in facts.species_names:
        genus = name.split(" ")[0].lower()
        found[genus] = (*found.get(genus, ()), Entry(genus, name, "ask", ""))
    return found


@functools.lru_cache(maxsize=_TABLES_KEPT)
def _word_index(facts: FactTable) -> NameIndex:
    return NameIndex(_entries(facts))


def _over(index: dict[str, tuple[Entry, ...]], house: Iterable[Entry]) -> dict[str, tuple[Entry, ...]]:
    """Lay the entries of the house over an index.

    Its names go before all others as they were said, and squeezed only where no other has that
    key: `wild blue tang` must not take `blue tang` with it. What its animals are commonly called
    stands beside the others, to be asked back.
    """
    own: dict[str, tuple[Entry, ...]] = {}
    shorter: dict[str, tuple[Entry, ...]] = {}
    for entry in house:
        as_said = plain(entry.name)
        beside = () if entry.kind == HOUSE else index.get(as_said, ())
        own[as_said] = (*own.get(as_said, beside), entry)
        key = squeezed(as_said)
        shorter[key] = (*shorter.get(key, ()), entry)
    shorter.pop("", None)
    return shorter | index | own


def _mark(scientific_name: str, entry_mark: str) -> str:
    facts = load_facts()
    known = facts.find(scientific_name, "mark") if scientific_name in facts.species_names else None
    own = known.fact.value if known else "not described in the table yet"
    return entry_mark or own


def _listed(rows: Iterable[Entry], score: float) -> tuple[Candidate, ...]:
    best: dict[str, Candidate] = {}
    for row in rows:
        if row.scientific_name and row.scientific_name not in best:
            best[row.scientific_name] = Candidate(
                row.scientific_name, score, _mark(row.scientific_name, row.mark)
            )
    return tuple(best.values())


def is_listed(name: str) -> bool:
    """Say whether words without count, length and sex stand in the table as they are."""
    as_said = plain(name)
    return as_said in _index() or squeezed(as_said) in _index()


def understand(said: str) -> Meaning:
    """Return what a customer's words may mean; never a silent pick between two animals.

    Parameters
    ----------
    said
        The words as written: trade names, slips, plurals, "pair of", "3 x", "5 cm".

    Returns
    -------
    Meaning
        `one` when sure, `ask` with candidates and their telling marks when two or more are
        possible, `not a fish` for corals and invertebrates, `unknown` with the nearest names.
    """
    scribble = read(said)
    index = _index()
    for key in (plain(said), scribble.name, squeezed(scribble.name)):
        if rows := index.get(key, ()):
            _take_down(rows)
            return _meaning(said, scribble, *_decided(rows))
    return _meaning(said, scribble, *_likened(words_of(without_filler(scribble.name))))


def _take_down(rows: Iterable[Entry]) -> None:
    """Remember the names of the house that were read."""
    for row in rows:
        if row.kind == HOUSE:
            load_facts().take_down_name(row.name, row.scientific_name)


def _meaning(said: str, scribble: Scribble, verdict: Verdict, candidates: tuple[Candidate, ...]) -> Meaning:
    return Meaning(said, verdict, candidates, scribble.count, scribble.length_cm, scribble.sex)


def _decided(rows: tuple[Entry, ...]) -> tuple[Verdict, tuple[Candidate, ...]]:
    if all(row.kind == "not a fish" for row in rows):
        return Verdict.NOT_A_FISH, ()
    exact = [r for r in rows if r.kind in {"scientific", "synonym"}]
    usual = [r for r in rows if r.kind not in {"not a fish", "misapplied"}]
    found = _listed(exact or usual or rows, 100.0)
    asked = not exact and (not usual or any(r.kind == "ask" for r in rows))
    return Verdict.ONE if len(found) == 1 and not asked else Verdict.ASK, found


_ASK_FROM, _SURE_FROM, _CLEAR_BY = 0.55, 0.6, 0.06
_NO_FISH_FROM = 0.72
_WORTH_ASKING, _WORTH_ASKING_IF_UNSURE = 0.12, 0.35
_MOST_ASKED, _MOST_NEAREST = 8, 5


def _likened(words: tuple[str, ...]) -> tuple[Verdict, tuple[Candidate, ...]]:
    """Decide by likeness where no name is quite what was said."""
    index = _word_index(load_facts())
    found = index.likenesses(words)
    fish = [like for like in found if like.entry.scientific_name]
    other = next((like for like in found if not like.entry.scientific_name), None)
    if other is None or not (other.whole or other.score >= _NO_FISH_FROM):
        return _ranked(fish)
    if fish and fish[0].explains and fish[0].score > other.score:
        return _ranked(fish)
    left = index.beside(other.entry, words)
    of_fish = index.speaks_of_fish(left)
    if named := [like for like in index.likenesses(left) if _is_named(like, or_asked=of_fish)]:
        return Verdict.ASK, _candidates(named[:_MOST_ASKED])
    return _ranked(fish) if of_fish else (Verdict.NOT_A_FISH, ())


def _is_named(like: Likeness, *, or_asked: bool) -> bool:
    return like.whole and like.score >= _NO_FISH_FROM and (or_asked or like.entry.kind != "ask")


def _ranked(fish: list[Likeness]) -> tuple[Verdict, tuple[Candidate, ...]]:
    """Tell one animal from several that are about as like."""
    top = fish[0].score if fish else 0.0
    if top < _ASK_FROM:
        return Verdict.UNKNOWN, _candidates(fish[:_MOST_NEAREST])
    best = fish[0]
    alone = len(fish) == 1 or fish[1].score < top - _CLEAR_BY
    if alone and best.whole and best.explains and best.entry.kind != "ask" and top >= _SURE_FROM:
        return Verdict.ONE, _candidates(fish[:1])
    worth = _WORTH_ASKING if best.explains else _WORTH_ASKING_IF_UNSURE
    asked = [like for like in fish if like.score > top - worth]
    return Verdict.ASK, _candidates(asked[:_MOST_ASKED])


def _candidates(found: Iterable[Likeness]) -> tuple[Candidate, ...]:
    likes = tuple(found)
    _take_down(like.entry for like in likes)
    return tuple(
        Candidate(
            like.entry.scientific_name,
            100.0 * like.score,
            _mark(like.entry.scientific_name, like.entry.mark),
        )
        for like in likes
    )
