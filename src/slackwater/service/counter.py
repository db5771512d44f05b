"""What is told at the counter in three facts, and the tank that is made of them.

What was not told is assumed; each assumption keeps the tanks that it might have been instead, so
that its cost can be worked out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from slackwater.errors import InputError
from slackwater.rules import load_rules
from slackwater.society.company import (
    LONG_AGO_DAYS,
    Event,
    Individual,
    Keeping,
    Party,
    Sex,
    Situation,
    resident_party,
)
from slackwater.tank.rock import VARIANTS, RockWord, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import Species, load_facts
from slackwater.taxa.names import Meaning

USUAL_LENGTH_CM = 100.0
USUAL_FEEDS = 2.0
SHORTEST_TANK_CM, LONGEST_TANK_CM = 20.0, 1500.0
NARROWEST_CM, WIDEST_CM = 15.0, 400.0
MOST_FEEDS = 24.0
NEARLY_GROWN = 0.85
_HORIZON_DAYS = 365.0


@dataclass(frozen=True)
class Told:
    """What was told of a tank; None is what was not.

    `since_days` is how long those who live there have been there, 0 if all go in on one day.
    """

    length_cm: float | None = None
    volume_l: float | None = None
    residents: tuple[str, ...] = ()
    rock: str | None = None
    feeds_per_day: float | None = None
    since_days: float | None = None
    lid: bool | None = None


@dataclass(frozen=True)
class Scene:
    """A tank, who lives in it, and who comes: everything before it is put to the model."""

    glass: Glass
    rock: str
    newcomers: tuple[Party, ...]
    residents: tuple[Party, ...]
    keeping: Keeping
    events: tuple[Event, ...] = ()
    layouts: int = VARIANTS

    def situation(self) -> Situation:
        """Return the question to the model, over the year after the release."""
        variants = range(1 if self.rock == RockWord.NONE else self.layouts)
        return Situation(
            glass=self.glass,
            rockworks=tuple(preset(self.rock, self.glass, variant=v) for v in variants),
            parties=(*self.residents, *self.newcomers),
            keeping=self.keeping,
            events=self.events,
            horizon_days=_HORIZON_DAYS,
        )

    @property
    def species_names(self) -> frozenset[str]:
        """The scientific names of all who live there or come."""
        return frozenset(party.species.name for party in (*self.residents, *self.newcomers))

    def sketched(self) -> Scene:
        """Return the tank with one layout of its rock in place of all, for a quick look."""
        return replace(self, layouts=1)

    def alone(self) -> Scene:
        """Return the tank as it is before anyone comes."""
        return replace(self, newcomers=())


@dataclass(frozen=True)
class Doubt:
    """Something not told: what was taken, what to ask, and what it might be instead.

    `fact` names what would have told it: a field of `Told`, or `wanted` or `residents` with a number.
    """

    what: str
    taken: str
    ask: str
    others: tuple[tuple[str, Scene], ...] = field(default=())
    fact: str = ""


def scene_of(
    told: Told, newcomers: tuple[Meaning, ...], residents: tuple[Meaning, ...]
) -> tuple[Scene, tuple[Doubt, ...]]:
    """Return the tank that was told of, and what had to be assumed.

    Parameters
    ----------
    told
        The facts of the tank.
    newcomers, residents
        Whom the words mean.

    Raises
    ------
    InputError
        If a size, the rock, the feeds or the days cannot be.
    """
    _refuse(told)
    glass = _glass(told)
    since = LONG_AGO_DAYS if told.since_days is None else float(told.since_days)
    scene = Scene(
        glass=glass,
        rock=told.rock.strip().lower() if told.rock else RockWord.MODERATE.value,
        newcomers=tuple(_newcomer(m, f"new {n}") for n, m in enumerate(newcomers)),
        residents=tuple(_resident(m, since, f"{n}") for n, m in enumerate(residents)),
        keeping=Keeping(feeds_per_day=told.feeds_per_day or USUAL_FEEDS, lid=told.lid is not False),
    )
    doubts = (*_doubts_of_tank(told, scene), *_doubts_of_animals(told, scene, newcomers, residents))
    return scene, doubts


def usual_glass(length_cm: float, volume_l: float | None = None) -> Glass:
    """Return a tank of usual make for its length; as wide as it is high.

    Notes
    -----
    side = 20 cm + length / 4, between 25 and 60 cm (common practice); with a volume told, the
    side that holds it.

    Raises
    ------
    InputError
        If the volume cannot be that of so long a tank.
    """
    side_cm = min(max(20.0 + 0.25 * length_cm, 25.0), 60.0)
    if volume_l is not None:
        side_cm = math.sqrt(1000.0 * volume_l / length_cm)
        most_cm = min(WIDEST_CM, 3.0 * length_cm)
        if not NARROWEST_CM <= side_cm <= most_cm:
            raise InputError(
                field="volume",
                given=f"{volume_l:g} L",
                limit=f"a tank {length_cm:g} cm long would be {side_cm:.0f} cm wide and high for it",
                remedy="Measure the length again, or ask for the volume.",
            )
    side_cm = round(side_cm, 1)
    return Glass(Shape.RECTANGULAR, length_cm, side_cm, side_cm)


def _refuse(told: Told) -> None:
    limits = (
        ("length", told.length_cm, SHORTEST_TANK_CM, LONGEST_TANK_CM, " cm"),
        ("volume", told.volume_l, 10.0, 1e6, " L"),
        ("feeds", told.feeds_per_day, 0.1, MOST_FEEDS, " a day"),
        ("since", told.since_days, 0.0, 36525.0, " days"),
    )
    for name, value, low, high, unit in limits:
        if value is not None and not low <= value <= high:
            raise InputError(
                field=name,
                given=f"{value:g}{unit}",
                limit=f"it must lie between {low:g} and {high:g}{unit}",
                remedy="Check the number and its unit.",
            )


def _glass(told: Told) -> Glass:
    if told.length_cm is None and told.volume_l is not None:
        length_cm = round((1000.0 * told.volume_l / 0.175) ** (1.0 / 3.0))
        return usual_glass(max(float(length_cm), SHORTEST_TANK_CM), told.volume_l)
    return usual_glass(told.length_cm or USUAL_LENGTH_CM, told.volume_l)


def _species(meaning: Meaning) -> Species:
    return load_facts().species(meaning.name)


def _sex_and_count(meaning: Meaning) -> tuple[Sex, int]:
    sex = Sex(meaning.sex or "unknown")
    if sex is Sex.PAIR and meaning.count not in {None, 2}:
        raise InputError(
            field="a pair",
            given=f"{meaning.count} animals",
            limit="a pair is two",
            remedy="Name each pair by itself, or leave the word pair out.",
        )
    return sex, 2 if sex is Sex.PAIR else meaning.count or 1


def _newcomer(meaning: Meaning, key: str) -> Party:
    species = _species(meaning)
    sex, count = _sex_and_count(meaning)
    length_cm = meaning.length_cm or species.number("sale_length_cm")
    untold = 0.0 if meaning.length_cm else load_rules()["spread.sold_length"]
    return Party(species, length_cm, 0.0, count, sex, key=key, length_sigma=untold)


def _resident(meaning: Meaning, since_days: float, key: str) -> Party:
    """Return residents as they were on the day of their release.

    Where no length is told, those of long ago are nearly grown, and others came at the usual size
    when sold. A length told is that of today.
    """
    species = _species(meaning)
    sex, count = _sex_and_count(meaning)
    adult_cm = species.number("adult_length_cm")
    if meaning.length_cm is None and since_days < LONG_AGO_DAYS:
        sold_cm = min(species.number("sale_length_cm"), adult_cm)
        untold = load_rules()["spread.sold_length"]
        return Party(species, sold_cm, -since_days, count, sex, key=key, length_sigma=untold)
    today_cm = meaning.length_cm or NEARLY_GROWN * adult_cm
    here = resident_party(species, today_cm, since_days, count=count, sex=sex, key=key)
    untold = 0.0 if meaning.length_cm else load_rules()["spread.grown_length"]
    return replace(here, length_sigma=untold)


def length_today_cm(party: Party) -> float:
    """Return the length of a party's first animal on the day of the check. [cm]"""
    return Individual(0, 0, party, 0).length_at(-party.day)


def _doubts_of_tank(told: Told, scene: Scene) -> tuple[Doubt, ...]:
    glass, found = scene.glass, []
    sides = f"{glass.width_cm:.0f} cm wide and high"
    if told.length_cm is None:
        taken = f"{glass.length_cm:.0f} cm long, {sides}"
        others = tuple(_longer(scene, told, share) for share in (0.75, 1.35))
        found.append(Doubt("length", taken, "How long is the tank inside?", others, "length_cm"))
    elif told.volume_l is None:
        ask = "How many litres does the tank hold?"
        found.append(Doubt("width and height", sides, ask, fact="volume_l"))
    if told.rock is None:
        others = tuple(
            (f"{word} rock", replace(scene, rock=word.value)) for word in (RockWord.SPARSE, RockWord.DENSE)
        )
        found.append(Doubt("rock", str(scene.rock), "How much rock is there?", others, "rock"))
    if told.feeds_per_day is None:
        once = replace(scene, keeping=replace(scene.keeping, feeds_per_day=1.0))
        taken = f"{USUAL_FEEDS:g} a day at one place"
        others = (("one feed a day", once),)
        found.append(Doubt("feeds", taken, "How often is it fed?", others, "feeds_per_day"))
    if told.lid is None:
        open_top = replace(scene, keeping=replace(scene.keeping, lid=False))
        others = (("no lid", open_top),)
        found.append(Doubt("lid", "a lid without gaps", "Is the tank covered?", others, "lid"))
    return tuple(found)


def _longer(scene: Scene, told: Told, share: float) -> tuple[str, Scene]:
    length_cm = 5.0 * round(share * scene.glass.length_cm / 5.0)
    glass = usual_glass(length_cm, told.volume_l)
    return f"{length_cm:.0f} cm", replace(scene, glass=glass)


def _doubts_of_animals(
    told: Told, scene: Scene, newcomers: tuple[Meaning, ...], residents: tuple[Meaning, ...]
) -> tuple[Doubt, ...]:
    found = []
    for n, (meaning, party) in enumerate(zip(newcomers, scene.newcomers, strict=True)):
        if meaning.length_cm is None:
            others = (_resized(scene, "newcomers", n, 1.4),)
            found.append(_size_doubt(party, party.length_cm, others, f"wanted {n}"))
    if residents and told.since_days is None:
        ask = "How long have the others been there?"
        found.append(Doubt("residents", f"there for {LONG_AGO_DAYS:.0f} days", ask, fact="since_days"))
    for n, (meaning, party) in enumerate(zip(residents, scene.residents, strict=True)):
        if meaning.length_cm is None:
            others = (_resized(scene, "residents", n, 1.4),)
            found.append(_size_doubt(party, length_today_cm(party), others, f"residents {n}"))
        if party.count == 2 and meaning.sex is None:  # noqa: PLR2004 - a pair is two
            found.append(_pair_doubt(scene, n))
    return tuple(found)


def _pair_doubt(scene: Scene, number: int) -> Doubt:
    residents = list(scene.residents)
    name = residents[number].species.common_name
    residents[number] = replace(residents[number], sex=Sex.PAIR)
    paired = replace(scene, residents=tuple(residents))
    ask = f"Are the two {name} a settled pair?"
    others = (("a settled pair", paired),)
    return Doubt(f"sex of {name}", "two of unknown sex", ask, others, f"residents {number}")


def _size_doubt(party: Party, length_cm: float, others: tuple[tuple[str, Scene], ...], fact: str) -> Doubt:
    name = party.species.common_name
    return Doubt(f"length of {name}", f"{length_cm:.1f} cm", f"How long is the {name}?", others, fact)


def _resized(scene: Scene, side: str, number: int, factor: float) -> tuple[str, Scene]:
    parties: list[Party] = list(getattr(scene, side))
    old = parties[number]
    parties[number] = replace(old, length_cm=factor * old.length_cm, length_sigma=0.0)
    today_cm = length_today_cm(parties[number])
    resized = (
        replace(scene, newcomers=tuple(parties))
        if side == "newcomers"
        else replace(scene, residents=tuple(parties))
    )
    return f"{today_cm:.1f} cm", resized
