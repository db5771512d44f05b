"""Understanding what a customer means: names, slips, sizes and sexes glued on, and asking back."""

from __future__ import annotations

import csv
import functools
import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from importlib import resources

from slackwater.taxa.facts import load_facts


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
    """What a customer's words may mean, with the count, length and sex found in them."""

    said: str
    verdict: Verdict
    candidates: tuple[Candidate, ...]
    count: int | None = None
    length_cm: float | None = None
    sex: str | None = None

    @property
    def name(self) -> str:
        """The scientific name where the verdict is `one`."""
        return self.candidates[0].scientific_name


@dataclass(frozen=True)
class Entry:
    """One row of `names.csv`."""

    name: str
    scientific_name: str
    kind: str
    mark: str


_COUNT = re.compile(r"^\s*(\d{1,2})\s*(?:x|×)?\s+|\b(?:x|×)\s*(\d{1,2})\b|\((\d{1,2})\)")
_SIZE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(cm|mm|in|inch|inches|\")(?![a-z])", re.IGNORECASE)
_SHORTEST_PLURAL = 4
_SEX = {
    "pair of": "pair",
    "mated pair": "pair",
    "pair": "pair",
    "female": "female",
    "fem": "female",
    "male": "male",
}
_FILLER = re.compile(
    r"\b(?:sm|small|med|medium|lg|large|xl|tiny|juv|juvenile|adult|sp|spp|a|an|the|some|one|"
    r"tank raised|tank bred|captive bred|wild|group of|school of|trio of|fish|m|s|l)\b\.?"
)


def _plain(text: str) -> str:
    lowered = text.lower().replace("-", " ").replace("'", "").replace("’", "")
    return " ".join(re.sub(r"[^a-z0-9.()/ ]+", " ", lowered).split())


def _singular(word: str) -> str:
    if len(word) > _SHORTEST_PLURAL and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > _SHORTEST_PLURAL and word.endswith("ses"):
        return word[:-2]
    ends_as_plural = word.endswith("s") and not word.endswith(("ss", "us", "is"))
    return word[:-1] if len(word) >= _SHORTEST_PLURAL and ends_as_plural else word


@functools.cache
def entries() -> tuple[Entry, ...]:
    """Return all names of the table, scientific names included."""
    text = resources.files("slackwater.data").joinpath("names.csv").read_text(encoding="utf-8")
    listed = [
        Entry(r["name"], r["scientific_name"], r["kind"], r["mark"])
        for r in csv.DictReader(text.splitlines())
    ]
    facts = load_facts()
    listed.extend(Entry(name.lower(), name, "scientific", "") for name in facts.species_names)
    return tuple(listed)


@functools.cache
def _index() -> dict[str, tuple[Entry, ...]]:
    found: dict[str, dict[tuple[str, str], Entry]] = {}
    for entry in entries():
        for key in {_plain(entry.name), _squeezed(_plain(entry.name))}:
            found.setdefault(key, {})[(entry.scientific_name, entry.kind)] = entry
    return {key: tuple(rows.values()) for key, rows in found.items()}


def _squeezed(text: str) -> str:
    """Return a name in the singular without filler, as an order-keeping key."""
    return " ".join(_singular(word) for word in _FILLER.sub(" ", text).split())


@dataclass(frozen=True)
class _Stripped:
    name: str
    count: int | None
    length_cm: float | None
    sex: str | None


def _strip(said: str) -> _Stripped:
    """Take counts, sizes and sexes off a customer's words."""
    text = said
    length = None
    if found := _SIZE.search(text):
        value = float(found[1].replace(",", "."))
        unit = found[2].lower()
        length = value / 10.0 if unit == "mm" else value if unit == "cm" else value * 2.54
        text = _SIZE.sub(" ", text, count=1)
    count = None
    if (met := _COUNT.search(text)) and not re.match(r"\s*\d\s*(line|stripe|spot|bar)", text, re.IGNORECASE):
        count = int(next(g for g in met.groups() if g))
        text = text[: met.start()] + " " + text[met.end() :]
    plain = _plain(text).replace("(", " ").replace(")", " ")
    sex = None
    for word, meaning in _SEX.items():
        if re.search(rf"\b{word}s?\b", plain):
            sex = meaning
            plain = re.sub(rf"\b{word}s?\b", " ", plain)
            break
    return _Stripped(" ".join(plain.split()), count, length, sex)


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


_ASK_FROM, _SURE_FROM, _CLEAR_BY = 76.0, 90.0, 4.0


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
    bare = _strip(said)
    for key in (_plain(said), bare.name, _squeezed(bare.name)):
        rows = _index().get(key, ())
        if rows:
            return _decided(said, bare, rows)
    return _fuzzy(said, bare)


def _decided(said: str, bare: _Stripped, rows: tuple[Entry, ...]) -> Meaning:
    if all(row.kind == "not a fish" for row in rows):
        return Meaning(said, Verdict.NOT_A_FISH, (), bare.count, bare.length_cm, bare.sex)
    exact = [r for r in rows if r.kind in {"scientific", "synonym"}]
    usual = [r for r in rows if r.kind not in {"not a fish", "misapplied"}]
    found = _listed(exact or usual or rows, 100.0)
    asked = not exact and any(r.kind == "ask" for r in rows)
    verdict = Verdict.ONE if len(found) == 1 and not asked else Verdict.ASK
    return Meaning(said, verdict, found, bare.count, bare.length_cm, bare.sex)


def _fuzzy(said: str, bare: _Stripped) -> Meaning:
    from rapidfuzz import fuzz, process

    names = list(_index())
    key = _squeezed(bare.name) or bare.name
    hits = process.extract(key, names, scorer=fuzz.ratio, limit=12, score_cutoff=60.0)
    best: dict[str, Candidate] = {}
    asks: set[str] = set()
    top_not_fish = 0.0
    for name, score, _ in hits:
        for entry in _index()[name]:
            if entry.kind == "not a fish":
                top_not_fish = max(top_not_fish, score)
                continue
            kept = best.get(entry.scientific_name)
            if kept is None or score > kept.score:
                mark = _mark(entry.scientific_name, entry.mark)
                best[entry.scientific_name] = Candidate(entry.scientific_name, float(score), mark)
            if entry.kind == "ask" and score > hits[0][1] - _CLEAR_BY:
                asks.add(entry.scientific_name)
    ranked = tuple(sorted(best.values(), key=lambda c: (-c.score, c.scientific_name)))
    verdict, kept_ones = _ranked(ranked, asks, top_not_fish)
    return Meaning(said, verdict, kept_ones, bare.count, bare.length_cm, bare.sex)


def _ranked(
    ranked: tuple[Candidate, ...], asks: set[str], not_fish: float
) -> tuple[Verdict, tuple[Candidate, ...]]:
    top = ranked[0].score if ranked else 0.0
    if not_fish >= max(top, 85.0):
        return Verdict.NOT_A_FISH, ()
    if top < _ASK_FROM:
        return Verdict.UNKNOWN, ranked[:5]
    close = tuple(c for c in ranked if c.score > top - _CLEAR_BY)
    sure = top >= _SURE_FROM and len(close) == 1 and close[0].scientific_name not in asks
    if sure:
        return Verdict.ONE, close
    return Verdict.ASK, tuple(c for c in ranked if c.score > top - 8.0)[:6]
