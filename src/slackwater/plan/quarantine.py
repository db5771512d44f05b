"""Quarantine: clocks that restart, who may share a small bare tank, how long a tank stays without fish."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from slackwater.errors import InputError
from slackwater.plan.question import QuarantineRoom, Question, Wanted
from slackwater.plan.water_records import Clock
from slackwater.rules import Rules
from slackwater.society.company import Situation
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.water.parameters import high, low, number

USUAL_VOLUME_L = 60.0
_LONGEST_DAYS = 365
_BY_OTHERS = ("fought", "bitten", "eaten")


def restarted(arrivals: Sequence[dt.date], days: int, tank: int = 1) -> tuple[Clock, ...]:
    """Return the batches of one quarantine tank, its clock begun anew by each arrival among others.

    Parameters
    ----------
    arrivals
        Days on which something wet came into it: animals, rock, or a net from another tank.
    days
        Days that a batch stays after the last arrival. [d]
    tank
        Number of the tank.

    Returns
    -------
    tuple of Clock
        A new batch begins with an arrival after everyone has left.

    Raises
    ------
    InputError
        If no quarantine lasts so long.
    """
    if not 0 < days <= _LONGEST_DAYS:
        raise InputError(
            field="days",
            given=f"{days}",
            limit=f"it must lie between 1 and {_LONGEST_DAYS}",
            remedy="Enter the days of quarantine, for example 42.",
        )
    stay = dt.timedelta(days=days)
    clocks: list[Clock] = []
    for day in sorted(arrivals):
        if clocks and day < clocks[-1].until:
            running = clocks.pop()
            again = (*running.restarts, day) if day > running.first else running.restarts
            clocks.append(replace(running, until=max(day + stay, running.until), restarts=again))
        else:
            clocks.append(Clock(tank, day, day + stay, ()))
    return tuple(clocks)


def clocks(arrivals: Sequence[Sequence[dt.date]], days: int) -> tuple[Clock, ...]:
    """Return the batches of several tanks that share nothing wet, each with its own clock."""
    return tuple(
        clock for tank, some in enumerate(arrivals, start=1) for clock in restarted(some, days, tank)
    )


def small_glass(room: QuarantineRoom) -> Glass:
    """Return a quarantine tank twice as long as wide and high; 60 L where its volume is not told."""
    volume_l = room.volume_l or USUAL_VOLUME_L
    side_cm = (1000.0 * volume_l / 2.0) ** (1.0 / 3.0)
    return Glass(Shape.RECTANGULAR, 2.0 * side_cm, side_cm, side_cm)


def judged_in_quarantine(question: Question, items: Sequence[int], rules: Rules) -> Judgement | None:
    """Return how a batch fares between bare walls for the days of quarantine; None for a single animal.

    Parameters
    ----------
    question
        With a quarantine.
    items
        Numbers of the wishes that share the batch.
    rules
        The coefficients.

    Notes
    -----
    The model of the display in a bare tank of that volume, all put in on one day. Pipes, which would
    help, are left out: the judgement is on the safe side.
    """
    batch = [question.wishes[item] for item in items]
    if question.quarantine is None or sum(wanted.count for wanted in batch) == 1:
        return None
    glass = small_glass(question.quarantine)
    situation = Situation(
        glass=glass,
        rockworks=(preset("none", glass, 0.0),),
        parties=tuple(replace(wanted, box_days=0.0).party(0.0) for wanted in batch),
        keeping=question.keeping,
        horizon_days=float(question.quarantine.days),
    )
    return judge(situation, Settings.search(), rules)


def apart_in_quarantine(question: Question, items: Sequence[int], rules: Rules) -> str:
    """Return what a batch needs so that it does not fight in quarantine; empty if it may share."""
    verdict = judged_in_quarantine(question, items, rules)
    worst = "" if verdict is None else _pressed(verdict, rules)
    if verdict is None or not worst:
        return ""
    who = _listed([_all_of(question.wishes[item]) for item in items])
    return (
        f"in quarantine ({verdict.situation.glass.volume_l:.0f} L, bare) {who} would fight, {worst} worst "
        "off: a divider, or a tank for each, and a pipe for every animal"
    )


def quarantine_lines(question: Question) -> tuple[str, ...]:
    """Return what holds for quarantine and for a tank left without fish, with who says so."""
    days = question.quarantine.days if question.quarantine else round(low("fallow_practice_d"))
    cycle = number("trophont_d") + number("tomont_late_d") + number("swarmer_d")
    return (
        (
            f"Quarantine: {days} days after the last arrival; the clock restarts with every animal, stone or "
            f"wet net that comes in. Two turns of marine white spot at 25 C are {2 * cycle:.0f} days "
            "[colorni1985, cheung1979]."
        ),
        *(_clock_line(clock) for clock in (question.quarantine.clocks if question.quarantine else ())),
        "One pipe for each animal, bare floor, ammonia tested daily. Write down food taken and breathing.",
        _fallow_line(),
        (
            "Diagnosis and treatment are the veterinarian's, doses those of the label; invertebrates, "
            "sharks, rays and puffers: ask before anything goes into their water."
        ),
    )


def _clock_line(clock: Clock) -> str:
    again = f", begun anew on {_dates(clock.restarts)}" if clock.restarts else ""
    return (
        f"Quarantine tank {clock.tank}: in use from {clock.first.isoformat()}{again}; "
        f"free on {clock.until.isoformat()}."
    )


def _dates(days: Sequence[dt.date]) -> str:
    return _listed([day.isoformat() for day in days])


def fallow_days() -> tuple[int, int]:
    """Return the days without fish by the longest cyst of one study, and by the record. [d]"""
    swarmers = number("swarmer_d")
    longest = number("tomont_d") + swarmers
    record = number("tomont_record_d") + swarmers + number("fallow_margin_d")
    return round(longest), round(record)


def _fallow_line() -> str:
    longest, record = fallow_days()
    return (
        f"A tank after white spot without fish: {longest} days by the longest cyst of one study "
        f"[colorni1985], {record} by the latest swarmers on record and {number('fallow_margin_d'):.0f} days "
        f"more [colorni1997, from memory]; keepers wait {low('fallow_practice_d'):.0f} to "
        f"{high('fallow_practice_d'):.0f}. Shorter is a risk; cold water takes longer: "
        f"half the cysts were open by day {number('excysted_50_at_30_d'):.0f} at 30 C, a tenth by day "
        f"{number('excysted_10_at_20_d'):.0f} at 20 C [cheung1979]."
    )


def _pressed(verdict: Judgement, rules: Rules) -> str:
    """Return the name of whoever others harm most, if it is as much as a hard release; else nothing."""
    by_others = [max(lot.harm[cause] for cause in _BY_OTHERS) for lot in verdict.lots]
    worst = by_others.index(max(by_others))
    name = verdict.lots[worst].animal.species.common_name
    return name if by_others[worst] >= rules["hard_release"] else ""


def _all_of(wanted: Wanted) -> str:
    return f"{wanted.count} {wanted.species.common_name}" if wanted.count > 1 else wanted.species.common_name


def _listed(names: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)
