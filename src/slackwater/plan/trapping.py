"""Catching one animal with the least fright to all: which trap, and step by step."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.plan.side_effects import spines
from slackwater.society.company import Situation
from slackwater.taxa.facts import Species

_BOTTLE_CM, _BOX_CM = 8.0, 25.0
_HUNTS = frozenset({"ambush", "stalk", "chase", "night"})


@dataclass(frozen=True)
class TrapPlan:
    """How to catch an animal: the gear, the steps in order, when to stop, and what to mind."""

    gear: tuple[str, ...]
    steps: tuple[str, ...]
    stop: str
    cautions: tuple[str, ...]


def trap_plan(name: str, species: Species, length_cm: float, situation: Situation) -> TrapPlan:
    """Return how to catch one animal of a company.

    Parameters
    ----------
    name
        What the keeper calls it.
    species, length_cm
        What it is, and its length. [cm]
    situation
        The company that it is caught from.

    Notes
    -----
    Common practice: bait first, trap open for days, catch once.
    """
    gear, setting = _trap(name, length_cm)
    steps = [
        setting,
        f"Feed only in the trap, held open, for two or three days, until {name} goes in without fear.",
        _when(name, species),
        "Catch once: a trap sprung too early teaches it. Let others that went in go first.",
        "Lift it out under water into a jar or box; no net for spines and blades.",
        "Watch the rest for an hour; feed them.",
    ]
    if species.word("hunting") in _HUNTS and length_cm > _BOX_CM:
        steps.append("A barbless hook is for the skilled alone, and only for a large hunter.")
    steps.append(
        "Last of all: drain half of the water into clean bins, catch, and fill up again the same hour."
    )
    return TrapPlan(
        gear, tuple(steps), "No catch in a week: stop for some days, then another trap.", _mind(situation)
    )


def _trap(name: str, length_cm: float) -> tuple[tuple[str, ...], str]:
    if length_cm <= _BOTTLE_CM:
        return (
            ("a bottle trap: the neck cut off and set in backwards", "a red light"),
            f"Lay a bottle trap on the floor beside the way that {name} takes, mouth towards the rock.",
        )
    wide_cm = 1.5 * length_cm
    return (
        (
            f"a clear box with a drop door, {wide_cm:.0f} cm long or more",
            "a line to hold the door",
            "a red light",
        ),
        f"Stand a clear box with its door held open where {name} feeds.",
    )


def _when(name: str, species: Species) -> str:
    if species.word("sleeps") in {"hole", "cocoon", "rock"}:
        return f"Or at night, with a red light: {name} sleeps in the rock and can be lifted with its stone."
    if species.word("sleeps") == "sand":
        return f"By day only: {name} sleeps in the sand; do not dig for it."
    return f"Or an hour after lights out, with a red light: {name} sleeps in the open and is slow to wake."


def _mind(situation: Situation) -> tuple[str, ...]:
    told = [
        "Pumps off at the plug before arms go in; lid shut again at once.",
        "No hunt with a net through the rock.",
    ]
    return (*told, *spines(situation))
