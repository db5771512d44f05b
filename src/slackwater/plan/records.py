"""The plan as one record: everything the terminal, the sheet, the calendar and the JSON file show."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Comfort:
    """How an animal fares: chance of harm over its worst 90 days, and who causes it.

    `harm` is the chance of each outcome (eaten, fought, bitten, outcompeted, cramped,
    unmet need, jumped), `p` their union. [0 to 1]
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
class RunStep:
    """One line of a run sheet for the evening of a hard release."""

    clock: str
    do: str


@dataclass(frozen=True)
class Release:
    """One dated introduction."""

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
class FeedingCard:
    """What, how often and where."""

    feeds_per_day: float
    stations: int
    lines: tuple[str, ...]
    stations_cm: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class PieceDrawing:
    """One rock piece to scale: centre and half sizes along its own axes, turned about the vertical."""

    kind: str
    centre_cm: tuple[float, float, float]
    half_cm: tuple[float, float, float]
    yaw_rad: float


@dataclass(frozen=True)
class HoleDrawing:
    """A hole in the rock."""

    centre_cm: tuple[float, float, float]
    width_cm: float
    exits: int


@dataclass(frozen=True)
class TankDrawing:
    """The tank as judged: inner sizes, water, rock. x runs left to right, y front to back, z up."""

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


@dataclass(frozen=True)
class PressureMap:
    """Attacks per hour on the worst-off animal by place, from above and from the front.

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
