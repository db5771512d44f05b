"""The plan as one record: everything the terminal, the sheet, the calendar and the JSON file show."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from slackwater.plan.shelter_records import ShelterCard
from slackwater.plan.water_records import FilterNeeds, ReceivingCard


@dataclass(frozen=True)
class Comfort:
    """How an animal fares: chance of harm over its worst 90 days, and who causes it.

    `harm` is the chance of each outcome (eaten, fought, bitten, outcompeted, cramped,
    unmet need, jumped), `p` their union. [0 to 1] Nine in ten draws of individuals, of what was
    not told and of the coefficients lie between `low` and `high`, and between the two counts of
    chases; `sure` says how many agree on whether it copes: sure, fairly sure, unsure.
    """

    p: float
    word: str
    harm: dict[str, float]
    chases_per_hour: float
    worst_from: str | None
    sentence: str
    low: float = 0.0
    high: float = 1.0
    two_outcomes: bool = False
    chases_low_per_hour: float = 0.0
    chases_high_per_hour: float = 0.0
    sure: str = ""


@dataclass(frozen=True)
class AnimalLine:
    """One row of the company: a single animal or a group of one species released together."""

    key: str
    said: str
    scientific_name: str
    common_name: str
    count: int
    sex: str | None
    length_cm: float
    adult_length_cm: float
    form: str
    body_depth_ratio: float
    resident: bool
    wish: float
    price: str | None
    comfort: Comfort
    homes_cm: tuple[tuple[float, float, float], ...]
    assumed: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    home_kind: str = "cave"


@dataclass(frozen=True)
class Assumption:
    """Something not told, what was taken instead, and what that costs."""

    what: str
    taken: str
    cost: str


@dataclass(frozen=True)
class OrderCount:
    """How many orders of release there are: all, those that keep every "before", and the best.

    `best` share the least sum of pair costs, counted up to 1000. Nothing is counted beyond 16 releases.
    """

    every: int
    kept: int
    best: int


@dataclass(frozen=True)
class RunStep:
    """One line of a run sheet for the evening of a hard release."""

    clock: str
    do: str


@dataclass(frozen=True)
class Release:
    """One dated introduction; `deeds` are done to the tank on that day."""

    number: int
    date: dt.date
    keys: tuple[str, ...]
    title: str
    quarantine_from: dt.date | None
    quarantine_to: dt.date | None
    box_days: int
    reason: str
    go_when: str
    wait_if: str
    hard: bool
    run_sheet: tuple[RunStep, ...] = ()
    place: str = ""
    quarantine_note: str = ""
    choosing: tuple[str, ...] = ()
    bags: tuple[str, ...] = ()
    deeds: tuple[str, ...] = ()


@dataclass(frozen=True)
class Before:
    """An "A before B" that matters, and why."""

    first: str
    then: str
    reason: str
    gain: float


@dataclass(frozen=True)
class Stage:
    """The tank after one release, judged as it stands then."""

    date: dt.date
    after: str
    mood: str
    worst: str
    p: float


@dataclass(frozen=True)
class WatchRow:
    """One level of the watching card."""

    level: str
    see: str
    do: str


@dataclass(frozen=True)
class Rung:
    """One step of the ladder of remedies."""

    number: int
    do: str
    trial: str
    stop: str


@dataclass(frozen=True)
class AheadRow:
    """The years ahead: one look at the grown company."""

    months: int
    text: str


@dataclass(frozen=True)
class NotRow:
    """A tempting animal that would break this tank."""

    scientific_name: str
    common_name: str
    reason: str


@dataclass(frozen=True)
class PowerCut:
    """Hours the water holds out without pumps, with what was assumed."""

    hours_low: float
    hours_high: float
    assumed: str
    first_to_fail: tuple[str, ...]


@dataclass(frozen=True)
class FedRow:
    """How one party is fed, and what the race leaves it at the keeper's own feeds and stations.

    `foods_g_d` is food as fed by name [g/d], `mass_g` the mass of all its animals [g], `missed` the
    share of need that the worst-off goes without [0 to 1], `of_meal` the share of all food that
    reaches the party [0 to 1], `keeps_weight_from` the fewest feeds a day from which all of it keep
    their weight at the card's stations, None where no number does [1/d], `live_a_day` how many
    copepods would be all its food, 0 for those that do not live on them [1/d].
    """

    key: str
    common_name: str
    count: int
    mass_g: float
    foods_g_d: dict[str, float]
    missed: float
    of_meal: float
    keeps_weight_from: int | None
    how: str
    in_range: bool = True
    live_a_day: int = 0

    @property
    def food_g_d(self) -> float:
        """All its food as fed. [g/d]"""
        return sum(self.foods_g_d.values())


@dataclass(frozen=True)
class FeedingCard:
    """What, how often and where.

    `portions` says the day's food in cubes, sheets and strips by name; `protein_g_d` is the protein
    in it [g/d], `nitrogen_mg_d` the ammonia nitrogen that comes of it [mg N/d].
    """

    feeds_per_day: float
    stations: int
    lines: tuple[str, ...]
    stations_cm: tuple[tuple[float, float, float], ...]
    rows: tuple[FedRow, ...] = ()
    slowest: str = ""
    keeps_weight_from: int | None = None
    short_beside_full: tuple[str, ...] = ()
    portions: dict[str, float] = field(default_factory=dict)
    protein_g_d: float = 0.0
    nitrogen_mg_d: float = 0.0

    @property
    def food_g_d(self) -> float:
        """All the food of a day as fed. [g/d]"""
        return sum(row.food_g_d for row in self.rows)


@dataclass(frozen=True)
class SitterCard:
    """The page of whoever looks after the tank while nobody is there.

    `periods` are first and last days away, `packets` one for each feed of all of them, `heads` the
    animals to count at feeding.
    """

    periods: tuple[tuple[dt.date, dt.date], ...]
    feeds_per_day: float
    packets: int
    packet_g: float
    packet: str
    heads: tuple[tuple[int, str], ...]
    do: tuple[str, ...]
    leave: tuple[str, ...]
    hazards: tuple[str, ...]


@dataclass(frozen=True)
class GrowthLine:
    """How animals of one party and sex grow, by months from the start of the plan.

    Lengths are those of one animal at the usual pace, and at half and 1.3 times that pace [cm];
    masses at the usual pace [g].
    """

    key: str
    common_name: str
    scientific_name: str
    sex: str
    count: int
    form: str
    body_depth_ratio: float
    months: tuple[int, ...]
    length_cm: tuple[float, ...]
    low_cm: tuple[float, ...]
    high_cm: tuple[float, ...]
    mass_g: tuple[float, ...]


@dataclass(frozen=True)
class Milestone:
    """Something that growth brings, and the day on which to be reminded of it.

    `key` is the animal's, `other` that of the animal it concerns besides.
    """

    date: dt.date
    kind: str
    key: str
    title: str
    text: str
    other: str = ""


@dataclass(frozen=True)
class PieceDrawing:
    """One body of rock to scale: centre and half sizes along its own axes, turned, then tilted.

    `form` is what the keeper calls the stone that it belongs to, `stone` the number of that stone.
    """

    kind: str
    centre_cm: tuple[float, float, float]
    half_cm: tuple[float, float, float]
    yaw_rad: float
    tilt_rad: float = 0.0
    form: str = "rock"
    stone: int | None = None


@dataclass(frozen=True)
class HoleDrawing:
    """A hole in the rock."""

    centre_cm: tuple[float, float, float]
    width_cm: float
    exits: int


@dataclass(frozen=True)
class BodyDrawing:
    """One animal to scale at its home: outline word, length [cm], depth over standard length [-]."""

    common_name: str
    form: str
    length_cm: float
    body_depth_ratio: float
    home_cm: tuple[float, float, float]


@dataclass(frozen=True)
class TankDrawing:
    """The tank as judged: inner sizes, water, rock. x runs left to right, y front to back, z up.

    `outline_cm` is the inner edge from above where that is no rectangle, `edges_cm` where upright
    edges show from the front, `overflow_cm` the middle and size of an overflow box;
    `sheet_cm` is how far a divider stands from the left pane. [cm]
    """

    shape: str
    length_cm: float
    width_cm: float
    height_cm: float
    net_l: float
    rock_word: str
    rock_kg: float
    sand_cm: float
    lid: bool
    pieces: tuple[PieceDrawing, ...]
    holes: tuple[HoleDrawing, ...]
    outline_cm: tuple[tuple[float, float], ...] = ()
    edges_cm: tuple[float, ...] = ()
    overflow_cm: tuple[float, float, float, float] | None = None
    sheet_cm: float | None = None


@dataclass(frozen=True)
class PressureMap:
    """Attacks per hour on one animal, or the most on any of the company, by place.

    Seen from above and from the front.

    `top[iy][ix]` (row 0 = front glass) and `front[iz][ix]` (row 0 = floor) are the mean over the
    hidden axis. [1/h]; `nan` where there is no water.
    """

    cell_cm: float
    top: tuple[tuple[float, ...], ...]
    front: tuple[tuple[float, ...], ...]
    whose: str
    quiet_share: float


@dataclass(frozen=True)
class Clash:
    """Animals that no order lets live together, and what would settle it."""

    keys: tuple[str, ...]
    sentence: str
    settle: tuple[str, ...]
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Citation:
    """A source as it is printed."""

    key: str
    text: str


@dataclass(frozen=True)
class Plan:
    """A whole plan."""

    title: str
    number: str
    made_on: dt.date
    start: dt.date
    tank: TankDrawing
    animals: tuple[AnimalLine, ...]
    mood: str
    verdict: str
    watch_points: tuple[tuple[str, str], ...]
    releases: tuple[Release, ...]
    befores: tuple[Before, ...]
    orders: OrderCount | None
    proof: str
    stages: tuple[Stage, ...]
    assumptions: tuple[Assumption, ...]
    question: str
    worst_key: str
    pressure: PressureMap | None
    feeding: FeedingCard
    watching: tuple[WatchRow, ...]
    ladder: tuple[Rung, ...]
    ahead: tuple[AheadRow, ...]
    not_to_add: tuple[NotRow, ...]
    out_of_order: str
    takes_back: str
    power_cut: PowerCut | None
    hazards: tuple[str, ...]
    cautions: tuple[str, ...]
    uncertain: tuple[str, ...]
    sources: tuple[Citation, ...]
    clashes: tuple[Clash, ...] = field(default_factory=tuple)
    left_out: tuple[str, ...] = ()
    no_order_bearable: bool = False
    sitter: SitterCard | None = None
    growth: tuple[GrowthLine, ...] = ()
    milestones: tuple[Milestone, ...] = ()
    filter: FilterNeeds | None = None
    receiving: ReceivingCard | None = None
    shelter: ShelterCard | None = None
