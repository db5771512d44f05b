"""The parts of a tank file, glass and rock apart: what may stand in it, and within which limits.

The words are those of `tank` and `society`; a test holds the two together, so that a file with a
fault in it is answered without loading either.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal, Self, get_args

from pydantic import Field, StringConstraints, model_validator

from slackwater.service.tankfile_base import MOST_ENTRIES, Part
from slackwater.service.tankfile_values import (
    AnimalCm,
    Celsius,
    Clock,
    Day,
    Days,
    Gravity,
    Litres,
    Period,
    PlaceCm,
    Price,
    Salinity,
    SandCm,
    fault,
    gravity_meanings,
    one_of,
)

MOST_OF_ONE_KIND = 60

_MARKINGS = {"60/60": "60/60 F", "20/20": "20/20 C", "25/25": "25/25 C"}

GivenAt = Literal["floated", "sunk"]
Grain = Literal["fine", "medium", "coarse", "mixed"]
Hydrometer = Literal["60/60 F", "20/20 C", "25/25 C"]
Sex = Literal["male", "female", "pair", "unknown"]
Side = Literal["left", "right"]
Place = Literal["tank", "sump"]
Experience = Literal["first tank", "second tank", "experienced", "professional"]
Coral = Literal["SPS corals", "LPS corals", "soft corals", "zoanthids"]
Invert = Literal[
    "anemone",
    "cleaner shrimps",
    "pistol shrimp",
    "snails",
    "hermit crabs",
    "giant clams",
    "tube worms",
]
AnimalName = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=100)]


SHORT_FORMS: Mapping[str, tuple[Mapping[str, object], ...]] = {
    "Stations": (
        {"type": "integer", "minimum": 1, "maximum": 10},
        {"type": "array", "items": {"$ref": "#/$defs/Station"}, "maxItems": 10},
    ),
    "Sand": ({"type": ["string", "number"], "examples": ["5 cm", "none"]},),
    "Resident": ({"type": "string"},),
    "Wish": ({"type": "string"},),
}
"""What may stand in place of a whole block, as JSON Schemas."""


class Sand(Part):
    """What lies on the floor."""

    depth_cm: SandCm | None = Field(None, description="Depth of the sand; 0 for a bare floor.")
    grain: Annotated[Grain, one_of(get_args(Grain))] | None = Field(None, description="Size of the grain.")

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read `none` and `5 cm`."""
        if isinstance(given, str | int | float) and not isinstance(given, bool):
            return {"depth": 0 if given == "none" else given}
        return given


class Water(Part):
    """The water as it is kept."""

    temperature_c: Celsius | None = Field(None, description="Usual temperature.")
    salinity: Salinity | None = Field(None, description="Practical salinity.")
    specific_gravity: Gravity | None = Field(
        None, description="Reading of a glass hydrometer instead, at the usual temperature."
    )
    hydrometer: Annotated[Hydrometer, one_of(get_args(Hydrometer), _MARKINGS)] | None = Field(
        None, description="Temperatures that its scale is marked for."
    )
    ph: float | None = Field(None, ge=6.5, le=9.5, description="Usual pH.")
    running_since: Day | None = Field(None, description="Day on which the tank was first filled.")

    @model_validator(mode="after")
    def _gravity_has_its_scale(self) -> Self:
        """Ask for the scale of a hydrometer, without which its reading means several salinities."""
        if self.specific_gravity is None:
            return self
        if self.salinity is not None:
            remedy = "Leave one of the two out."
            raise fault(self.specific_gravity, "the salinity is told as well", remedy, "specific_gravity")
        meant = gravity_meanings(self.specific_gravity, self.temperature_c or 25.0)
        if self.hydrometer is None:
            told = ", ".join(f"{salinity:.0f} on {marking}" for marking, salinity in meant.items())
            limit = f"what it means depends on the scale: {told}"
            remedy = "Write hydrometer: 25/25 C, or what is printed on it."
            raise fault(self.specific_gravity, limit, remedy, "specific_gravity")
        return self

    @property
    def practical_salinity(self) -> float | None:
        """The salinity as told, or from the hydrometer, or None. [-]"""
        if self.specific_gravity is None or self.hydrometer is None:
            return self.salinity
        return gravity_meanings(self.specific_gravity, self.temperature_c or 25.0)[self.hydrometer]


class Arrival(Part):
    """Something wet that came into a quarantine tank."""

    day: Day = Field(description="Day on which it came.")
    tank: int = Field(1, ge=1, le=50, description="Number of the quarantine tank.")


class Quarantine(Part):
    """The keeper's quarantine."""

    tanks: int = Field(1, ge=0, le=50, description="Number of quarantine tanks.")
    volume_l: Litres | None = Field(None, description="Volume of each.")
    days: Days | None = Field(None, description="Days that an animal stays.")
    arrivals: tuple[Arrival, ...] = Field(
        (),
        max_length=MOST_ENTRIES,
        description="What has come into it already: each arrival starts the clock of its tank anew.",
    )

    @model_validator(mode="after")
    def _arrivals_have_their_tank(self) -> Self:
        for n, arrival in enumerate(self.arrivals, start=1):
            if arrival.tank > self.tanks:
                limit = f"there are {self.tanks} quarantine tanks"
                raise fault(arrival.tank, limit, "Count the tanks again.", f"arrivals[{n}].tank")
        return self


class Station(Part):
    """A place where food is given."""

    x_cm: PlaceCm = Field(description="How far it is from the left pane.")
    y_cm: PlaceCm = Field(description="How far it is from the front pane.")
    base_cm: PlaceCm | None = Field(
        None, description="How far above the floor; near the surface if left out."
    )


class Stations(Part):
    """Places where food is given at once: how many, or where each of them is."""

    count: int | None = Field(None, ge=1, le=10, description="How many.")
    places: tuple[Station, ...] = Field((), max_length=10, description="Where each of them is.")

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read a bare number, and a bare list of places."""
        if isinstance(given, list):
            return {"places": given}
        return given if isinstance(given, dict) else {"count": given}

    @model_validator(mode="after")
    def _one_way_to_say_it(self) -> Self:
        if self.count is not None and self.places and self.count != len(self.places):
            limit = f"{len(self.places)} places are listed"
            raise fault(self.count, limit, "Leave the count out.", "count")
        return self


class Keeping(Part):
    """How the tank is kept, and what else lives in it."""

    feeds_per_day: float | None = Field(None, ge=0.1, le=24.0, description="Feeds a day.")
    stations: Stations | None = Field(None, description="Places where food is given at once.")
    food: tuple[Annotated[GivenAt, one_of(get_args(GivenAt))], ...] = Field(
        (), max_length=2, description="Where it is given: floated at the top, sunk to the floor, or both."
    )
    strong_first: bool = Field(
        default=False, description="Whether the strong are fed first at one end, then the shy at the other."
    )
    lights_off: Clock | None = Field(None, description="Hour at which the lights go out.")
    corals: tuple[
        Annotated[Coral, one_of(get_args(Coral), {"sp": "SPS corals", "lp": "LPS corals"})], ...
    ] = Field((), max_length=MOST_ENTRIES, description="Corals in the tank.")
    inverts: tuple[Annotated[Invert, one_of(get_args(Invert))], ...] = Field(
        (), max_length=MOST_ENTRIES, description="Other invertebrates in the tank."
    )
    quarantine: Quarantine | None = Field(None, description="The keeper's quarantine, if there is one.")


class Keeper(Part):
    """Who looks after the tank, as far as it changes the advice."""

    experience: Annotated[Experience, one_of(get_args(Experience))] | None = Field(
        None, description="How long at it."
    )
    children: bool | None = Field(None, description="Whether children reach the tank.")
    pets: bool | None = Field(None, description="Whether pets reach the tank.")


class Seen(Part):
    """Chases that one animal was seen to deal, and for how long it was watched."""

    chases: int = Field(ge=0, le=10_000, description="How many chases it dealt.")
    minutes: float = Field(gt=0.0, le=100_000.0, description="How long it was watched. [min]")
    where: Literal["tank", "shop"] = Field("tank", description="In this tank, or in a shop's cube.")


class Animals(Part):
    """Animals of one kind that were or will be released together."""

    animal: AnimalName = Field(description="The name as the customer says it.")
    count: int = Field(1, ge=1, le=MOST_OF_ONE_KIND, description="How many.")
    sex: Annotated[Sex, one_of(get_args(Sex))] = Field(
        "unknown", description="A pair is a settled pair of two."
    )
    length_cm: AnimalCm | None = Field(None, description="Length from the snout to the end of the tail.")
    seen: Seen | None = Field(None, description="Chases counted of this very animal.")
    side: Annotated[Side, one_of(get_args(Side))] | None = Field(
        None, description="On which side of the divider."
    )
    place: Annotated[Place, one_of(get_args(Place))] = Field("tank", description="Where they live.")

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read a bare name, and a pair as two."""
        if isinstance(given, str):
            return {"animal": given}
        if isinstance(given, dict) and given.get("sex") == "pair":
            return {"count": 2, **given}
        return given

    @model_validator(mode="after")
    def _one_is_watched(self) -> Self:
        if self.seen is not None and self.count > 1:
            remedy = "Write the animal that was watched on a line of its own, and the others on another."
            raise fault(self.count, "chases are counted of one animal", remedy, "count")
        return self

    @model_validator(mode="after")
    def _pairs_are_two(self) -> Self:
        if self.sex == "pair" and self.count != 2:  # noqa: PLR2004 - a pair
            remedy = "Write a line for each pair, or leave the sex out."
            raise fault(self.count, "a pair is two", remedy, "count")
        return self


class Resident(Animals):
    """Animals that live in the tank now; no `since` means long ago."""

    since: Day | None = Field(None, description="Day of release.")
    released_together: bool = Field(True, description="Whether they were released on one day.")


class Wish(Animals):
    """Animals that the customer would like."""

    wish: float | None = Field(None, ge=0.0, le=10.0, description="How dear the wish is, up to 10.")
    price: Price | None = Field(None, description="Price of one.")
    box_days: float | None = Field(None, ge=0.0, le=60.0, description="Days in an acclimation box first. [d]")


class Limits(Part):
    """What the plan has to keep to."""

    start: Day | None = Field(None, description="First day on which something may be bought.")
    away: tuple[Period, ...] = Field((), max_length=MOST_ENTRIES, description="Periods with nobody there.")
    budget: Price | None = Field(None, description="Most that may be spent on animals.")
    releases: int | None = Field(None, ge=1, le=MOST_ENTRIES, description="Most releases, for a choice.")
    until: Day | None = Field(None, description="Last day for a release, for a choice.")
