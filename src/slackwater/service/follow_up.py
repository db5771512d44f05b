"""Following up: who is due for a call or a look, what came of it, and how good the forecasts were."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.plan.follow_up import Call, Due, LetGo, TrialDue, due_calls, due_trials
from slackwater.plan.question import Question
from slackwater.plan.scoring import Forecast, Score, score, settled
from slackwater.plan.settling import level_per_h
from slackwater.plan.tallied import looks, roll
from slackwater.rules import load_rules
from slackwater.service.diary import standing_entries
from slackwater.service.diary_checks import matched
from slackwater.service.kept_quarrels import SETTLED, question_of_tank
from slackwater.service.looks import answer_look
from slackwater.service.tanks import By, find_tank
from slackwater.society.diary import Entry, Release
from slackwater.store import DueLook, LookResult, Outcome, Signed, Store

__all__ = [
    "TankDue",
    "answer_by_diary",
    "answer_call",
    "answer_call_about",
    "answer_look",
    "due_at_tank",
    "due_everywhere",
    "due_of",
    "forecasts_scored",
    "let_go_of",
]

_CALL = "call"


@dataclass(frozen=True)
class TankDue:
    """What is due at one tank: calls about its animals, trials that have run out, and looks."""

    tank: str
    keeper: str
    calls: tuple[Due, ...]
    trials: tuple[TrialDue, ...]
    looks: tuple[DueLook, ...]


def let_go_of(question: Question, entries: Sequence[Entry]) -> tuple[LetGo, ...]:
    """Return the animals of a company whose day of release is known, by label."""
    released = {e.seen.animal: e.at.date() for e in entries if isinstance(e.seen, Release)}
    found = []
    for label, line in roll(question).items():
        on = released.get(label, line.since)
        if on is not None:
            found.append(LetGo(label, line.species, on))
    return tuple(found)


def due_of(
    question: Question, entries: Sequence[Entry], today: dt.date, done: frozenset[tuple[str, Call]]
) -> tuple[tuple[Due, ...], tuple[TrialDue, ...]]:
    """Return the calls and trials that are due, from plain records.

    Parameters
    ----------
    question
        The tank and who lives there.
    entries
        The diary, only what holds, oldest first.
    today
        The day on which it is asked.
    done
        Calls that were made, by label and kind.
    """
    rules = load_rules()
    calls = due_calls(let_go_of(question, entries), entries, today, done, rules)
    return calls, due_trials(entries, today, rules)


def due_at_tank(store: Store, said: str, now: dt.datetime) -> TankDue:
    """Return what is due at a kept tank.

    Raises
    ------
    InputError, InputErrors
        If no tank goes by the name, or its file cannot be used any more.
    """
    today = now.date()
    entries = standing_entries(store, said)
    with store.reading() as work:
        tank = find_tank(work, said)
        kept = [look for _, look in work.looks.all(tank.id)]
    calls, trials = due_of(question_of_tank(store, said, today), entries, today, _made(kept))
    open_looks = tuple(
        look for look in kept if look.result is None and look.due_at <= now and _CALL not in look.reason
    )
    return TankDue(tank.name, tank.keeper, calls, trials, open_looks)


def due_everywhere(store: Store, now: dt.datetime) -> tuple[TankDue, ...]:
    """Return what is due at all kept tanks, those with nothing due left out."""
    with store.reading() as work:
        names = [tank.name for tank in work.tanks.all()]
    found = (due_at_tank(store, name, now) for name in names)
    return tuple(one for one in found if one.calls or one.trials or one.looks)


def _made(kept: Sequence[DueLook]) -> frozenset[tuple[str, Call]]:
    words = {call.value: call for call in Call}
    reached = {Outcome.ALL_WELL, Outcome.VISIT, Outcome.TAKE_BACK, Outcome.DROPPED}
    return frozenset(
        (look.animals[0], words[look.reason.removeprefix(f"{_CALL} ")])
        for look in kept
        if look.reason.startswith(f"{_CALL} ")
        and look.animals
        and look.result
        and look.result.outcome in reached
    )


def answer_call(store: Store, said: str, due: Due, outcome: Outcome, by: By) -> int:
    """Keep what came of a call, and return the number of its look.

    A call that is to be made again, or that reached nobody, stays due.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    due
        The call.
    outcome
        What came of it.
    by
        Who called, when; `why` is kept as its note.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.writing() as work:
        tank = find_tank(work, said)
        due_at = dt.datetime.combine(due.on, dt.time(12), tzinfo=dt.UTC)
        change = int(work.tanks.count_on(tank.id)["change"])
        signed = Signed(by.now, by.who, change)
        look = DueLook(0, due_at, due.ask, f"{_CALL} {due.call.value}", signed, (due.label,))
        number = work.looks.add(tank.id, look)
        work.looks.answer(tank.id, number, LookResult(outcome, by.why, signed))
    return number


def answer_call_about(store: Store, said: str, animal: str, outcome: Outcome, by: By) -> int:
    """Keep what came of the call about an animal that is due, and return the number of its look.

    Raises
    ------
    InputError
        If no tank goes by the name, or no call about that animal is due.
    """
    calls = due_at_tank(store, said, by.now).calls
    about = {call.label: call for call in calls}
    return answer_call(store, said, about[matched(animal, about, "the call")], outcome, by)


def answer_by_diary(store: Store, said: str, by: By) -> tuple[int, ...]:
    """Answer the looks at quarrels that the diary answers by itself, and return their numbers.

    A forecast that a quarrel settles is held against the watches of the days round its due day;
    with too few of them it stays open.

    Raises
    ------
    InputError, InputErrors
        If no tank goes by the name, or its file cannot be used any more.
    """
    rules = load_rules()
    entries = standing_entries(store, said)
    known = roll(question_of_tank(store, said, by.now.date()))
    with store.reading() as work:
        kept = [look for _, look in work.looks.all(find_tank(work, said).id)]
    answered = []
    for look in kept:
        if look.result or look.forecast != SETTLED or look.due_at > by.now or len(look.animals) != _TWO:
            continue
        who, whom = look.animals
        level = level_per_h(known[whom].species, rules) if whom in known else rules["settling.level_per_h"]
        at_due = looks(entries, (who, whom), by.now)
        happened = settled(at_due, (look.due_at - by.now).total_seconds() / 86_400.0, level)
        if happened is not None:
            outcome = Outcome.ALL_WELL if happened else Outcome.LOOK_AGAIN
            answer_look(store, said, look.number, outcome, by, happened=happened)
            answered.append(look.number)
    return tuple(answered)


_TWO = 2


def forecasts_scored(store: Store) -> Score:
    """Return how good the forecasts of all tanks were that have come due and were answered."""
    with store.reading() as work:
        kept = [look for _, look in work.looks.all()]
    return score(
        [
            Forecast(look.p, look.result.happened)
            for look in kept
            if look.p is not None and look.result and look.result.happened is not None
        ]
    )
