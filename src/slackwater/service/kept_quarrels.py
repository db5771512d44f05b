"""Rank and remedy of kept tanks: read from their diaries, and written back into them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from slackwater.errors import InputError, shown
from slackwater.plan.question import Question
from slackwater.plan.rungs import TEXTS, Rung
from slackwater.plan.works import Tried, results
from slackwater.service.diary import Draft, Saved, add, standing_entries, tallies
from slackwater.service.planning import question_of
from slackwater.service.ranking import RankAnswer, rank_entries
from slackwater.service.remedy import Asked, Remedied, remedy_entries
from slackwater.service.tankfile import load
from slackwater.service.tanks import By, find_tank, open_tank
from slackwater.society.diary import Entry, RemedyBegun, RemedyEnded, Result
from slackwater.store import DueLook, LookResult, Outcome, Signed, Store

SETTLED = "settled"
"""What a forecast of a quarrel says: that it will have settled when the look is due."""

_TRIAL = "trial"
_HOURS = 24.0


def rank_tank(store: Store, said: str, zone: dt.tzinfo = dt.UTC) -> RankAnswer:
    """Return the order that a kept tank's diary tells.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    zone
        The keeper's clock.

    Raises
    ------
    InputError
        If no tank goes by the name, or its diary tells of no chase.
    """
    return rank_entries(tallies(store, said), zone)


def question_of_tank(store: Store, said: str, today: dt.date) -> Question:
    """Return a kept tank as the planner's question, by its last revision.

    Raises
    ------
    InputError, InputErrors
        If no tank goes by the name, or its file cannot be used any more.
    """
    kept = open_tank(store, said)
    told = load(f"{kept.revision.text}\n", nobody_ok=True).model_copy(update={"stock": None})
    return question_of(told, today, kept.tank.name)


def remedy_tank(store: Store, said: str, asked: Asked) -> Remedied:
    """Return what to do about a quarrel in a kept tank.

    Results of remedies in the shop's other tanks count for how often a rung works.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    asked
        When it is asked, and about whom.

    Raises
    ------
    InputError, InputErrors
        If no tank goes by the name, or its diary tells of no chase.
    """
    question = question_of_tank(store, said, asked.now.astimezone(asked.zone).date())
    return remedy_entries(question, standing_entries(store, said), asked, results_elsewhere(store, said))


def results_elsewhere(store: Store, said: str = "") -> tuple[Tried, ...]:
    """Return the results of remedies on record in all tanks, but for one where it is named."""
    with store.reading() as work:
        here = find_tank(work, said).id if said else None
        found = work.diaries.of_kinds((RemedyBegun.kind, RemedyEnded.kind))
    by_tank: dict[int, list[Entry]] = {}
    for tank_id, entry in found:
        if tank_id != here:
            by_tank.setdefault(tank_id, []).append(entry)
    return tuple(one for entries in by_tank.values() for one in results(entries))


@dataclass(frozen=True)
class Climbed:
    """A rung begun: its entry in the diary, and the numbers of the looks that are due for it."""

    saved: Saved
    looks: tuple[int, ...]


def climb(store: Store, said: str, made: Remedied, by: By, rung: str = "") -> Climbed:
    """Write down that a rung is begun, and when to look: at the end of its trial, and by when it settles.

    Both looks keep their forecast, so that it can be held against what happened.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    made
        The answer on which it rests.
    by
        Who begins it, when and why.
    rung
        Which rung; that with which the ladder begins if left out.

    Raises
    ------
    InputError, InputErrors
        If there is no such rung or tank.
    """
    chosen = _rung(rung or made.answer.begin)
    offer = made.found.offer(chosen)
    pair = (made.answer.who, made.answer.whom)
    days = round(made.answer.timeout.days) if chosen is Rung.TIMEOUT else offer.trial_high_d
    begun = RemedyBegun(chosen.value, pair, made.answer.pattern, float(days))
    saved = add(store, said, [Draft(begun, note=by.why)], by)
    trial = _look(
        made, by, float(days), f"{_TRIAL} {saved.entries[0].number}", (TEXTS[chosen].name, offer.works.mean)
    )
    settles = _look(made, by, made.found.settling.by_day, SETTLED, (SETTLED, made.found.settling.p))
    return Climbed(saved, _keep(store, said, (trial, settles), by))


def _rung(word: str) -> Rung:
    try:
        return Rung(word)
    except ValueError:
        limit = f"the rungs are {', '.join(Rung)}"
        raise InputError(field="the rung", given=shown(word), limit=limit, remedy="Choose one.") from None


def _look(made: Remedied, by: By, days: float, reason: str, forecast: tuple[str, float]) -> DueLook:
    answer = made.answer
    return DueLook(
        number=0,
        due_at=by.now + dt.timedelta(hours=_HOURS * days),
        asks=(answer.next_look, "Did it work, help, change nothing, or make it worse?"),
        reason=reason,
        signed=Signed(by.now, by.who),
        animals=(answer.who, answer.whom),
        forecast=forecast[0],
        p=forecast[1],
    )


def _keep(store: Store, said: str, looks: tuple[DueLook, ...], by: By) -> tuple[int, ...]:
    with store.writing() as work:
        tank = find_tank(work, said)
        numbers = []
        for look in looks:
            change = int(work.tanks.count_on(tank.id)["change"])
            signed = Signed(by.now, by.who, change)
            numbers.append(work.looks.add(tank.id, replace(look, signed=signed)))
    return tuple(numbers)


def end_rung(store: Store, said: str, begun: int, result: Result, by: By) -> Saved:
    """Write down what came of a rung, by the number of the entry that began it.

    The look at the end of its trial is answered with it.

    Raises
    ------
    InputError
        If there is no such tank, or no remedy was begun in that entry.
    """
    saved = add(store, said, [Draft(RemedyEnded(begun, result), note=by.why)], by)
    _answer_trial(store, said, begun, result, by)
    return saved


_WORKED: Mapping[Result, bool] = {Result.WORKED: True, Result.NO_CHANGE: False, Result.WORSE: False}


def _answer_trial(store: Store, said: str, begun: int, result: Result, by: By) -> None:
    outcome = Outcome.ALL_WELL if result is Result.WORKED else Outcome.LOOK_AGAIN
    with store.writing() as work:
        tank = find_tank(work, said)
        mine = [look for _, look in work.looks.all(tank.id) if look.reason == f"{_TRIAL} {begun}"]
        for look in mine:
            change = int(work.tanks.count_on(tank.id)["change"])
            told = LookResult(outcome, by.why, Signed(by.now, by.who, change), _WORKED.get(result))
            work.looks.answer(tank.id, look.number, told)
