"""Which animal is meant, and what is known of it, every value with who says so."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from slackwater.errors import InputError, InputErrors, UnknownTaxonError, shown
from slackwater.plan.records import Citation
from slackwater.service.house import notes_behind
from slackwater.sources import Kind, load_sources
from slackwater.taxa.facts import Fact, FactTable, Known, Trait, load_facts
from slackwater.taxa.names import Candidate, Meaning, Verdict, understand

MOST_OF_ONE_KIND = 60
SHORTEST_CM, LONGEST_CM = 0.5, 400.0

_GUESSED = (Kind.ESTIMATED, Kind.FROM_MEMORY)
_SEVERAL = {"lookalike"}
_NAMES = {"common_name", "mark", "family"}


@dataclass(frozen=True)
class FactRow:
    """One value of a species: what it rests on, and the rank it was inherited from.

    `is_guess` holds for estimates, for memory, and for what was said of the genus or a higher
    rank only; `others` are the rows that were passed over for it.
    """

    trait: str
    meaning: str
    value: float | str
    unit: str
    low: str
    high: str
    kind: str
    source: str
    locator: str
    note: str
    rank: str
    is_guess: bool
    others: tuple[str, ...]


@dataclass(frozen=True)
class SpeciesSheet:
    """All that is known of a species, and the house notes among it."""

    said: str
    scientific_name: str
    common_name: str
    family: str
    mark: str
    rows: tuple[FactRow, ...]
    sources: tuple[Citation, ...]
    house_notes: tuple[str, ...] = ()


def who(said: str) -> Meaning:
    """Return what a customer's words may mean, with the telling mark of each candidate."""
    meaning = understand(said)
    animals = [candidate.scientific_name for candidate in meaning.candidates]
    return replace(meaning, house_notes=notes_behind(animals))


def meant(said: str, field: str) -> Meaning:
    """Return the one animal that a customer's words mean.

    Parameters
    ----------
    said
        The words: name, and if told count, length and sex.
    field
        What the words stand for, for the message.

    Raises
    ------
    InputError
        If several animals go by this name, or it is no fish, or count or length cannot be.
    UnknownTaxonError
        If none does.
    """
    meaning = understand(said)
    if not said.strip():
        raise InputError(
            field=field,
            given="empty",
            limit="it must name an animal",
            remedy="Write it as the customer says it.",
        )
    if meaning.verdict is Verdict.UNKNOWN:
        raise UnknownTaxonError(
            name=shown(said), nearest=[_called(c.scientific_name) for c in meaning.candidates]
        )
    if meaning.verdict is not Verdict.ONE:
        raise _unclear(meaning, field)
    _refuse_impossible(meaning, field)
    return meaning


def all_meant(asked: Iterable[tuple[str, str]]) -> tuple[Meaning, ...]:
    """Return the one animal that each of several words means.

    Parameters
    ----------
    asked
        Pairs of the words and what they stand for, as for `meant`.

    Raises
    ------
    InputErrors
        If more than one name will not do; all of them at once. A single fault is raised as it is.
    """
    found: list[Meaning] = []
    faults: list[InputError | UnknownTaxonError] = []
    for said, field in asked:
        try:
            found.append(meant(said, field))
        except (InputError, UnknownTaxonError) as fault:
            faults.append(fault)
    if len(faults) == 1:
        raise faults[0]
    if faults:
        raise InputErrors(source="the list of animals", faults=[_as_input(fault) for fault in faults])
    return tuple(found)


def sheet(said: str) -> SpeciesSheet:
    """Return all that is known of a species, every value with its kind, source and rank.

    Parameters
    ----------
    said
        A scientific or trade name.

    Raises
    ------
    InputError
        If several animals go by this name.
    UnknownTaxonError
        If none does.
    """
    facts = load_facts()
    species = facts.species(meant(said, "the species").name)
    rows = tuple(row for trait in facts.traits for row in _rows(facts, species.name, trait))
    return SpeciesSheet(
        said=said,
        scientific_name=species.name,
        common_name=species.common_name,
        family=species.family,
        mark=species.text("mark"),
        rows=rows,
        sources=_cited({row.source for row in rows}),
        house_notes=notes_behind([species.name]),
    )


def _rows(facts: FactTable, name: str, trait: str) -> tuple[FactRow, ...]:
    listed = facts.rows(name, trait)
    if not listed or trait in _NAMES:
        return ()
    if trait in _SEVERAL:
        return tuple(_row(facts, name, fact, ()) for fact in listed)
    return (_row(facts, name, listed[0], listed[1:]),)


def _row(facts: FactTable, name: str, fact: Fact, others: tuple[Fact, ...]) -> FactRow:
    facts.take_down(name, fact)
    trait = facts.traits[fact.trait]
    known = Known(fact, name)
    return FactRow(
        trait=fact.trait,
        meaning=_meaning(trait),
        value=float(fact.value) if trait.type == "number" else fact.value,
        unit="" if trait.unit == "-" else trait.unit,
        low=fact.low,
        high=fact.high,
        kind=fact.kind,
        source=fact.source,
        locator=fact.locator,
        note=fact.note,
        rank=fact.taxon,
        is_guess=known.inherited or fact.kind in _GUESSED,
        others=tuple(f"{other.value}: {Known(other, name).says_who()}" for other in others),
    )


def _meaning(trait: Trait) -> str:
    """Return what a trait is in a few words; its name where the table lists nothing but its words."""
    told = trait.meaning.split(":")[0].split(" (")[0]
    return trait.name.replace("_", " ") if "|" in told else told


def _cited(keys: set[str]) -> tuple[Citation, ...]:
    known = load_sources()
    return tuple(Citation(key, str(known[key])) for key in sorted(keys) if key in known)


def _unclear(meaning: Meaning, field: str) -> InputError:
    if meaning.verdict is Verdict.NOT_A_FISH:
        return InputError(
            field=field,
            given=shown(meaning.said),
            limit="that is no fish, and only fish are judged as company",
            remedy="Leave it out: every answer says what a fish may pick at. "
            "In a tank file corals and invertebrates stand under keeping.",
        )
    return InputError(
        field=field,
        given=shown(meaning.said),
        limit="that may be " + "; or ".join(_marked(c) for c in meaning.candidates),
        remedy="Write the scientific name of the one that is meant.",
    )


def _marked(candidate: Candidate) -> str:
    return f"{_called(candidate.scientific_name)}: {candidate.mark}"


def _called(scientific_name: str) -> str:
    known = load_facts().find(scientific_name, "common_name")
    return f"{scientific_name} ({known.fact.value})" if known else scientific_name


def _refuse_impossible(meaning: Meaning, field: str) -> None:
    count, length_cm = meaning.count, meaning.length_cm
    if count is not None and not 1 <= count <= MOST_OF_ONE_KIND:
        raise _beyond(field, f"a count of {count}", f"1 and {MOST_OF_ONE_KIND}", "Check the number.")
    if length_cm is not None and not SHORTEST_CM <= length_cm <= LONGEST_CM:
        limits = f"{SHORTEST_CM:g} and {LONGEST_CM:g} cm"
        raise _beyond(field, f"a length of {length_cm:g} cm", limits, "Check the length and its unit.")


def _beyond(field: str, given: str, limits: str, remedy: str) -> InputError:
    return InputError(field=field, given=given, limit=f"it must lie between {limits}", remedy=remedy)


def _as_input(fault: InputError | UnknownTaxonError) -> InputError:
    if isinstance(fault, InputError):
        return fault
    near = f"Did you mean {', '.join(fault.nearest)}?" if fault.nearest else "Write the scientific name."
    return InputError(
        field="an animal", given=fault.name, limit="it is not a name in the species table", remedy=near
    )
