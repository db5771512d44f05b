"""The tank without power: hours of oxygen, who suffers first, what helps, how the water cools."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slackwater.plan.filter import net_l
from slackwater.plan.outlook import needs_oxygen
from slackwater.plan.question import Question, Wanted
from slackwater.plan.water_records import HelpLine, HourLine, LevelLine, PowerReport, SufferLine
from slackwater.rules import Rules
from slackwater.tank.shapes import Glass
from slackwater.water.cooling import cooling_e_fold_h, cooling_hours, temperature_c_after
from slackwater.water.parameters import high, low
from slackwater.water.power_cut import (
    USUAL,
    Case,
    RestingTank,
    hours,
    lasting_h,
    oxygen_mg_l_after,
    resting_tank,
    still_water,
)

LEVELS_MG_L = (4.0, 3.0, 2.3)
HOURS = tuple(float(hour) for hour in range(0, 25, 2))

_SWIMS = {
    "race": "swims fast all day",
    "cruise": "swims all day",
    "hover": "hovers in open water",
    "dart": "moves in bursts",
    "rest": "rests much",
}


@dataclass(frozen=True)
class _Air:
    """A battery air pump at its least and its most. [L/h]"""

    least_l_h: float
    most_l_h: float


@dataclass(frozen=True)
class _Cooling:
    """Water without heat in a room, and the times in which the distance falls to 37 %. [C, C, h]"""

    start_c: float
    room_c: float
    e_folds_h: tuple[float, float]

    def after_c(self, hour: float) -> tuple[float, float]:
        """Return the lower and the higher temperature after some hours. [C]"""
        ends = [temperature_c_after(self.start_c, self.room_c, hour, tau) for tau in self.e_folds_h]
        return min(ends), max(ends)


def power_report(question: Question, rules: Rules, room_c: float | None = None) -> PowerReport:
    """Return what a power cut does to the whole company, residents and wishes.

    Parameters
    ----------
    question
        The tank and everyone in it.
    rules
        What a battery air pump gives, what unfed fish use, how cold a room is thought to be.
    room_c
        Temperature of the room, if told. [C]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    Oxygen by `hours` at 4, 3 and 2.3 mg/L; 2.3 is about a third of what the water holds when full,
    where the least hardy reef fish that were measured can no longer hold their resting rate
    [nilsson2007].
    Cooling by `cooling_hours`; panes and surface only.
    """
    company = (*question.residents, *question.wishes)
    tank = _tank(question, company)
    room = rules["cold_room"] if room_c is None else room_c
    air = _Air(rules["air_pump.low"], rules["air_pump.high"])
    return PowerReport(
        levels=tuple(_level(tank, level) for level in LEVELS_MG_L),
        helps=_helps(tank, air, rules),
        suffer=suffering(company),
        hours=_hours(tank, air, _cooling(question, room)),
        room_c=room,
        cold_c=rules["cold_water"],
        cooling_h=_cooling_h(question, room, rules["cold_water"]),
        assumed=_assumed(question, company),
        in_range=tank.in_range,
    )


def suffering(company: Sequence[Wanted]) -> tuple[SufferLine, ...]:
    """Return the kinds in the order in which they suffer from want of oxygen, the first first."""
    ordered = sorted(company, key=needs_oxygen, reverse=True)
    first = {wanted.species.common_name: wanted for wanted in reversed(ordered)}
    names = dict.fromkeys(wanted.species.common_name for wanted in ordered)
    return tuple(SufferLine(name, _why(first[name])) for name in names)


def open_area_m2(glass: Glass) -> float:
    """Return the panes and the surface through which heat passes, the floor left out. [m2]"""
    return glass.panes_m2 + glass.footprint_m2


def _why(wanted: Wanted) -> str:
    mass_g = wanted.species.mass_g(wanted.length_cm)
    return f"{mass_g:.2g} g, {_SWIMS[wanted.species.word('swim_style')]}"


def _fish_g(company: Sequence[Wanted]) -> list[tuple[float, float]]:
    return [(wanted.species.mass_g(wanted.length_cm), 1.0) for wanted in company for _ in range(wanted.count)]


def _tank(question: Question, company: Sequence[Wanted]) -> RestingTank:
    return resting_tank(
        net_l(question),
        _fish_g(company),
        question.glass.footprint_m2,
        question.temperature_c,
        question.salinity,
    )


def _assumed(question: Question, company: Sequence[Wanted]) -> str:
    found = hours(
        net_l(question),
        _fish_g(company),
        surface_m2=question.glass.footprint_m2,
        temperature_c=question.temperature_c,
        salinity=question.salinity,
    )
    return found.assumed


def _level(tank: RestingTank, level_mg_l: float) -> LevelLine:
    to = replace(USUAL, level_mg_l=level_mg_l)
    low_h, high_h = sorted(lasting_h(tank, case, to) for case in (USUAL.hard, USUAL.easy))
    return LevelLine(level_mg_l, low_h, high_h)


def _helps(tank: RestingTank, air: _Air, rules: Rules) -> tuple[HelpLine, ...]:
    """Return what the hard case gains, so that nobody counts on the easy one."""
    hard = USUAL.hard
    unfed = replace(hard, fish_rate=rules["unfed_rate"])
    pump = (replace(hard, air_l_h=air.least_l_h), replace(hard, air_l_h=air.most_l_h))
    both = (replace(unfed, air_l_h=air.least_l_h), replace(unfed, air_l_h=air.most_l_h))
    return (
        _help(tank, "nothing done, fish fed or chased", (hard, hard)),
        _help(tank, "the last feed skipped, nobody chased", (unfed, unfed)),
        _help(tank, "a battery air pump", pump),
        _help(tank, "both", both),
    )


def _help(tank: RestingTank, what: str, cases: tuple[Case, Case]) -> HelpLine:
    low_h, high_h = sorted(lasting_h(tank, case) for case in cases)
    return HelpLine(what, low_h, high_h)


def _hours(tank: RestingTank, air: _Air, cooling: _Cooling) -> tuple[HourLine, ...]:
    aided = replace(USUAL.hard, air_l_h=air.least_l_h)
    waters = [still_water(tank, case) for case in (USUAL.hard, USUAL.easy, aided)]
    lines = []
    for hour in HOURS:
        hard, easy, helped = (oxygen_mg_l_after(water, hour) for water in waters)
        lines.append(HourLine(hour, hard, easy, helped, *cooling.after_c(hour)))
    return tuple(lines)


def _cooling(question: Question, room_c: float) -> _Cooling:
    volume_l, area_m2, start_c = net_l(question), open_area_m2(question.glass), question.temperature_c
    fast, slow = (
        cooling_e_fold_h(volume_l, area_m2, heat, start_c, question.salinity).value
        for heat in (high("glass_w_m2_k"), low("glass_w_m2_k"))
    )
    return _Cooling(start_c, room_c, (fast, slow))


def _cooling_h(question: Question, room_c: float, cold_c: float) -> tuple[float, float]:
    """Return the hours until the water is too cold; none if it is so now. [h]"""
    if question.temperature_c <= cold_c:
        return 0.0, 0.0
    tank = (net_l(question), open_area_m2(question.glass))
    return cooling_hours(tank, question.temperature_c, room_c, cold_c)
