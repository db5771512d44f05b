"""Due looks, what came of them, and forecasts to be scored; plans and what they rest on."""

import datetime as dt
from dataclasses import replace

import pytest
from tests.service.kept import ADA, NOW, REEF

from slackwater.errors import InputError
from slackwater.service.keeping import rests_on
from slackwater.service.kept_plans import keep_plan, plan_rows, plans
from slackwater.service.looks import (
    ForecastRow,
    NewLook,
    add_look,
    answer_look,
    due_looks,
    forecasts,
    looks_of,
)
from slackwater.service.tanks import changes_since, save_revision
from slackwater.store import Outcome, Store

DAY = dt.timedelta(days=1)
EATS = NewLook(NOW - DAY, ("Does it eat?",), "day 4", ("six",), "it settles", 0.8)


def test_a_look_is_due_until_it_is_answered(store: Store) -> None:
    made = add_look(store, "reef", EATS, ADA)
    assert (made.number, made.animals, made.signed.by) == (1, ("six line",), "ada")
    (row,) = due_looks(store, NOW)
    assert (row.tank, row.keeper, row.overdue_days, row.look) == ("reef", "Ines", 1.0, made)
    answer_look(store, "reef", 1, Outcome.NOT_REACHED, ADA)
    told = answer_look(store, "reef", 1, Outcome.ALL_WELL, replace(ADA, why="fat"), happened=True)
    assert due_looks(store, NOW) == ()
    assert told.result is not None
    assert (told.result.outcome, told.result.note, told.result.happened) == (Outcome.ALL_WELL, "fat", True)
    assert looks_of(store, "reef") == (told,)
    assert forecasts(store) == (ForecastRow("reef", 1, "it settles", 0.8, happened=True),)


def test_what_lies_ahead_is_due_when_asked_for(store: Store) -> None:
    add_look(store, "reef", replace(EATS, due_at=NOW + 2 * DAY), ADA)
    assert due_looks(store, NOW) == ()
    assert len(due_looks(store, NOW, 3 * DAY)) == 1


def test_forecasts_nobody_judged_are_not_scored(store: Store) -> None:
    add_look(store, "reef", EATS, ADA)
    add_look(store, "reef", replace(EATS, p=None), ADA)
    answer_look(store, "reef", 1, Outcome.ALL_WELL, ADA)
    answer_look(store, "reef", 2, Outcome.ALL_WELL, ADA, happened=True)
    assert forecasts(store) == ()


@pytest.mark.parametrize(
    ("new", "said"),
    [
        (replace(EATS, p=1.5), "between 0 and 1"),
        (replace(EATS, animals=("kraken",)), "nobody in this tank"),
        (replace(EATS, due_at=NOW + 4000 * DAY), "ten years"),
    ],
)
def test_what_cannot_be_is_refused(store: Store, new: NewLook, said: str) -> None:
    with pytest.raises(InputError, match=said):
        add_look(store, "reef", new, ADA)
    with pytest.raises(InputError, match="no such look"):
        answer_look(store, "reef", 1, Outcome.ALL_WELL, ADA)


def test_plans_are_kept_with_the_revision_they_were_made_for(store: Store) -> None:
    first = keep_plan(store, "reef", {"mood": "settled"}, rests_on(["tang: shy"]), replace(ADA, why="first"))
    save_revision(store, "reef", REEF.replace("120", "150"), 1, ADA)
    second = keep_plan(store, "reef", {"mood": "uneasy"}, rests_on(), ADA)
    assert plans(store, "reef") == (first, second)
    assert (first.revision, second.revision) == (1, 2)
    assert first.rests_on.house_notes == ("tang: shy",)
    assert changes_since(store, "reef", first.signed.change).plans == (second,)
    newest, oldest = plan_rows(store, "reef")
    assert (newest.number, newest.changed) == (2, ())
    assert (oldest.why, oldest.changed) == ("first", ("the tank",))
