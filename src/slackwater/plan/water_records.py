"""What is said of a tank's water: records that the sheet, the terminal, the card and the JSON file show."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True)
class FilterNeeds:
    """What the filter asks of the releases.

    Parameters
    ----------
    gap_days
        Days between releases that the plan keeps to for its sake. [d]
    young_days, ripe_days
        The band from which it was taken, infinite where no wait helps. [d]
    is_young
        Whether the filter counts as young: little known of it, or not half a year old.
    too_large
        Numbers of the releases that are too large for it at once.
    present_mg_d
        Ammonia made by those who live there. [mg N/d]
    added_mg_d
        What each release adds. [mg N/d]
    largest_mg_d
        Most that the first release may add. [mg N/d]
    """

    gap_days: float
    young_days: float
    ripe_days: float
    is_young: bool
    too_large: tuple[int, ...]
    present_mg_d: float
    added_mg_d: tuple[float, ...]
    largest_mg_d: float


@dataclass(frozen=True)
class LoadLine:
    """What a company eats and gives off: now, with the wishes, and once grown."""

    when: str
    mass_g: float
    feed_g_d: float
    tan_mg_d: float
    tan_mg_l_d: float
    in_range: bool


@dataclass(frozen=True)
class NextAddition:
    """Most that may come next: as ammonia, as dry food, and as calm fish of 10 g."""

    filter: str
    added_mg_d: float
    feed_g_d: float
    fish_of_10_g: int


@dataclass(frozen=True)
class AmmoniaLine:
    """The ammonia of this water: its un-ionised share, and the totals at which two criteria are met."""

    ph: float
    ph_told: bool
    unionised_share: float
    four_days_mg_l: float
    hour_mg_l: float
    in_range: bool


@dataclass(frozen=True)
class ChangeLine:
    """Where nitrate settles, counted as NO3, and by how much alkalinity sinks, under weekly changes."""

    changed_share: float
    before_mg_l: float
    after_mg_l: float
    alkalinity_dkh: float


@dataclass(frozen=True)
class Drift:
    """What drifts in a week if nothing is done: nitrate as NO3, phosphate as PO4, alkalinity.

    `nitrate_most_mg_l` is nitrate if in the end all the protein fed decays [mg/L].
    """

    nitrate_mg_l: float
    nitrate_most_mg_l: float
    phosphate_mg_l: float
    alkalinity_dkh: float
    changes: tuple[ChangeLine, ...]


@dataclass(frozen=True)
class LevelLine:
    """Hours without pumps until the oxygen has fallen to a level, from a hard to an easy case."""

    level_mg_l: float
    hours_low: float
    hours_high: float


@dataclass(frozen=True)
class HelpLine:
    """Hours to 3 mg/L with one thing done; both of the hard case, from the least to the most it does."""

    what: str
    hours_low: float
    hours_high: float


@dataclass(frozen=True)
class SufferLine:
    """One kind of animal in the order in which they suffer, and why it stands there."""

    common_name: str
    why: str


@dataclass(frozen=True)
class HourLine:
    """The still tank some hours on; `aided_mg_l` is the hard case with a battery air pump."""

    hour: float
    hard_mg_l: float
    easy_mg_l: float
    aided_mg_l: float
    cold_c: float
    warm_c: float


@dataclass(frozen=True)
class PowerReport:
    """All that is worked out for a power cut.

    `cooling_h` are the hours until the water has cooled to `cold_c` in a room of `room_c`, infinite
    where it never does.
    """

    levels: tuple[LevelLine, ...]
    helps: tuple[HelpLine, ...]
    suffer: tuple[SufferLine, ...]
    hours: tuple[HourLine, ...]
    room_c: float
    cold_c: float
    cooling_h: tuple[float, float]
    assumed: str
    in_range: bool


@dataclass(frozen=True)
class WaterReport:
    """The water of one tank: load, next addition, ammonia, drift, oxygen and power cut.

    `oxygen_mg_l` is where the oxygen settles with pumps, from a hard to an easy case [mg/L].
    """

    title: str
    net_l: float
    system_l: float
    temperature_c: float
    salinity: float
    loads: tuple[LoadLine, ...]
    additions: tuple[NextAddition, ...]
    is_young: bool
    tested_mg_l_d: float | None
    ammonia: AmmoniaLine
    drift: Drift
    full_mg_l: float
    oxygen_mg_l: tuple[float, float]
    power: PowerReport
    assumed: tuple[str, ...]


@dataclass(frozen=True)
class Emergency:
    """One emergency: its name, and short orders in the order in which they are carried out."""

    title: str
    orders: tuple[str, ...]


@dataclass(frozen=True)
class CabinetCard:
    """The card on the cabinet, to be read by whoever is at home.

    Parameters
    ----------
    hours_low, hours_high
        Hours without pumps until the oxygen has fallen to 3 mg/L. [h]
    air_hours
        Hours in the hard case with a battery air pump at its least. [h]
    cold_hours
        Hours until a tank in a cold room is too cold, the shorter. [h]
    power
        What to do when the power fails, in order.
    first
        Who suffers first, the first first.
    others
        Other emergencies.
    hazards
        What can hurt a person in this tank.
    blanks
        What the keeper fills in by hand: telephone numbers and where things lie.
    """

    title: str
    tank: str
    hours_low: float
    hours_high: float
    air_hours: float
    cold_c: float
    room_c: float
    cold_hours: float
    power: Emergency
    first: tuple[str, ...]
    others: tuple[Emergency, ...]
    hazards: tuple[str, ...]
    blanks: tuple[str, ...]
    assumed: str
    foot: str


@dataclass(frozen=True)
class Clock:
    """One quarantine tank from its first arrival until all in it may leave; `restarts` of the clock."""

    tank: int
    first: dt.date
    until: dt.date
    restarts: tuple[dt.date, ...]


@dataclass(frozen=True)
class ReceivingCard:
    """How to choose, bag and let in, after a short and after a long journey, and what holds in quarantine."""

    choosing: tuple[str, ...]
    bags: tuple[str, ...]
    short_way: tuple[str, ...]
    long_way: tuple[str, ...]
    quarantine: tuple[str, ...]
