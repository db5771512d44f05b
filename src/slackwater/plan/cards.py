"""The cards of the plan sheet: run sheets, watching, the first rungs of the ladder."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import Rung, RunStep, WatchRow
from slackwater.society.judge import Lot

ROCK_OWNER = 0.5


def run_sheet(question: Question, wanted: Wanted, bully: str, box_days: int) -> tuple[RunStep, ...]:
    """Return the run sheet for the evening of a hard release, counted back from lights out."""
    off = _minutes(question.lights_off)
    name = wanted.species.common_name
    steps = [
        (off - 180, "Lid, spare box and net ready; pumps that could catch a fish guarded."),
        (off - 150, f"Feed the residents well, {bully or 'the owner'} at its own end."),
        (off - 120, "Dim the light."),
        (off - 90, f"Match temperature and salinity of the bag for {name}; no bag water in the tank."),
        (off - 60, _let_go(name, bully, box_days)),
        (off, "Lights off; stay off for 12 hours or more."),
        (off + 60, "Look once with a red light: it should breathe calmly in its hole."),
    ]
    if wanted.species.word("venom") != "none":
        steps.insert(1, (off - 175, f"{wanted.species.text('hazard') or 'Spines'}: tool, not hand."))
    return tuple(RunStep(_clock(at), do) for at, do in steps)


def _let_go(name: str, bully: str, box_days: int) -> str:
    far = f"at the end farthest from {bully}" if bully else "beside a free hole"
    if box_days:
        return f"Put {name} into the acclimation box {far}; it stays {box_days} days and is fed there."
    return f"Let {name} go {far}, beside a hole that nobody holds."


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)


def _clock(minutes: int) -> str:
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def watching(lots: tuple[Lot, ...]) -> tuple[WatchRow, ...]:
    """Return the watching card: what to count, for how long, and what it calls for."""
    worst = max(lots, key=lambda lot: lot.p).animal.species.common_name if lots else "the newcomer"
    return (
        WatchRow(
            "leave",
            "0 to 2 short chases in 10 minutes; hides and eats nothing on day 1",
            "Do nothing. Count again after the next feed.",
        ),
        WatchRow(
            "look again",
            "3 to 8 chases in 10 minutes, fewer from day to day",
            f"Feed at both ends, count {worst} three times a day, lid shut.",
        ),
        WatchRow(
            "act today",
            "more than 10, or rising; chased from food; no food by day 4",
            "Start the ladder.",
        ),
        WatchRow(
            "act now",
            "fin torn to the base, eye or flank wound, pinned at the surface, over 100 breaths a minute",
            "Box or divider at once; a wound is a question for the veterinarian.",
        ),
    )


@dataclass(frozen=True)
class _Rung:
    do: str
    trial: str
    stop: str


_RUNGS = {
    "watch": _Rung(
        "Watch and count 10 minutes three times a day; lid on.",
        "1 to 2 days",
        "more each day, or off its food",
    ),
    "feed": _Rung(
        "One more feed, at both ends; a second algae clip for grazers.", "3 days", "no fall in the count"
    ),
    "dim": _Rung(
        "Shorter, dimmer day; a mirror on the far end glass for tangs and angels.",
        "2 to 3 days",
        "no fall in the count",
    ),
    "cover": _Rung(
        "A pipe or rubble out of the owner's sight, with two ways out.", "same day", "still pinned"
    ),
    "rock": _Rung(
        "Move the stones of the owner's hole at lights out (two people).",
        "3 to 5 days",
        "old order comes back",
    ),
    "box": _Rung(
        "The chased one in a see-through box in the tank, fed there.",
        "3 to 7 days",
        "box attacked all day after day 5",
    ),
    "timeout": _Rung(
        "The chaser out of sight in box or sump; move rock meanwhile.",
        "7 to 14 days",
        "attack within the hour of return",
    ),
    "divider": _Rung(
        "A divider across the tank, with holes for the flow.", "1 to 4 weeks", "rage at the divider"
    ),
    "rehome": _Rung("Out of the tank: shop, or a tank judged in the same way.", "for good", ""),
}


def ladder(chaser: Wanted | None) -> tuple[Rung, ...]:
    """Return the first rungs for this tank, chosen by the way the likeliest chaser lives."""
    if chaser is None or chaser.species.number("structure_use") >= ROCK_OWNER:
        order = ("watch", "feed", "cover", "rock", "timeout", "rehome")
    else:
        order = ("watch", "feed", "dim", "box", "timeout", "rehome")
    return tuple(Rung(n, _RUNGS[key].do, _RUNGS[key].trial, _RUNGS[key].stop) for n, key in enumerate(order))
