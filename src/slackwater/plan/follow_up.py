"""Calls back: who is due, and what to ask about this very animal; and trials that have run out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from slackwater.plan.rungs import TEXTS, Rung
from slackwater.plan.wording import listed, opening
from slackwater.rules import Rules
from slackwater.society.diary import Eating, Entry, RemedyBegun, RemedyEnded, Watch
from slackwater.taxa.facts import Species


class Call(StrEnum):
    """What a call is about, in the order of time."""

    ARRIVED = "arrived"
    EATS = "eats"
    RANK = "rank"
    SIZE = "size"
    MATURITY = "maturity"


class CallResult(StrEnum):
    """What came of a call."""

    CLOSED = "closed"
    CALL_AGAIN = "call again"
    VISIT = "visit"
    TAKEN_BACK = "taken back"


@dataclass(frozen=True)
class LetGo:
    """An animal that was let go: its label, what it is, and the day."""

    label: str
    species: Species
    on: dt.date


@dataclass(frozen=True)
class Due:
    """One call: about whom, due when, what to ask, and what the diary knows already."""

    label: str
    call: Call
    on: dt.date
    overdue_days: int
    ask: tuple[str, ...]
    known: str


def due_calls(
    let_go: Iterable[LetGo],
    entries: Sequence[Entry],
    today: dt.date,
    done: Collection[tuple[str, Call]],
    rules: Rules,
) -> tuple[Due, ...]:
    """Return the calls that are due, the longest overdue first.

    Parameters
    ----------
    let_go
        Animals and their days of release.
    entries
        The tank's diary, only what holds.
    today
        The day on which it is asked.
    done
        Calls that were made, by label and kind.
    rules
        The days of the calls.

    Notes
    -----
    Of several calls about one animal that are due only the latest is made; one that is later than
    `call_late_days` is let go.
    """
    found = []
    for animal in let_go:
        late = [
            call
            for call in Call
            if animal.on + _after(call, rules) <= today and (animal.label, call) not in done
        ]
        past = [call for call in Call if (animal.label, call) in done]
        stale = late and (today - animal.on - _after(late[-1], rules)).days > rules["call_late_days"]
        if late and not stale and not (past and list(Call).index(past[-1]) > list(Call).index(late[-1])):
            found.append(_due(animal, late[-1], entries, today, rules))
    return tuple(sorted(found, key=lambda due: (-due.overdue_days, due.label)))


def _after(call: Call, rules: Rules) -> dt.timedelta:
    return dt.timedelta(days=rules[f"call_day.{call.value}"])


def next_call(animal: LetGo, today: dt.date, rules: Rules) -> tuple[Call, dt.date] | None:
    """Return the first call about an animal that lies ahead, None where all are past."""
    ahead = [(call, animal.on + _after(call, rules)) for call in Call]
    return next(((call, on) for call, on in ahead if on > today), None)


def _due(animal: LetGo, call: Call, entries: Sequence[Entry], today: dt.date, rules: Rules) -> Due:
    on = animal.on + _after(call, rules)
    asked = tuple(_ASKS[call](animal))
    return Due(animal.label, call, on, (today - on).days, asked, _known(animal, call, entries))


def _arrived(animal: LetGo) -> Iterable[str]:
    name, species = animal.label, animal.species
    yield f"Did {name} come out, or does it still hide?"
    if species.word("sleeps") == "sand":
        yield "It may lie in the sand for days: nobody should dig for it."
    if species.word("jumps") in {"some", "often"}:
        yield "Is the lid shut, and every gap?"
    yield "Is anybody chasing it: who, and how often in ten minutes?"


def _eats(animal: LetGo) -> Iterable[str]:
    foods = animal.species.text("first_foods")
    yield f"Has {animal.label} eaten, and what?" + (f" To offer first: {foods}." if foods else "")
    yield f"Does it look thin: {_thin(animal)}?"


def _thin(animal: LetGo) -> str:
    sign = animal.species.text("thin_sign").rstrip(".")
    return f"{sign[:1].lower()}{sign[1:]}" if sign else "a hollow belly, a back like a knife"


def _rank(animal: LetGo) -> Iterable[str]:
    yield f"Who chases {animal.label} and whom does it chase, in ten minutes after a feed?"
    yield "Is it more or less than in the first week?"
    if animal.species.word("boldness") in {"timid", "shy"}:
        yield "Does it come to the food, or wait behind the rock?"


def _size(animal: LetGo) -> Iterable[str]:
    adult_cm = animal.species.number("adult_length_cm")
    yield f"How long is {animal.label} now (it grows to about {adult_cm:.0f} cm)?"
    yield f"Is it well fed, or thin: {_thin(animal)}?"


def _maturity(animal: LetGo) -> Iterable[str]:
    yield f"Has {animal.label} changed in dress, size or manner?"
    if animal.species.word("breeding_guard") != "none":
        yield "Does it court, clean a place, or guard one?"
    if animal.species.word("males_rival") != "no":
        yield "Is there another male of its kind, and do they fight?"
    yield "Is the tank still long enough, and is anybody to come or to go this year?"


_ASKS: dict[Call, Callable[[LetGo], Iterable[str]]] = {
    Call.ARRIVED: _arrived,
    Call.EATS: _eats,
    Call.RANK: _rank,
    Call.SIZE: _size,
    Call.MATURITY: _maturity,
}


def _known(animal: LetGo, call: Call, entries: Sequence[Entry]) -> str:
    """Return what the diary says already of what the call would ask."""
    mine = [e for e in entries if e.at.date() >= animal.on and animal.label in e.animals]
    if call in {Call.ARRIVED, Call.EATS}:
        ate = [e for e in mine if isinstance(e.seen, Eating)]
        if ate and isinstance(ate[-1].seen, Eating):
            word = "ate" if ate[-1].seen.ate else "did not eat"
            return f"the diary: it {word} on {ate[-1].at.date().isoformat()}"
    if call is Call.RANK:
        by = sorted(
            {
                c.who
                for e in mine
                if isinstance(e.seen, Watch)
                for c in e.seen.chases
                if c.whom == animal.label and c.count
            }
        )
        return f"the diary: chased by {listed(by)}" if by else ""
    return ""


@dataclass(frozen=True)
class TrialDue:
    """A remedy whose trial is over: which entry began it, which rung, for whom, since when."""

    begun: int
    rung: str
    animals: tuple[str, ...]
    ended_on: dt.date
    overdue_days: int
    ask: str


def due_trials(entries: Sequence[Entry], today: dt.date, rules: Rules) -> tuple[TrialDue, ...]:
    """Return the remedies whose trial time has run out and whose result nobody wrote down.

    Parameters
    ----------
    entries
        The diary, only what holds, oldest first.
    today
        The day on which it is asked.
    rules
        The trial times, for those begun without one.
    """
    ended = {e.seen.begun for e in entries if isinstance(e.seen, RemedyEnded)}
    found = []
    for entry in entries:
        seen = entry.seen
        if not isinstance(seen, RemedyBegun) or entry.number in ended:
            continue
        days = (
            seen.trial_days if seen.trial_days is not None else rules.words("trial_high").get(seen.rung, 7.0)
        )
        over = entry.at.date() + dt.timedelta(days=days)
        if over <= today:
            found.append(
                TrialDue(entry.number, seen.rung, seen.animals, over, (today - over).days, _how_did(seen))
            )
    return tuple(sorted(found, key=lambda due: (-due.overdue_days, due.begun)))


def _how_did(seen: RemedyBegun) -> str:
    named = TEXTS[Rung(seen.rung)].name if seen.rung in set(Rung) else seen.rung
    between = f" for {listed(list(seen.animals))}" if seen.animals else ""
    return f"{opening(named)}{between}: did it work, help, change nothing, or make it worse?"
