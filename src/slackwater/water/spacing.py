"""How far apart releases must be for the filter to keep up, and how much it bears at once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from slackwater.errors import InputError
from slackwater.water.ammonia import Criterion, WaterSample, tan_limit_mg_l
from slackwater.water.computed import CONCENTRATION_MG_L
from slackwater.water.nitrifiers import Filter, Group
from slackwater.water.nitrogen import NitrogenState, Step, follow, new_filter_state
from slackwater.water.parameters import number

LONGEST_GAP_DAYS = 60
_AFTERWARDS_DAYS = 60.0
_LONGEST_CYCLE_DAYS = 120
_CLEAR_MG_L = 0.1
_HALVINGS = 24


@dataclass(frozen=True)
class Releases:
    """What the tank bears today and what each release adds, in their order.

    Parameters
    ----------
    added_mg_l_d
        Ammonia that each release adds. [mg N/(L d)]
    present_mg_l_d
        Ammonia made by those who live there. [mg N/(L d)]

    Raises
    ------
    InputError
        If there is none, or a value is beyond all sense.
    """

    added_mg_l_d: tuple[float, ...]
    present_mg_l_d: float = 0.0

    def __post_init__(self) -> None:
        """Check every value."""
        CONCENTRATION_MG_L.check("present_mg_l_d", self.present_mg_l_d)
        for added in self.added_mg_l_d:
            CONCENTRATION_MG_L.check("added_mg_l_d", added)
        if not self.added_mg_l_d:
            raise InputError(
                field="added_mg_l_d",
                given="empty",
                limit="there must be a release",
                remedy="Enter what each release adds, in order.",
            )

    def steps(self, gap_days: float) -> list[Step]:
        """Return the releases as steps, so many days apart."""
        loads = list(accumulate(self.added_mg_l_d, initial=self.present_mg_l_d))[1:]
        return [Step(gap_days * place, load) for place, load in enumerate(loads)]


@dataclass(frozen=True)
class Keeps:
    """What one filter bears.

    Parameters
    ----------
    gap_days
        Least days between releases; 0 for a single one, infinite if no wait helps. [d]
    tan_peak_mg_l
        Highest ammonia then, or with the longest wait. [mg N/L]
    nitrite_peak_mg_l
        Highest nitrite then, or with the longest wait; in the sea a lesser harm than ammonia. [mg N/L]
    largest_first_mg_l_d
        Most that the first release may add. [mg N/(L d)]
    """

    gap_days: float
    tan_peak_mg_l: float
    nitrite_peak_mg_l: float
    largest_first_mg_l_d: float


@dataclass(frozen=True)
class Spacing:
    """The days between releases, from a ripe to a young filter, or with one that was tested.

    Parameters
    ----------
    ripe, young
        What either filter bears; equal where a dose test took the place of the assumption.
    tan_limit_mg_l
        Ammonia that the published criterion allows in this water. [mg N/L]
    assumed
        What was assumed, as a clause.
    in_range
        Whether all equations were fitted for this water.
    """

    ripe: Keeps
    young: Keeps
    tan_limit_mg_l: float
    assumed: str
    in_range: bool


def spacing(
    filter_: Filter,
    releases: Releases,
    water: WaterSample,
    *,
    criterion: Criterion = Criterion.FOUR_DAYS,
    tested_mg_l_d: float | None = None,
) -> Spacing:
    """Return how far apart releases must be for ammonia to stay under a published criterion.

    Parameters
    ----------
    filter_
        What oxidises, and in what water.
    releases
        What the tank bears and what each release adds.
    water
        pH, temperature and salinity as tested.
    criterion
        How long the ammonia may last.
    tested_mg_l_d
        Capacity from a dose test, `capacity_from_dose`, if there was one. [mg N/(L d)]

    Returns
    -------
    Spacing
        Days between releases from a ripe to a young filter.

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    `follow` with a daily mean load, the gap raised day by day until no peak after a release passes
    `tan_limit_mg_l` [epa1989]. Young: grown at 0.7 of the usual pace from a dose of 2 mg N/L and left
    until ammonia and nitrite are gone (assumed). Ripe: what the present load keeps alive, at least a
    quarter of what its area allows (assumed). A peak held against a mean of four days is on the safe side.
    Range: that of the equations. Check value: largest first loads of an outside solver, in the tests.

    Examples
    --------
    >>> found = spacing(Filter(300.0, 26.0), Releases((0.17,) * 4), WaterSample(8.1, 26.0, 35.0))
    >>> found.ripe.gap_days <= found.young.gap_days
    True
    """
    limit = tan_limit_mg_l(water, criterion)
    present = releases.present_mg_l_d
    if tested_mg_l_d is not None:
        CONCENTRATION_MG_L.check("tested_mg_l_d", tested_mg_l_d)
        ripe = young = _keeps(filter_, _tested(filter_, present, tested_mg_l_d), releases, limit.value)
        assumed = f"a filter that oxidises {tested_mg_l_d:.2g} mg N/L a day by its dose test"
    else:
        slow = slowed(filter_)
        ripe = _keeps(filter_, ripe_state(filter_, present), releases, limit.value)
        young = _keeps(slow, young_state(slow, present), releases, limit.value)
        assumed = f"a filter of {filter_.area_m2:g} m2, ripe or just cycled; a dose test would tell"
    in_range = limit.in_range and filter_.in_range
    return Spacing(ripe, young, limit.value, assumed, in_range)


def slowed(filter_: Filter) -> Filter:
    """Return a filter whose organisms grow at the pace of a young one."""
    ammonia, nitrite = (_slow(group) for group in (filter_.ammonia, filter_.nitrite))
    return replace(filter_, ammonia=ammonia, nitrite=nitrite)


def young_state(filter_: Filter, present_mg_l_d: float) -> NitrogenState:
    """Return a tank just cycled: at least so many days after its dose, and once the water is clear.

    With animals in it, its filter bears at least what they keep alive.
    """
    cycle = follow(
        filter_,
        new_filter_state(number("cycling_dose_mg_l")),
        [Step(0.0, 0.0)],
        range(_LONGEST_CYCLE_DAYS + 1),
    )
    clear = (cycle.tan_mg_l < _CLEAR_MG_L) & (cycle.nitrite_mg_l < _CLEAR_MG_L)
    waited = cycle.days >= number("cycling_days")
    ready = clear & waited
    cycled = cycle.at(int(ready.argmax()) if ready.any() else -1)
    return _bearing(filter_, present_mg_l_d, cycled.ammonia_capacity_mg_l_d, cycled.nitrite_capacity_mg_l_d)


def ripe_state(filter_: Filter, present_mg_l_d: float) -> NitrogenState:
    """Return a tank whose filter has borne its load for months, with the least that rock keeps alive."""
    share = number("ripe_share")
    least = [share * filter_.rates(group).largest_mg_l_d for group in (filter_.ammonia, filter_.nitrite)]
    return _bearing(filter_, present_mg_l_d, *least)


def largest_first_mg_l_d(
    filter_: Filter, start: NitrogenState, present_mg_l_d: float, limit_mg_l: float
) -> float:
    """Return the most that one release may add, for ammonia to stay at or below a limit.

    Parameters
    ----------
    filter_
        What oxidises, and in what water.
    start
        The tank on the day of the release.
    present_mg_l_d
        Ammonia made by those who live there. [mg N/(L d)]
    limit_mg_l
        Highest ammonia. [mg N/L]

    Returns
    -------
    float
        Load added, by halving; 0 if the present load is too much already. [mg N/(L d)]

    Examples
    --------
    >>> tank = Filter(300.0, 26.0)
    >>> cycle = follow(tank, new_filter_state(2.0), [Step(0.0, 0.0)], [0.0, 40.0])
    >>> round(largest_first_mg_l_d(tank, cycle.at(1), 0.0, 0.5), 2)
    0.19
    """
    low, high = 0.0, filter_.rates(filter_.ammonia).largest_mg_l_d
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        peak, _nitrite = _peaks(filter_, start, [Step(0.0, present_mg_l_d + middle)])
        low, high = (middle, high) if peak <= limit_mg_l else (low, middle)
    return low


def _keeps(filter_: Filter, start: NitrogenState, releases: Releases, limit_mg_l: float) -> Keeps:
    gap = _least_gap(filter_, start, releases, limit_mg_l)
    shown = gap if math.isfinite(gap) else float(LONGEST_GAP_DAYS)
    tan, nitrite = _peaks(filter_, start, releases.steps(shown))
    first = largest_first_mg_l_d(filter_, start, releases.present_mg_l_d, limit_mg_l)
    return Keeps(gap, tan, nitrite, first)


def _least_gap(filter_: Filter, start: NitrogenState, releases: Releases, limit_mg_l: float) -> float:
    gaps: Sequence[int] = range(1, LONGEST_GAP_DAYS + 1) if len(releases.added_mg_l_d) > 1 else [0]
    for gap in gaps:
        tan, _ = _peaks(filter_, start, releases.steps(gap))
        if tan <= limit_mg_l:
            return float(gap)
    return math.inf


def _peaks(filter_: Filter, start: NitrogenState, steps: Sequence[Step]) -> tuple[float, float]:
    """Return the highest ammonia and nitrite from the first step to two months after the last. [mg N/L]"""
    course = follow(filter_, start, steps, [steps[-1].day + _AFTERWARDS_DAYS])
    return max(p.mg_l for p in course.tan_peaks), max(p.mg_l for p in course.nitrite_peaks)


def _tested(filter_: Filter, present_mg_l_d: float, capacity_mg_l_d: float) -> NitrogenState:
    """Return a tank with a tested capacity for ammonia, and as much for nitrite (assumed)."""
    ammonia, nitrite = (filter_.rates(group) for group in (filter_.ammonia, filter_.nitrite))
    tan = ammonia.level_mg_l(present_mg_l_d, capacity_mg_l_d)
    brought = nitrite.level_mg_l(present_mg_l_d, capacity_mg_l_d)
    return NitrogenState(_level(tan), _level(brought), 0.0, capacity_mg_l_d, capacity_mg_l_d)


def _bearing(
    filter_: Filter, present_mg_l_d: float, ammonia_mg_l_d: float, nitrite_mg_l_d: float
) -> NitrogenState:
    """Return a tank that has settled under its present load, with at least the capacities given."""
    ammonia, nitrite = (filter_.rates(group) for group in (filter_.ammonia, filter_.nitrite))
    c_a = max(ammonia.settled_mg_l_d(present_mg_l_d), ammonia_mg_l_d)
    c_b = max(nitrite.settled_mg_l_d(present_mg_l_d), nitrite_mg_l_d)
    levels = ammonia.level_mg_l(present_mg_l_d, c_a), nitrite.level_mg_l(present_mg_l_d, c_b)
    return NitrogenState(_level(levels[0]), _level(levels[1]), 0.0, c_a, c_b)


def _level(mg_l: float) -> float:
    """Return a level that a filter settles at; one that it cannot bear begins at nothing and rises."""
    return mg_l if math.isfinite(mg_l) else 0.0


def _slow(group: Group) -> Group:
    return replace(group, growth_per_d=number("young_pace") * group.growth_per_d)
