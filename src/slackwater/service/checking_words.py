"""The sentences of a counter check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slackwater.society.company import Party, Sex
from slackwater.society.judge import Judgement, Lot
from slackwater.society.needs import lacking
from slackwater.tank.shapes import Glass
from slackwater.taxa.facts import Species, load_facts

if TYPE_CHECKING:
    from slackwater.service.check_records import Fare
    from slackwater.service.counter import Scene

_RARELY_PER_H = 0.1
_VENOM = {
    "spines": "Venomous spines: no bare hands, rigid container; if stung, see a doctor.",
    "bite": "Its bite is venomous: move it with a jar; if bitten, see a doctor.",
    "sting": "It stings: no bare hands; if stung, see a doctor.",
    "skin": "It can give off a skin poison: its own bag and its own water.",
    "flesh": "Its flesh is poisonous if eaten.",
}


@dataclass(frozen=True)
class Told:
    """What an answer is worded from."""

    who: str
    decision: str
    wait_days: int
    order: str
    conditions: tuple[str, ...]
    outgrown: str
    is_short_at_once: bool


def name_of(scientific_name: str) -> str:
    """Return the usual trade name of a species."""
    return load_facts().species(scientific_name).common_name


def counted(party: Party) -> str:
    """Return a party as it is spoken of: `2 ocellaris clownfish of 6 cm`."""
    name = party.species.common_name
    if party.sex is Sex.PAIR:
        name = f"a pair of {name}"
    elif party.count > 1:
        name = f"{party.count} {name}"
    sex = "" if party.sex in {Sex.UNKNOWN, Sex.PAIR} else f"{party.sex} "
    return f"{sex}{name} of {round(party.length_cm, 1):g} cm"


def order(scene: Scene) -> str:
    """Return after whom the newcomer goes in."""
    names = list(dict.fromkeys(p.species.common_name for p in scene.residents))
    if not names:
        return "as the first of the tank"
    if all(p.day == 0.0 for p in scene.residents):
        return f"on the same day as {listed(names)}"
    return f"last, after {listed(names)}"


def listed(names: Sequence[str], last: str = "and") -> str:
    """Return names with commas and a last "and"."""
    *others, final = names
    return f"{', '.join(others)} {last} {final}" if others else final


def answer(told: Told, as_it_is: str, as_made: str) -> str:
    """Return the answer as a sentence with day, order and condition."""
    day = f"in {told.wait_days} days at the earliest" if told.wait_days else "from today on"
    goes_in = f"{told.who} can go in {day}, {told.order}, once it eats well and its quarantine is over"
    later = f" But {told.outgrown[0].lower()}{told.outgrown[1:]}" if told.outgrown else ""
    if told.decision == "yes":
        return f"Yes: {goes_in}.{later}"
    if told.decision == "yes, if":
        ifs = listed(told.conditions)
        return f"Yes, if {ifs}: then {goes_in}. As it is, {as_it_is} With that, {as_made}{later}"
    why = told.outgrown if told.is_short_at_once else f"As it is, {as_it_is}"
    return f"Not this one, today or later: {told.who}, even {told.order}. {why}"


def fares(verdict: Judgement, lot: Lot, word: str, outcome: str, by: str | None) -> str:
    """Return how one animal fares, as a sentence."""
    name = lot.animal.species.common_name
    if word == "at ease" and lot.chases_per_h < _RARELY_PER_H:
        return f"{name} is at ease."
    own = by == lot.animal.species.name
    whom = "its own kind" if own else name_of(by) if by else "nobody in particular"
    often = _often(lot.chases_per_h)
    told = {
        "fought": f"chased {often}, most by {whom}",
        "bitten": f"bitten by {whom}",
        "eaten": f"likely to be eaten by {whom}" if word == "besieged" else f"at risk from {whom}",
        "outcompeted": "too slow at the food beside the others",
        "unmet need": f"short of {_needs(verdict, lot)}",
        "jumped": "apt to jump out of a tank without a lid",
    }
    return f"{name} is {word}: {told[outcome]}."


def _often(chases_per_h: float) -> str:
    if chases_per_h < _RARELY_PER_H:
        return "hardly ever"
    digits = 1 if chases_per_h < 10.0 else 0  # noqa: PLR2004 - two figures are enough
    return f"about {chases_per_h:.{digits}f} times an hour"


def _needs(verdict: Judgement, lot: Lot) -> str:
    lacks = lacking(lot.animal, verdict.situation)
    names = {
        "sand": "sand",
        "cover": "cover",
        "host": "a host",
        "company": "company of its own kind",
        "food": "its kind of food",
        "wild": "a tank-raised start",
    }
    missing = [names[need] for need, share in lacks.items() if share > 0.0]
    return listed(missing) if missing else "what it needs"


def outgrown(species: Species, glass: Glass, when: str) -> str:
    """Return that a tank is too small for an adult, and from when on."""
    adult = f"an adult of {species.number('adult_length_cm'):.0f} cm"
    size = f"{species.number('min_length_cm'):.0f} cm and {species.number('min_volume_l'):.0f} L"
    has = f"this tank has {glass.length_cm:.0f} cm and {glass.volume_l:.0f} L"
    return f"It outgrows this tank {when}: {adult} wants {size}; {has}."


def next_step(ways: list[str]) -> str:
    """Return what would make it work."""
    if not ways:
        return "Choose another animal: no single change of company or tank that was tried is enough."
    return f"It would work {listed(ways, 'or')}."


def come_back_if(new: Party, worst: Fare) -> str:
    """Return the signs that call for another talk."""
    about = "" if worst.is_newcomer else f" {worst.common_name} hides or stops eating,"
    return (
        f"Come back if{about} {new.species.common_name} does not eat by day 3, has torn fins, or is "
        "chased more than twice in ten minutes for five days."
    )


def cautions(species: Species) -> tuple[str, ...]:
    """Return what people and the law ask for; reminders, never rules."""
    venom = _VENOM.get(species.word("venom"), "")
    jumps = "It often jumps: cover every gap." if species.word("jumps") == "often" else ""
    hazard, law = species.text("hazard"), species.text("law")
    told = (
        venom if not hazard else f"Care: {hazard.rstrip('.')}.",
        f"Law: {law.rstrip('.')}." if law else "",
        jumps,
    )
    return tuple(text for text in told if text)


def nipping(likely: Sequence[str], possible: Sequence[str]) -> tuple[str, ...]:
    """Return what the newcomer may do to corals and invertebrates."""
    if not likely and not possible:
        return ()
    parts = []
    if likely:
        parts.append(f"is likely to pick at {listed(likely)}")
    if possible:
        parts.append(f"may pick at {listed(possible)}")
    return (f"It {'; it '.join(parts)}.",)
