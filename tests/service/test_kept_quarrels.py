"""Quarrels of kept tanks: read from the diary, written back, called on, and scored."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from tests.service.kept import ADA, NOW, REEF, chase, write

from slackwater.errors import InputError
from slackwater.plan.follow_up import Call
from slackwater.service.diary import Draft, standing_entries
from slackwater.service.follow_up import (
    answer_by_diary,
    answer_call,
    answer_look,
    due_at_tank,
    due_everywhere,
    forecasts_scored,
)
from slackwater.service.kept_quarrels import (
    climb,
    end_rung,
    rank_tank,
    remedy_tank,
    results_elsewhere,
)
from slackwater.service.remedy import Asked, Remedied
from slackwater.service.tanks import add_tank
from slackwater.society.diary import RemedyBegun, RemedyEnded, Result, Watch
from slackwater.store import Outcome, Store

DAY = dt.timedelta(days=1)


def quarrel(store: Store, count: int = 6) -> None:
    write(store, *(Draft(chase(count=count), NOW - n * DAY - dt.timedelta(hours=2)) for n in range(4)))


def asked(store: Store) -> Remedied:
    return remedy_tank(store, "reef", Asked(NOW))


def test_rank_from_a_kept_diary(store: Store) -> None:
    quarrel(store)
    told = rank_tank(store, "reef")
    assert told.ranks[0].name == "yellow tang"
    assert told.chases == 24
    with pytest.raises(InputError, match="no tank goes by"):
        rank_tank(store, "pond")


def test_remedy_from_a_kept_tank(store: Store) -> None:
    quarrel(store)
    answer = asked(store).answer
    assert (answer.title, answer.who, answer.whom) == ("reef", "yellow tang", "six line")


def test_without_a_chase_there_is_nothing_to_answer(store: Store) -> None:
    with pytest.raises(InputError, match="without such a chase"):
        asked(store)


def test_a_rung_begun_stands_in_the_diary_with_its_pattern_and_looks_that_are_due(store: Store) -> None:
    quarrel(store)
    made = asked(store)
    done = climb(store, "reef", made, ADA, "rescape")
    seen = standing_entries(store, "reef")[-1].seen
    assert isinstance(seen, RemedyBegun)
    assert (seen.rung, seen.animals, seen.pattern) == (
        "rescape",
        ("yellow tang", "six line"),
        made.answer.pattern,
    )
    assert len(done.looks) == 2
    assert asked(store).found.quarrel.tried == {"rescape": "running"}
    with pytest.raises(InputError, match="the rung is prayer"):
        climb(store, "reef", made, ADA, "prayer")


def test_a_result_flows_back_into_the_ladder_and_the_score(store: Store) -> None:
    quarrel(store)
    made = asked(store)
    done = climb(store, "reef", made, ADA, "rescape")
    begun = done.saved.entries[0].number
    end_rung(store, "reef", begun, Result.WORKED, replace(ADA, now=NOW + 5 * DAY))
    again = remedy_tank(store, "reef", Asked(NOW + 5 * DAY))
    rung = next(row for row in again.answer.rungs if row.rung == "rescape")
    before = next(row for row in made.answer.rungs if row.rung == "rescape")
    assert rung.chance > before.chance
    assert "1 of 1 here" in rung.worked
    told = forecasts_scored(store)
    assert (told.count, told.happened) == (1, 1)
    assert "Too few" in told.sentence


def test_results_of_other_tanks_count_and_those_of_this_one_not_twice(store: Store) -> None:
    add_tank(store, "lagoon", REEF, ADA)
    from slackwater.service.diary import add

    add(store, "lagoon", [Draft(RemedyBegun("dim", ("six line",), "x"), NOW - 4 * DAY)], ADA)
    add(store, "lagoon", [Draft(RemedyEnded(1, Result.NO_CHANGE), NOW - DAY)], ADA)
    assert [t.rung for t in results_elsewhere(store, "reef")] == ["dim"]
    assert results_elsewhere(store, "lagoon") == ()
    assert len(results_elsewhere(store)) == 1


def test_a_forecast_that_it_settles_is_answered_by_the_diary(store: Store) -> None:
    quarrel(store, count=3)
    made = asked(store)
    climb(store, "reef", made, ADA)
    by_day = round(made.found.settling.by_day)
    later = replace(ADA, now=NOW + (by_day + 1) * DAY)
    assert answer_by_diary(store, "reef", later) == ()
    quiet = (Draft(Watch(10.0), NOW + (by_day - n) * DAY) for n in range(3))
    write(store, *quiet, by=later)
    assert len(answer_by_diary(store, "reef", later)) == 1
    assert answer_by_diary(store, "reef", later) == ()
    told = forecasts_scored(store)
    assert (told.count, told.happened) == (1, 1)


def test_calls_are_due_by_the_day_of_release_and_go_once_answered(store: Store) -> None:
    found = due_at_tank(store, "reef", NOW)
    calls = {due.label: due for due in found.calls}
    assert calls["six line"].call is Call.RANK
    assert "yellow tang" not in calls
    assert found.keeper == "Ines"
    answer_call(store, "reef", calls["six line"], Outcome.NOT_REACHED, ADA)
    assert "six line" in {due.label for due in due_at_tank(store, "reef", NOW).calls}
    answer_call(store, "reef", calls["six line"], Outcome.ALL_WELL, ADA)
    assert "six line" not in {due.label for due in due_at_tank(store, "reef", NOW).calls}


def test_trials_and_looks_that_have_run_out_are_due(store: Store) -> None:
    quarrel(store)
    climb(store, "reef", asked(store), ADA, "rescape")
    assert due_at_tank(store, "reef", NOW).trials == ()
    later = due_at_tank(store, "reef", NOW + 20 * DAY)
    assert [trial.rung for trial in later.trials] == ["rescape"]
    assert len(later.looks) == 2
    answer_look(store, "reef", later.looks[0].number, Outcome.ALL_WELL, ADA, happened=True)
    assert len(due_at_tank(store, "reef", NOW + 20 * DAY).looks) == 1
    with pytest.raises(InputError, match="no such look"):
        answer_look(store, "reef", 99, Outcome.ALL_WELL, ADA)


def test_tanks_with_nothing_due_are_left_out(store: Store) -> None:
    text = "slackwater: 1\ntank: {length: 120 cm}\ncompany:\n  - {animal: royal gramma}\n"
    add_tank(store, "quiet", text, ADA)
    assert [one.tank for one in due_everywhere(store, NOW)] == ["reef"]
