"""An animal's own record, which goes with it, and the five lines to the keeper."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from slackwater.plan.quarrel import Quarrel
from slackwater.plan.remedy import Ladder
from slackwater.plan.rungs import TEXTS, Rung
from slackwater.plan.settling import NextLook, Outlook, Settling
from slackwater.plan.tallied import pairs
from slackwater.plan.wording import listed, opening

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True)
class OwnRecord:
    """What goes with an animal to its next keeper: lines of plain facts, and what must be judged first."""

    animal: str
    scientific_name: str
    lines: tuple[str, ...]
    condition: str


def own_record(quarrel: Quarrel, label: str, temper: str = "") -> OwnRecord:
    """Return the record of one animal of a quarrel.

    Parameters
    ----------
    quarrel
        The quarrel and its diary.
    label
        Whose record it is.
    temper
        What was learnt of its own temper, in words.
    """
    line = quarrel.roll[label]
    told = [f"{line.species.common_name} ({line.species.name}), {line.length_cm:.0f} cm"]
    inside = quarrel.inside_days(label)
    told.append(
        "how long it lived here is not known" if inside is None else f"lived here for {inside:.0f} days"
    )
    counted = pairs(quarrel.entries)
    chased = [f"{whom} ({n} times)" for (who, whom), n in counted.items() if who == label]
    by = [f"{who} ({n} times)" for (who, whom), n in counted.items() if whom == label]
    told.append(f"chased {listed(chased)}" if chased else "was not seen to chase anybody")
    if by:
        told.append(f"was chased by {listed(by)}")
    troubled = {name for pair in counted if label in pair for name in pair}
    peace = [name for name in quarrel.roll if name not in troubled]
    if peace:
        told.append(f"lived in peace with {listed(peace)}")
    told += [f"tried for it: {rung}, {result}" for rung, result in quarrel.tried.items()]
    if temper:
        told.append(f"its own temper: {temper}")
    return OwnRecord(
        label,
        line.species.name,
        tuple(told),
        "Before it leaves, judge the tank it goes to with it in the company: its length, its own temper.",
    )


def day_words(today: dt.date, days: float) -> str:
    """Return a day some days ahead as people say it: `Thursday, 4 March`. [d]"""
    on = today + dt.timedelta(days=round(days))
    return f"{_DAYS[on.weekday()]}, {on.day} {_MONTHS[on.month - 1]}"


def what_to_count(quarrel: Quarrel, look: NextLook) -> str:
    """Return when to look again, and what which count would mean."""
    told = (
        f"Look again on {day_words(quarrel.today, look.day)}: count how often {quarrel.who} chases or bites "
        f"{quarrel.whom}, {look.watches} times {look.watch_min:.0f} minutes."
    )
    if look.settled_to is not None:
        few = f"{look.settled_to} or fewer in all" if look.settled_to else "None at all"
        told += f" {few}: it is settling."
    if look.lasting_from is not None:
        told += f" {look.lasting_from} or more: it is not."
    if look.settled_to is None and look.lasting_from is None:
        told += " No count of one day will decide; keep counting."
    return told


def trend_sentence(quarrel: Quarrel, trend: Settling) -> str:
    """Return what the tally says, and how little it rests on."""
    if not trend.watched_h:
        return "Nobody has watched for a set time yet, so no trend can be told."
    minutes = 60.0 * trend.watched_h
    rests = f"{trend.counted} chases in {minutes:.0f} minutes of watching"
    said = {
        Outlook.SETTLING: "It is settling",
        Outlook.OPEN: "It is too early to say whether it settles",
        Outlook.LASTING: "It is not settling",
    }[trend.outlook]
    level, on = trend.level_per_h, day_words(quarrel.today, trend.by_day)
    few = (
        f"{level / 6.0:.0f} chases in ten minutes"
        if level >= _TWELVE_PER_H
        else f"{level:.0f} chases an hour"
    )
    left = f"by {on} fewer than {few} are left"
    return f"{said} ({rests}): the chance that {left} is {_share(trend.p)}."


_HARDLY, _NEARLY = 0.05, 0.95
_TWELVE_PER_H = 12.0


def _share(p: float) -> str:
    if p < _HARDLY:
        return "under 5 %"
    return "over 95 %" if p > _NEARLY else f"about {round(20 * p) * 5} %"


def message(found: Ladder) -> tuple[str, ...]:
    """Return five lines for the keeper: what is seen, why, what to do, until when, and the next look."""
    offer = found.offer(found.begin)
    return (
        _seen(found),
        _why(found),
        f"Do now: {offer.do}",
        _until(found),
        next_look_sentence(found),
    )


def next_look_sentence(found: Ladder) -> str:
    """Return when to look again and what to count: today if it cannot wait, after the trial of a rung."""
    quarrel, trend = found.quarrel, found.settling
    if found.alarms:
        return _again_today(quarrel)
    if found.begin is Rung.WATCH or not trend.watched_h:
        return what_to_count(quarrel, trend.next_look)
    look, days = trend.next_look, found.offer(found.begin).trial_low_d
    hours = look.watches * look.watch_min / 60.0
    good, same = trend.level_per_h * hours, trend.now[1] * hours
    told = (
        f"Look again on {day_words(quarrel.today, days)}: count how often {quarrel.who} chases or bites "
        f"{quarrel.whom}, {look.watches} times {look.watch_min:.0f} minutes."
    )
    told += f" {good:.0f} or fewer in all: it helps."
    return f"{told} {same:.0f} or more, as now: take the next rung." if same > good else told


def _seen(found: Ladder) -> str:
    quarrel = found.quarrel
    if found.alarms:
        signs = listed([f"{alarm.animal} {_said(alarm.sign)}" for alarm in found.alarms])
        see = " Ring a veterinarian." if any(alarm.veterinarian for alarm in found.alarms) else ""
        return f"{opening(signs)}: this cannot wait.{see}"
    return f"{opening(quarrel.who)} chases {quarrel.whom}. {trend_sentence(quarrel, found.settling)}"


def _said(sign: str) -> str:
    return sign if sign.startswith(("is ", "lies", "gasps", "has ")) else f"shows {sign}"


def _why(found: Ladder) -> str:
    first = found.findings[0]
    reasons = [e.text for e in first.evidence if e.speaks_for]
    if first.word == "unlikely" or not reasons:
        return f"Why is not clear yet. {first.ask}"
    told = f"The {first.word} cause is {first.cause.value}: {reasons[0]}."
    return told if first.word == "likely" else f"{told} {first.ask}"


def _until(found: Ladder) -> str:
    offer = found.offer(found.begin)
    if offer.rung in {Rung.REHOME, Rung.ALONE}:
        return found.whom.sentence
    low, high = offer.trial_low_d, offer.trial_high_d
    days = f"{high:.0f}" if low == high else f"{low:.0f} to {high:.0f}"
    then = f"; then {TEXTS[found.after].name}" if found.after else ""
    return f"Try it for {days} {'day' if high == 1 else 'days'}; go on if: {offer.stop}{then}."


def _again_today(quarrel: Quarrel) -> str:
    return f"Look at {quarrel.whom} again within the hour and at lights out, and write down what you see."
