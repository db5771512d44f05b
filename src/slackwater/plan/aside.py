"""An animal held aside, in the sump or a second tank: how it fares there, and what its leave does."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from slackwater.errors import InputError
from slackwater.plan.dividing import chances, worst_name
from slackwater.plan.outlook import hazards
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import days_of, with_best_order
from slackwater.plan.sheet_design import body_cm
from slackwater.rules import Rules
from slackwater.society.company import Keeping, Place, Situation
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.society.space import room_of, shortfall, too_small
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sheets import Opening, passing_cm

USUAL_SUMP_SHARE = 0.5
_DEEP_PER_LENGTH = 0.5
_SPARED = 0.03


class Hold(StrEnum):
    """Where an animal is held aside."""

    SUMP = "sump"
    SECOND_TANK = "second tank"


@dataclass(frozen=True)
class AsideAsked:
    """Who is held aside, where, for how long [d], and the inner size of the place if it is known.

    `days` is None for good.
    """

    key: str
    hold: Hold = Hold.SUMP
    glass: Glass | None = None
    days: float | None = 14.0


@dataclass(frozen=True)
class HeldRow:
    """How one line of animals fares in the place where it is held. [0 to 1]"""

    key: str
    common_name: str
    length_cm: float
    p: float
    word: str
    lacks: float
    sentence: str


@dataclass(frozen=True)
class Aside:
    """What it means to hold an animal aside.

    `p_before` and `p_after` are the worst-off animal's chance of harm in the tank before and without
    it; `claim_left` is the share of its ownership that outlasts its absence. [0 to 1]
    """

    asked: AsideAsked
    common_name: str
    place: Glass
    size_assumed: bool
    held: tuple[HeldRow, ...]
    p_before: float
    p_after: float
    worst_before: str
    worst_after: str
    claim_left: float
    guard_cm: float
    turnover_l_h: float
    lid: str
    meaning: tuple[str, ...]
    cautions: tuple[str, ...]


def hold_aside(question: Question, asked: AsideAsked, rules: Rules) -> Aside:
    """Return what it means to hold one line of animals aside.

    Parameters
    ----------
    question
        The tank and its company.
    asked
        Who, where and for how long.
    rules
        The coefficients.

    Raises
    ------
    InputError
        If nobody has this key.
    """
    lines = (*question.residents, *question.wishes)
    wanted = next((w for w in lines if w.key == asked.key), None)
    if wanted is None:
        raise InputError(
            field="who is held aside",
            given=asked.key or "nobody",
            limit="nobody of the company goes by that",
            remedy="Name an animal of the company or the wishes.",
        )
    fixed = with_best_order(question, rules)
    before = _judged(fixed, rules)
    after = _judged(_without(fixed, asked.key), rules)
    place = asked.glass or _usual_place(question, asked.hold)
    here = [w for w in lines if w.place is Place.SUMP and asked.hold is Hold.SUMP and w.key != asked.key]
    held = _held((wanted, *here), question, place, asked, rules)
    return Aside(
        asked=asked,
        common_name=wanted.species.common_name,
        place=place,
        size_assumed=asked.glass is None,
        held=held,
        p_before=before.worst_p,
        p_after=after.worst_p if after.lots else 0.0,
        worst_before=worst_name(before),
        worst_after=worst_name(after) if after.lots else "",
        claim_left=0.0 if asked.days is None else math.exp(-asked.days / rules["absence_days"]),
        guard_cm=min(_guard_cm(w, rules) for w in (wanted, *here)),
        turnover_l_h=rules["turnover_per_h"] * place.volume_l,
        lid=_lid(wanted),
        meaning=tuple(_meaning(wanted, asked, held, rules)),
        cautions=(*CAUTIONS[asked.hold], *hazards(question)),
    )


def bears_the_sump(question: Question, wanted: Wanted, rules: Rules) -> bool:
    """Return whether a line of animals could live in the sump for good, beside who is there already.

    It needs room there once grown, and all there must bear their lot.
    """
    here = (w for w in (*question.residents, *question.wishes) if w.place is Place.SUMP)
    place, asked = _usual_place(question, Hold.SUMP), AsideAsked(wanted.key, Hold.SUMP, days=None)
    held = _held((wanted, *here), question, place, asked, rules)
    has_room = not too_small(wanted.species, room_of(place), rules)
    return has_room and all(row.p < rules["bearable"] for row in held)


def _judged(question: Question, rules: Rules) -> Judgement:
    situation = question.situation(days_of(question, rules), layouts=1)
    here = tuple(p for p in situation.parties if p.place is Place.TANK)
    return judge(situation.with_parties(here), Settings.search(), rules)


def _without(question: Question, key: str) -> Question:
    return replace(
        question,
        residents=tuple(w for w in question.residents if w.key != key),
        wishes=tuple(w for w in question.wishes if w.key != key),
    )


def _usual_place(question: Question, hold: Hold) -> Glass:
    """Return the place where none was told: half of the sump's water, or of a tank of 60 L; assumed."""
    litres = USUAL_SUMP_SHARE * question.sump_l if hold is Hold.SUMP and question.sump_l else 60.0
    length = (1000.0 * litres / _DEEP_PER_LENGTH**2) ** (1.0 / 3.0)
    across = _DEEP_PER_LENGTH * length
    return Glass(Shape.RECTANGULAR, round(length, 1), round(across, 1), round(across, 1))


def _held(
    lines: tuple[Wanted, ...], question: Question, place: Glass, asked: AsideAsked, rules: Rules
) -> tuple[HeldRow, ...]:
    """Return how everyone there fares between bare panes with a lid and pipes to hide in."""
    days = asked.days if asked.days is not None else 365.0
    parties = tuple(
        replace(replace(w, resident=False).party(0.0), place=Place.TANK, side=None) for w in lines
    )
    keeping = Keeping(
        feeds_per_day=question.keeping.feeds_per_day,
        temperature_c=question.keeping.temperature_c,
        salinity=question.keeping.salinity,
    )
    rock = preset("none", place, 0.0)
    verdict = judge(
        Situation(place, (rock,), parties, keeping, horizon_days=max(days, 1.0)), Settings.search(), rules
    )
    fares = chances(verdict)
    return tuple(_held_row(w, fares.get(w.key, 0.0), place, asked, rules) for w in lines)


def _held_row(wanted: Wanted, p: float, place: Glass, asked: AsideAsked, rules: Rules) -> HeldRow:
    adult = wanted.species.number("adult_length_cm")
    grown = 1.0 if asked.days is None else min(1.0, wanted.length_cm / adult) ** 0.5
    lacks = max(0.0, (1.0 + shortfall(wanted.species, room_of(place))) * grown - 1.0)
    name = wanted.species.common_name
    return HeldRow(
        key=wanted.key,
        common_name=name,
        length_cm=wanted.length_cm,
        p=p,
        word=ease(p, rules).value,
        lacks=lacks,
        sentence=_room_words(name, lacks, asked),
    )


def too_small_aside(lacks: float, asked: AsideAsked) -> bool:
    """Return whether a place lacks too much room: any for good, for some days as much again. [-]"""
    return lacks > (_SPARED if asked.days is None else 1.0)


def _room_words(name: str, lacks: float, asked: AsideAsked) -> str:
    """Return whether the room will do, in a sentence."""
    if lacks <= _SPARED:
        return f"Room enough for {name}" + (", grown too." if asked.days is None else " of this size.")
    if too_small_aside(lacks, asked):
        return f"Too small for {name}: it needs {1.0 + lacks:.1f} times the room."
    return f"Tight for {name}: bearable for {asked.days:.0f} days, no longer."


def _guard_cm(wanted: Wanted, rules: Rules) -> float:
    depth, width = body_cm(wanted.species, wanted.length_cm)
    return rules["sheet_wedge"] * passing_cm(depth, width, Opening.SLOT)


def _lid(wanted: Wanted) -> str:
    jumps = wanted.species.word("jumps")
    name = wanted.species.common_name
    if jumps in {"some", "often"}:
        return f"A lid without gaps before anything else: {name} jumps, most of all in the first nights."
    return "A lid: whoever is moved jumps in the first nights."


def _meaning(wanted: Wanted, asked: AsideAsked, held: tuple[HeldRow, ...], rules: Rules) -> list[str]:
    """Return what it means, in sentences."""
    name = wanted.species.common_name
    out = [held[0].sentence]
    if asked.hold is Hold.SUMP:
        out.append("It shares the water with the tank above: smell, disease and any treatment go both ways.")
    else:
        out.append("Its water is its own: match temperature and salinity both ways, and feed its filter.")
    if wanted.species.number("needs_sand_cm") > 0.0:
        out.append(f"{name[:1].upper()}{name[1:]} sleeps in sand: a tray of sand goes in with it.")
    if asked.days is None:
        out.append("For good it is a tank like any other: it is judged at its grown size.")
    else:
        left = math.exp(-asked.days / rules["absence_days"])
        out.append(
            f"After {asked.days:.0f} days about {100.0 * left:.0f} % of its claim to the place is left; "
            "let it back at lights-out, with the rock moved, and watch it for an hour."
        )
    if len(held) > 1:
        out.append(f"Others are held there too: {', '.join(row.common_name for row in held[1:])}.")
    return out


CAUTIONS = {
    Hold.SUMP: (
        "Guard the pump and the pipe to it; a fish held against a strainer dies within the hour.",
        "Pumps and cables lie open in a sump: power off before hands go in; residual-current device.",
        "The level in a sump falls by evaporation and rises when the pump stops: leave room for both.",
        "Light, some shelter and calm water: a baffle in front of the inflow.",
    ),
    Hold.SECOND_TANK: (
        "A ripe filter or daily tests: ammonia decides, not the calendar.",
        "Power off before hands go in; a residual-current device, drip loops.",
        "Heater guarded, outlet covered, tank on a level stand.",
        "Some shelter on either side: pipes that are wider than the animal is deep.",
    ),
}
