"""Who lives in the tank, since when, and what is done to them: the question put to the model."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, field, replace
from enum import StrEnum

from slackwater.errors import InputError
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.taxa.facts import Species

LONG_AGO_DAYS = 180.0


class Sex(StrEnum):
    """Sex of a party; a pair is a settled mated pair."""

    UNKNOWN = "unknown"
    MALE = "male"
    FEMALE = "female"
    PAIR = "pair"


class Place(StrEnum):
    """Where an animal lives."""

    TANK = "tank"
    SUMP = "sump"


class Deed(StrEnum):
    """What is done to a running tank."""

    RESCAPE = "rescape"
    TAKE_OUT = "take out"


@dataclass(frozen=True)
class Party:
    """Animals of one species released on one day at one size.

    `day` is the day of release from the start of the plan (negative for residents), `box_days`
    the days spent in an acclimation box in the tank before it, `own_temper` and `own_sigma` what
    is known of this very animal's temper: a factor on its species' and its spread in ln.
    `length_sigma` is how uncertain its length is, in ln; 0 where it was told.
    """

    species: Species
    length_cm: float
    day: float = 0.0
    count: int = 1
    sex: Sex = Sex.UNKNOWN
    box_days: float = 0.0
    side: str | None = None
    place: Place = Place.TANK
    wild: bool = False
    key: str = ""
    own_temper: float = 1.0
    own_sigma: float | None = None
    length_sigma: float = 0.0


MOST_GROWN = 2.0


_SMALLER_SEX = {"female_first": Sex.FEMALE, "male_first": Sex.MALE}


def adult_length_cm(species: Species, sex: Sex) -> float:
    """Return the usual length of a full-grown animal of a sex. [cm]

    Notes
    -----
    Where sex goes by size the first sex stays the smaller; how much smaller is an estimate by family.
    """
    adult = species.number("adult_length_cm")
    smaller = _SMALLER_SEX.get(species.word("sex_change")) is sex
    return adult * species.number("smaller_sex_ratio") if smaller else adult


def resident_party(
    species: Species, today_cm: float, since_days: float, *, count: int = 1, sex: Sex, key: str
) -> Party:
    """Return residents as they were on the day of their release, from their length today.

    Parameters
    ----------
    species
        What they are.
    today_cm
        Length today, day 0 of the plan. [cm]
    since_days
        Days since their release. [d]
    count, sex, key
        As of any party.

    Notes
    -----
    Growth runs backwards; where that would be less than half of today's length, they are taken
    to have come when they were half as long.
    """
    to_go_cm = max(adult_length_cm(species, sex) - today_cm, 0.0)
    per_day = species.number("growth_k_per_year") / 365.0
    days = since_days
    if to_go_cm > 0.0:
        longest = math.log((to_go_cm + today_cm / MOST_GROWN) / to_go_cm) / per_day
        days = min(days, longest)
    then_cm = today_cm + to_go_cm - to_go_cm * math.exp(per_day * days)
    return Party(species, then_cm, -days, count, sex, key=key)


@dataclass(frozen=True)
class Event:
    """Something done on a day: the rock moved, or a species taken out of sight for some days."""

    day: float
    do: Deed
    species: str | None = None
    days: float = 0.0


@dataclass(frozen=True)
class Keeping:
    """How the tank is kept; a temperature or salinity not told is taken as suitable.

    `places_cm` is where food is given, if it was told [cm]; `stations_worth` how many stations those
    places are worth in the whole tank, left and right of a divider. [-]
    """

    feeds_per_day: float = 2.0
    stations: int = 1
    lid: bool = True
    lights_h: float = 10.0
    corals: tuple[str, ...] = ()
    inverts: tuple[str, ...] = ()
    food_both_ends: bool = False
    strong_first: bool = False
    temperature_c: float | None = None
    salinity: float | None = None
    places_cm: tuple[tuple[float, float, float], ...] = ()
    stations_worth: tuple[float, float, float] | None = None

    def stations_felt(self, side: str | None = None) -> float:
        """Return how many stations the places for food are worth to who lives on a side. [-]

        Without places, or where more are wanted than were told, every station counts in full.
        """
        if self.stations_worth is None or len(self.places_cm) != self.stations:
            return float(max(self.stations, 1))
        whole, left, right = self.stations_worth
        return {"left": left, "right": right}.get(side or "", whole)

    @property
    def has_host(self) -> bool:
        """Whether an anemone stands in the tank."""
        return "anemone" in self.inverts


@dataclass(frozen=True)
class Situation:
    """A tank, its rock as one or several possible layouts, and everyone in it.

    Where only a word for the rock is known, `rockworks` holds several layouts of that word and
    every answer is their mean. With `grows` false everyone stays at the size given. A divider stands
    across the tank at `divider_cm` from the left; through a clear one the two sides see each other. [cm]
    """

    glass: Glass
    rockworks: tuple[Rockwork, ...]
    parties: tuple[Party, ...]
    keeping: Keeping = field(default_factory=Keeping)
    events: tuple[Event, ...] = ()
    horizon_days: float = 365.0
    grows: bool = True
    divider_cm: float | None = None
    divider_clear: bool = False

    def __post_init__(self) -> None:
        """Check what the model cannot do without.

        Raises
        ------
        InputError
            If there is no rock layout at all.
        """
        if not self.rockworks:
            raise InputError(
                field="rock",
                given="nothing",
                limit="the model needs at least one layout",
                remedy="Give a word such as moderate, or none.",
            )

    @property
    def sand_cm(self) -> float:
        """Depth of sand where it is deepest. [cm]"""
        return self.rockworks[0].deepest_sand_cm

    def parts(self, one: Party, other: Party) -> bool:
        """Say whether a sheet or another place keeps two apart, so that neither reaches the other."""
        if one.place is not other.place:
            return True
        return bool(one.side and other.side and one.side != other.side)

    @functools.cached_property
    def animals(self) -> tuple[Individual, ...]:
        """Every single animal, in the order of the parties."""
        return tuple(
            Individual(index, p, party, number, self.grows)
            for index, (p, party, number) in enumerate(
                (p, party, number) for p, party in enumerate(self.parties) for number in range(party.count)
            )
        )

    def with_parties(self, parties: tuple[Party, ...]) -> Situation:
        """Return the same tank with other parties."""
        return replace(self, parties=parties)


@dataclass(frozen=True)
class Individual:
    """One animal: its place in the arrays, its party, and its number within the party."""

    index: int
    party_index: int
    party: Party
    number: int
    grows: bool = True

    @property
    def species(self) -> Species:
        """Its species."""
        return self.party.species

    @property
    def sex(self) -> Sex:
        """Its own sex; the first of a pair is the one that leads."""
        if self.party.sex is not Sex.PAIR:
            return self.party.sex
        leads_female = self.species.word("sex_change") == "male_first"
        first = self.number % 2 == 0
        return Sex.FEMALE if first == leads_female else Sex.MALE

    @functools.cached_property
    def length_cm(self) -> float:
        """Its length at release; the second of a settled anemonefish pair is the smaller. [cm]"""
        second = self.party.sex is Sex.PAIR and self.number % 2 == 1
        protandrous = self.species.word("sex_change") == "male_first"
        return self.party.length_cm * (0.8 if second and protandrous else 1.0)

    @property
    def adult_cm(self) -> float:
        """Its usual length once grown, which in the smaller sex of a kind is less. [cm]"""
        return adult_length_cm(self.species, self.sex)

    def length_at(self, days: float) -> float:
        """Return its length some days after release, by von Bertalanffy growth. [cm]

        Notes
        -----
        L(t) = Lmax - (Lmax - L0) exp(-k t), with Lmax the usual adult length of its sex in a tank
        and k the growth constant, measured for a few species, else estimated by family.
        """
        if not self.grows:
            return self.length_cm
        adult = max(self.adult_cm, self.length_cm)
        rate = self.species.number("growth_k_per_year") / 365.0
        return adult - (adult - self.length_cm) * math.exp(-rate * max(days, 0.0))
