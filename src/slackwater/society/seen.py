"""What can be seen in a tank: one small frozen record for each kind of thing.

Animals go by the tank file's own label. Impossible figures are refused here, so that no record
holds one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from slackwater.errors import InputError, shown

MOST_CHASES = 10_000
MOST_ANIMALS = 1_000
LONGEST_WATCH_MIN = 1_440.0
LONGEST_CM = 400.0


class ChaseKind(StrEnum):
    """How one animal turned on another, mildest first."""

    DISPLAY = "display"
    CHASE = "chase"
    BITE = "bite"
    LOCKED = "locked"


class Sign(StrEnum):
    """What can be seen on a body; no diagnosis."""

    SCRAPE = "scrape"
    TORN = "torn"
    TORN_TO_BASE = "torn to the base"
    WOUND = "wound"
    BLOOD = "blood"
    CLOUDY = "cloudy"
    SWOLLEN = "swollen"
    SPOTS = "spots"
    THIN = "thin"
    HEALED = "healed"


class BodyPart(StrEnum):
    """Where on a body."""

    EYE = "eye"
    MOUTH = "mouth"
    FIN = "fin"
    TAIL = "tail"
    FLANK = "flank"
    BELLY = "belly"
    GILL = "gill"
    WHOLE = "whole body"


class Manner(StrEnum):
    """How an animal carries itself."""

    OUT = "out and about"
    HIDES = "hides"
    PALE = "pale"
    PINNED = "pinned"
    LYING = "lying down"
    GASPING = "gasping at the surface"
    RUBBING = "rubbing itself"
    GLASS = "fights its reflection"


class BroodSign(StrEnum):
    """What tells of breeding."""

    COURTING = "courting"
    NEST = "cleans or digs a nest"
    EGGS = "eggs"
    FRY = "fry"


class Place(StrEnum):
    """Where an animal is kept apart."""

    BOX = "box in the tank"
    SUMP = "sump"
    ELSEWHERE = "another tank"


class Result(StrEnum):
    """What came of a remedy."""

    WORKED = "worked"
    HELPED = "helped"
    NO_CHANGE = "no change"
    WORSE = "made it worse"
    GIVEN_UP = "given up"


@dataclass(frozen=True)
class HeadCount:
    """A count at feeding: how many were seen, and who was not.

    With nobody named as missing, the count alone says whether all were there.
    """

    kind: ClassVar[str] = "count"
    count: int
    missing: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _within("count", self.count, 0, MOST_ANIMALS)


@dataclass(frozen=True)
class Chases:
    """How often one animal turned on another, in one way."""

    who: str
    whom: str
    count: int = 1
    how: ChaseKind = ChaseKind.CHASE

    def __post_init__(self) -> None:
        _within("count", self.count, 0, MOST_CHASES)
        if self.who == self.whom:
            remedy = "Name two animals; a mirror image is a note."
            raise _fault("whom", self.whom, "an animal does not chase itself", remedy)


@dataclass(frozen=True)
class Watch:
    """A tally: chases by all who were watched for some minutes.

    Whoever is not named as chasing did not chase, so a quiet watch is `Watch(10.0)`. With
    `watched_min` None the chases were seen in passing, and no rate can be read off them.
    The entry's time is when watching began.
    """

    kind: ClassVar[str] = "watch"
    watched_min: float | None
    chases: tuple[Chases, ...] = ()

    def __post_init__(self) -> None:
        if self.watched_min is not None:
            _within("watched_min", self.watched_min, 0.0, LONGEST_WATCH_MIN)
        elif not self.chases:
            remedy = "Say how long it was watched, or who chased whom."
            raise _fault("watched_min", "nothing", "nothing was seen and nobody watched", remedy)


@dataclass(frozen=True)
class Eating:
    """Whether an animal was seen to eat."""

    kind: ClassVar[str] = "eating"
    animal: str
    ate: bool = True
    food: str = ""


@dataclass(frozen=True)
class Breathing:
    """Beats of the gills at rest."""

    kind: ClassVar[str] = "breathing"
    animal: str
    breaths_per_min: float

    def __post_init__(self) -> None:
        _within("breaths_per_min", self.breaths_per_min, 1.0, 400.0)


@dataclass(frozen=True)
class Mark:
    """Something seen on a body."""

    kind: ClassVar[str] = "mark"
    animal: str
    part: BodyPart
    sign: Sign


@dataclass(frozen=True)
class Bearing:
    """How an animal carries itself: hiding, pinned, lying down, fighting its reflection."""

    kind: ClassVar[str] = "bearing"
    animal: str
    manner: Manner


@dataclass(frozen=True)
class Brood:
    """Signs of breeding."""

    kind: ClassVar[str] = "brood"
    animals: tuple[str, ...]
    sign: BroodSign


@dataclass(frozen=True)
class Length:
    """A length, measured or estimated."""

    kind: ClassVar[str] = "length"
    animal: str
    length_cm: float

    def __post_init__(self) -> None:
        _within("length_cm", self.length_cm, 0.1, LONGEST_CM)


@dataclass(frozen=True)
class WaterTest:
    """Readings of the water; what was not read is None. Nitrogen compounds count as nitrogen."""

    kind: ClassVar[str] = "water"
    temperature_c: float | None = None
    salinity: float | None = None
    ph: float | None = None
    tan_mg_l: float | None = None
    nitrite_mg_l: float | None = None
    nitrate_mg_l: float | None = None
    oxygen_mg_l: float | None = None
    dkh: float | None = None

    def __post_init__(self) -> None:
        told = {name: getattr(self, name) for name in _WATER_LIMITS}
        if all(value is None for value in told.values()):
            raise _fault("the water test", "empty", "it needs a reading", "Give one, such as ph=8.1.")
        for name, value in told.items():
            if value is not None:
                _within(name, value, *_WATER_LIMITS[name])


@dataclass(frozen=True)
class Feed:
    """Food given."""

    kind: ClassVar[str] = "feed"
    food: str = ""
    food_g: float | None = None
    stations: int = 1

    def __post_init__(self) -> None:
        _within("stations", self.stations, 1, 10)
        if self.food_g is not None:
            _within("food_g", self.food_g, 0.0, 100_000.0)


@dataclass(frozen=True)
class RockMoved:
    """Rock moved, added or taken out."""

    kind: ClassVar[str] = "rock"
    what: str = ""


@dataclass(frozen=True)
class KeptApart:
    """An animal put into a box, the sump or another tank for a time, or let back."""

    kind: ClassVar[str] = "apart"
    animal: str
    place: Place
    begins: bool = True


@dataclass(frozen=True)
class Divider:
    """A divider put in or taken out, and who is left and right of it."""

    kind: ClassVar[str] = "divider"
    begins: bool = True
    left: tuple[str, ...] = ()
    right: tuple[str, ...] = ()


@dataclass(frozen=True)
class Death:
    """An animal found dead, or so many of a group."""

    kind: ClassVar[str] = "death"
    animal: str
    count: int = 1

    def __post_init__(self) -> None:
        _within("count", self.count, 1, MOST_ANIMALS)


@dataclass(frozen=True)
class Missing:
    """An animal looked for and not seen."""

    kind: ClassVar[str] = "missing"
    animal: str


@dataclass(frozen=True)
class Sighted:
    """An animal seen, as after it was missed."""

    kind: ClassVar[str] = "sighted"
    animal: str
    where: str = ""


@dataclass(frozen=True)
class Release:
    """An animal, or so many of a kind, let go into the tank."""

    kind: ClassVar[str] = "release"
    animal: str
    count: int = 1
    length_cm: float | None = None

    def __post_init__(self) -> None:
        _within("count", self.count, 1, MOST_ANIMALS)
        if self.length_cm is not None:
            _within("length_cm", self.length_cm, 0.1, LONGEST_CM)


@dataclass(frozen=True)
class Removal:
    """An animal taken out for good."""

    kind: ClassVar[str] = "removal"
    animal: str
    count: int = 1
    where_to: str = ""

    def __post_init__(self) -> None:
        _within("count", self.count, 1, MOST_ANIMALS)


@dataclass(frozen=True)
class RemedyBegun:
    """A remedy begun: its rung of the ladder, for whom, against which pattern, and for how long."""

    kind: ClassVar[str] = "remedy begun"
    rung: str
    animals: tuple[str, ...] = ()
    pattern: str = ""
    trial_days: float | None = None

    def __post_init__(self) -> None:
        if self.trial_days is not None:
            _within("trial_days", self.trial_days, 0.0, 366.0)


@dataclass(frozen=True)
class RemedyEnded:
    """A remedy ended: `begun` is the number of the entry that began it."""

    kind: ClassVar[str] = "remedy ended"
    begun: int
    result: Result


@dataclass(frozen=True)
class Remark:
    """Nothing but the entry's note."""

    kind: ClassVar[str] = "note"


@dataclass(frozen=True)
class TakenBack:
    """The earlier entry that this one corrects does not hold, and nothing takes its place."""

    kind: ClassVar[str] = "taken back"


Seen = (
    HeadCount
    | Watch
    | Eating
    | Breathing
    | Mark
    | Bearing
    | Brood
    | Length
    | WaterTest
    | Feed
    | RockMoved
    | KeptApart
    | Divider
    | Death
    | Missing
    | Sighted
    | Release
    | Removal
    | RemedyBegun
    | RemedyEnded
    | Remark
    | TakenBack
)
"""All that an entry can be about."""

KINDS: dict[str, type[Seen]] = {seen.kind: seen for seen in Seen.__args__}
"""The record for each word of `kind`."""


_WATER_LIMITS = {
    "temperature_c": (-3.0, 45.0),
    "salinity": (0.0, 60.0),
    "ph": (4.0, 11.0),
    "tan_mg_l": (0.0, 100.0),
    "nitrite_mg_l": (0.0, 100.0),
    "nitrate_mg_l": (0.0, 1000.0),
    "oxygen_mg_l": (0.0, 40.0),
    "dkh": (0.0, 40.0),
}


def _within(name: str, value: float, lowest: float, highest: float) -> None:
    if not lowest <= value <= highest:
        limit = f"it must lie between {lowest:g} and {highest:g}"
        raise _fault(name, f"{value:g}", limit, "Check the number.")


def _fault(name: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=name, given=shown(given), limit=limit, remedy=remedy)
