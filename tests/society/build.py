"""Small tanks and parties for tests: coarse cells, few draws, nothing that needs long."""

from __future__ import annotations

import functools

from slackwater.rules import load_rules
from slackwater.society.company import Event, Individual, Keeping, Party, Sex, Situation
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.tank.rock import Rockwork, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import Species, load_facts

RULES = load_rules()
QUICK = Settings(fine=False, draws=16)

YELLOW_TANG = "Zebrasoma flavescens"
SCOPAS_TANG = "Zebrasoma scopas"
CLOWN = "Amphiprion ocellaris"
GRAMMA = "Gramma loreto"
ORCHID = "Pseudochromis fridmani"
CHROMIS = "Chromis viridis"
FIREFISH = "Nemateleotris magnifica"
DOMINO = "Dascyllus trimaculatus"
HUMBUG = "Dascyllus aruanus"
GROUPER = "Cephalopholis argus"


def fish(name: str) -> Species:
    return load_facts().species(name)


def altered(name: str, **traits: str | float) -> Species:
    """Return a species that is as the table says but for some traits."""
    species = Species(name, load_facts())
    for trait, value in traits.items():
        if isinstance(value, str):
            species._words[trait] = value
        else:
            species._numbers[trait] = value
    return species


def party(
    name: str, length_cm: float = 6.0, *, day: float = 0.0, count: int = 1, sex: Sex = Sex.UNKNOWN
) -> Party:
    return Party(fish(name), length_cm, day, count, sex)


@functools.cache
def glass(length_cm: float = 60.0, width_cm: float = 40.0, height_cm: float = 40.0) -> Glass:
    return Glass(Shape.RECTANGULAR, length_cm, width_cm, height_cm)


@functools.cache
def rock(word: str = "moderate", length_cm: float = 60.0, sand_cm: float = 5.0) -> Rockwork:
    return preset(word, glass(length_cm), sand_cm)


def tank(
    *parties: Party,
    length_cm: float = 60.0,
    rocks: str = "moderate",
    keeping: Keeping | None = None,
    events: tuple[Event, ...] = (),
) -> Situation:
    """Return a small tank, judged over half a year at the sizes given."""
    return Situation(
        glass=glass(length_cm),
        rockworks=(rock(rocks, length_cm),),
        parties=parties,
        keeping=keeping or Keeping(),
        events=events,
        horizon_days=180.0,
        grows=False,
    )


def animal(name: str, length_cm: float = 6.0, *, day: float = 0.0, sex: Sex = Sex.UNKNOWN) -> Individual:
    return tank(party(name, length_cm, day=day, sex=sex)).animals[0]


def judged(situation: Situation) -> Judgement:
    return judge(situation, QUICK, RULES)
