"""What not to add, who fails first in a power cut, hazards and cautions."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import NotRow, PowerCut
from slackwater.rules import Rules
from slackwater.society.company import Individual, Party, Situation
from slackwater.society.growth import DAYS_PER_MONTH
from slackwater.society.harm import Mood
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.society.space import room_of, shortfall
from slackwater.tank.weights import stone_weight
from slackwater.taxa.facts import Species, load_facts
from slackwater.water.power_cut import hours


def length_after(wanted: Wanted, months: float) -> float:
    """Return the length of an animal some months after the start. [cm]"""
    animal = Individual(0, 0, replace(wanted, resident=False).party(0.0), 0)
    return animal.length_at(DAYS_PER_MONTH * months)


TEMPTING = (
    "Zebrasoma flavescens", "Zebrasoma xanthurum", "Acanthurus leucosternon", "Acanthurus sohal",
    "Paracanthurus hepatus", "Naso elegans", "Pseudocheilinus hexataenia", "Thalassoma lunare",
    "Centropyge bicolor", "Centropyge loricula", "Pomacanthus imperator", "Dascyllus trimaculatus",
    "Chrysiptera cyanea", "Amphiprion biaculeatus", "Amphiprion clarkii", "Pictichromis paccagnellorum",
    "Balistoides conspicillum", "Rhinecanthus aculeatus", "Pterois volitans", "Zanclus cornutus",
    "Chelmon rostratus", "Synchiropus splendidus", "Odonus niger", "Gramma loreto",
)  # fmt: skip


def not_to_add(question: Question, days: dict[str, float], rules: Rules, most: int = 6) -> tuple[NotRow, ...]:
    """Return popular animals that would break this tank, added last, each with its reason.

    Judged at search resolution in one rock layout.
    """
    facts = load_facts()
    here = {w.species.name for w in (*question.residents, *question.wishes)}
    base = question.situation(days, layouts=1)
    room = room_of(question.glass)
    large: list[NotRow] = []
    rows: list[NotRow] = []
    for name in TEMPTING:
        if name in here or name not in facts.species_names or len(rows) >= most:
            continue
        species = facts.species(name)
        if shortfall(species, room) > _MUCH_TOO_SMALL:
            need = f"outgrows this tank: an adult needs {species.number('min_length_cm'):.0f} cm"
            large.append(NotRow(name, species.common_name, need))
        elif reason := _breaks(base, species, rules):
            rows.append(NotRow(name, species.common_name, reason))
    return (*rows, *large[: max(most - len(rows), 2)])


_MUCH_TOO_SMALL = 0.25


def _breaks(base: Situation, species: Species, rules: Rules) -> str:
    last = max([0.0, *(p.day for p in base.parties)]) + 30.0
    added = Party(species, species.number("sale_length_cm"), day=last, key="added")
    situation = Situation(
        glass=base.glass,
        rockworks=base.rockworks,
        parties=(*base.parties, added),
        keeping=base.keeping,
        horizon_days=last + 365.0,
    )
    verdict = judge(situation, Settings(fine=False, draws=24), rules)
    return _reason(verdict, species)


def _reason(verdict: Judgement, species: Species) -> str:
    for (hunter, prey), p in verdict.eaten.items():
        if p >= verdict.rules["eaten_from"] and species.name in (hunter, prey):
            other = prey if hunter == species.name else hunter
            who = load_facts().species(other).common_name
            return f"eats {who}" if hunter == species.name else f"would be eaten by {who}"
    if verdict.mood is not Mood.IN_TROUBLE:
        return ""
    worst = max(verdict.lots, key=lambda lot: lot.p)
    by = max(worst.by, key=lambda s: worst.by[s])
    if species.name not in (by, worst.animal.species.name):
        return ""
    bully = load_facts().species(by).common_name
    return f"{bully} would not let {worst.animal.species.common_name} be"


def power_cut(question: Question) -> PowerCut:
    """Return how long the oxygen holds out without pumps, and who fails first."""
    company = (*question.residents, *question.wishes)
    rock_l = question.rockworks[0].displaced_l(question.glass)
    net = max(question.glass.volume_l - rock_l, 1.0)
    fish = [(w.species.mass_g(w.length_cm), 1.0) for w in company for _ in range(w.count)]
    found = hours(
        net,
        fish,
        surface_m2=question.glass.footprint_m2,
        temperature_c=question.temperature_c,
        salinity=question.salinity,
    )
    first = sorted(company, key=needs_oxygen, reverse=True)[:3]
    taken = (
        f"{question.temperature_c:.0f} C, {net:.0f} L, oxygen nearly full at first, trouble below "
        "3 mg/L; still surface; no feeding. Count on the lower figure"
    )
    names = tuple(dict.fromkeys(w.species.common_name for w in first))
    return PowerCut(found.low, found.high, taken, names)


def needs_oxygen(wanted: Wanted) -> float:
    """Return how early an animal suffers when oxygen falls, by how it swims and its size; an order only."""
    style = {"race": 3.0, "cruise": 2.0, "hover": 1.2, "dart": 1.0, "rest": 0.6}
    size = wanted.species.mass_g(wanted.length_cm)
    return style[wanted.species.word("swim_style")] * math.log1p(size)


def hazards(question: Question) -> tuple[str, ...]:
    """Return what can hurt a person in this tank, by animal."""
    company = (*question.residents, *question.wishes)
    told = [(w.species.common_name, w.species.text("hazard") or _venom(w.species)) for w in company]
    lines = _by_animal(told)
    if any(w.species.word("venom") in {"spines", "sting"} for w in company):
        lines.append(
            "A sting: out of the water, soak in water as hot as can be borne but never above 45 C, "
            "and see a doctor; faintness or trouble breathing is an emergency."
        )
    return tuple(lines)


def _venom(species: Species) -> str:
    word = species.word("venom")
    return "" if word == "none" else word


def _by_animal(told: Iterable[tuple[str, str]]) -> list[str]:
    """Return one line for each text, opened by all the animals that it holds for."""
    named: dict[str, dict[str, None]] = {}
    for name, text in told:
        if text:
            named.setdefault(text, {})[name] = None
    return [f"{_opening(', '.join(names))}: {text}" for text, names in named.items()]


def _opening(text: str) -> str:
    return text[:1].upper() + text[1:]


def _of_stones(question: Question) -> tuple[str, ...]:
    """Return a caution on the heaviest of the listed stones, if one person should not lift it."""
    glass, stones = question.glass, question.rockworks[0].stones
    heaviest = max(stones, key=lambda stone: stone.weight_kg, default=None)
    if heaviest is None or stone_weight(heaviest, glass).people == 1:
        return ()
    people = stone_weight(heaviest, glass).people
    return (f"Heaviest stone about {heaviest.weight_kg:.0f} kg: lift it over the rim with {people}.",)


def cautions(question: Question) -> tuple[str, ...]:
    """Return the usual cautions of this plan."""
    lines = [
        f"Water alone weighs about {1.024 * question.glass.volume_l:.0f} kg: check floor and stand.",
        *_of_stones(question),
        "Pumps and heaters unplugged before arms go in; a residual-current device; drip loops.",
        "Cover cuts; people with weak immune defence keep their hands out of the water.",
        "Never release an animal, rock or water into nature.",
        "Not veterinary advice: wounds, refusal to feed and treatment belong to a veterinarian.",
    ]
    if {"zoanthids", "soft corals"} & set(question.keeping.corals):
        lines.append("Rock with zoanthids: never scrub, boil or steam it (palytoxin).")
    company = (*question.residents, *question.wishes)
    lines += _by_animal((w.species.common_name, _law(w.species)) for w in company)
    if question.children:
        lines.append("Children in the house: lock the lid and the cabinet.")
    return tuple(dict.fromkeys(lines))


def _law(species: Species) -> str:
    law = species.text("law")
    if not law:
        return ""
    return f"{law}." if "local law" in law else f"{law}; check current local law."
