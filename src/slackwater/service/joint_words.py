"""The sentences of a counter check of several newcomers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.service.checking_words import counted, listed, next_step
from slackwater.service.counter import Scene
from slackwater.society.company import Party

_ONCE = "each once it eats well and its quarantine is over"
SAME_CONDITION = "on that condition"
NONE_OF_THESE = "None of these"


@dataclass(frozen=True)
class Joint:
    """What an answer for all is worded from."""

    decision: str
    conditions: tuple[str, ...]
    wait_days: int
    as_it_is: str
    as_made: str


def answer(told: Joint, scene: Scene) -> str:
    """Return the answer for all of them as a sentence with days, order and condition."""
    if told.decision == "not this one":
        return f"{NONE_OF_THESE}, today or later. As it is, {told.as_it_is}"
    goes_in = f"{_course(scene, told.wait_days)}; {_ONCE}"
    if told.decision == "yes":
        return f"Yes: {goes_in}."
    ifs = listed(told.conditions)
    return f"Yes, if {ifs}: then {goes_in}. As it is, {told.as_it_is} With that, {told.as_made}"


def _course(scene: Scene, wait_days: int) -> str:
    """Return who goes in when: `first 2 firefish from today on, then royal gramma in 14 days`."""
    by_day: dict[float, list[Party]] = {}
    for party in sorted(scene.newcomers, key=lambda p: p.day):
        by_day.setdefault(party.day, []).append(party)
    steps = [
        f"{listed([_short(p) for p in parties])} {_when(wait_days + round(day))}"
        for day, parties in by_day.items()
    ]
    if len(steps) == 1:
        return f"{steps[0]}{_behind(scene)}"
    *middle, last = steps[1:]
    return f"first {steps[0]}{_behind(scene)}, {''.join(f'then {one}, ' for one in middle)}last {last}"


def _behind(scene: Scene) -> str:
    """Return after which residents the first go in."""
    names = list(dict.fromkeys(p.species.common_name for p in scene.residents))
    if not names or all(p.day == 0.0 for p in scene.residents):
        return ""
    return f", after {listed(names)}"


def _short(party: Party) -> str:
    name = party.species.common_name
    return f"{party.count} {name}" if party.count > 1 else name


def _when(days: int) -> str:
    return f"in {days} days" if days else "from today on"


def after(scene: Scene, party: Party) -> str:
    """Return after whom one of them goes in."""
    earlier = [p for p in scene.newcomers if p.day < party.day]
    names = dict.fromkeys(p.species.common_name for p in (*scene.residents, *earlier))
    return f"after {listed(list(names))}" if names else "as the first of the tank"


def goes_in(party: Party, condition: str, when: tuple[int, str], told: tuple[str, str]) -> str:
    """Return what is said of one that can go in.

    Parameters
    ----------
    party
        Who goes in.
    condition
        On what condition, empty if on none.
    when
        The first day, counted from today [d], and after whom.
    told
        How it fares, and how it outgrows the tank, empty if it does not.
    """
    (days, order), (fares, outgrown) = when, told
    day = f"in {days} days at the earliest" if days else "from today on"
    opening = f"Yes, if {condition}" if condition else "Yes"
    if condition == SAME_CONDITION:
        opening = f"Yes, {condition}"
    then = fares.removesuffix(".")
    later = f"; {outgrown[0].lower()}{outgrown[1:-1]}" if outgrown else ""
    return f"{opening}: {counted(party)} {day}, {order}; {then}{later}."


def stays(party: Party, why: str, *, by_itself: bool | None) -> str:
    """Return what is said of one that stays out; None where it is not asked how it does by itself."""
    reason = f"{why[0].lower()}{why[1:]}".rstrip(".")
    alone = {
        None: "",
        True: "; without the other newcomers it could go in",
        False: "; nor without the other newcomers, as it is",
    }
    return f"Not with these: {counted(party)}: {reason}{alone[by_itself]}."


def stays_out(names: Sequence[str]) -> str:
    """Return the condition that some stay out."""
    return f"the {listed(list(names))} {'stays' if len(names) == 1 else 'stay'} out"


def all_together(ways: list[str]) -> str:
    """Return what would make it work for all of them."""
    if not ways:
        return "For all of them no single change of company or tank that was tried is enough."
    return next_step(ways).replace("It would work", "For all of them it would work")


def come_back_if() -> str:
    """Return the signs that call for another talk."""
    return (
        "Come back if one of them, old or new, hides, does not eat by day 3, has torn fins, or is "
        "chased more than twice in ten minutes for five days; wait with the next until then."
    )
