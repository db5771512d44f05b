"""What a diary says of one quarrel: whose, since when, and who is still there."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.plan.diaries import BEAUTY, FLAME, GRAMMA, NOW, Diary, angels, steady

from slackwater.errors import InputError
from slackwater.plan.quarrel import quarrel_of
from slackwater.plan.tallied import Look, looks, pairs, roll, wins
from slackwater.society.diary import (
    ChaseKind,
    Chases,
    Death,
    KeptApart,
    Place,
    Release,
    RemedyBegun,
    RemedyEnded,
    Removal,
    Result,
    Watch,
)


def test_the_most_chased_pair_of_late_is_the_quarrel() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {40.0: 30}).chased((GRAMMA, "firefish goby"), {2.0: 3})
    quarrel = diary.quarrel(angels())
    assert (quarrel.who, quarrel.whom) == (GRAMMA, "firefish goby")
    named = diary.quarrel(angels(), (None, "Flame Angel"))
    assert (named.who, named.whom) == (BEAUTY, FLAME)


def test_labels_are_those_of_the_tank_file() -> None:
    assert list(roll(angels())) == [
        "ocellaris 1",
        "ocellaris 2",
        GRAMMA,
        BEAUTY,
        FLAME,
        "firefish goby",
    ]


@pytest.mark.parametrize(
    ("pair", "said"),
    [(("a whale", None), "a whale"), (("firefish goby", FLAME), None), ((FLAME, None), "such")],
)
def test_who_is_not_there_is_refused(pair: tuple[str | None, str | None], said: str | None) -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    if said is None:
        assert diary.quarrel(angels(), pair).chase_days == ()
        return
    with pytest.raises(InputError, match=said):
        diary.quarrel(angels(), pair)


def test_a_diary_without_a_chase_tells_of_no_quarrel() -> None:
    with pytest.raises(InputError, match="without such a chase"):
        Diary().saw(1.0, Watch(10.0)).quarrel(angels())


def test_chases_of_those_who_do_not_live_there_are_named() -> None:
    diary = Diary().chased(("a whale", "a wrasse"), steady())
    with pytest.raises(
        InputError, match=r"chased is a whale, a wrasse; those who live in the tank go by: coral"
    ):
        diary.quarrel(angels())


def test_it_begins_after_the_last_lull() -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), {40.0: 2, 38.0: 1, 6.0: 3, 5.0: 2, 1.0: 1}).quarrel(angels())
    assert quarrel.began == pytest.approx(-6.0)


def test_only_watches_with_both_in_the_open_count() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {6.0: 5, 4.0: 0, 1.0: 2})
    diary.saw(5.0, KeptApart(BEAUTY, Place.SUMP)).saw(2.0, KeptApart(BEAUTY, Place.SUMP, begins=False))
    quarrel = diary.quarrel(angels())
    assert [look.count for look in quarrel.looks] == [5, 2]
    assert quarrel.apart(BEAUTY) is None


def test_who_is_kept_apart_now_is_known() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {6.0: 5}).saw(5.0, KeptApart(BEAUTY, Place.BOX))
    assert diary.quarrel(angels()).apart(BEAUTY) is Place.BOX


def test_after_a_remedy_is_begun_the_trend_begins_anew() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {6.0: 9, 5.0: 9, 2.0: 1, 1.0: 0})
    diary.saw(3.0, RemedyBegun("rescape", (BEAUTY, FLAME)))
    assert [look.count for look in diary.quarrel(angels()).looks] == [1, 0]


def test_what_was_tried_and_what_came_of_it() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {6.0: 5})
    diary.saw(5.0, RemedyBegun("dim", (BEAUTY,))).saw(4.0, RemedyBegun("feed", ("ocellaris 1",)))
    first = next(e.number for e in diary.entries if isinstance(e.seen, RemedyBegun))
    diary.saw(3.0, RemedyEnded(first, Result.NO_CHANGE)).saw(2.0, RemedyBegun("rescape", (BEAUTY, FLAME)))
    assert diary.quarrel(angels()).tried == {"dim": "no change", "rescape": "running"}


def test_the_dead_and_the_gone_are_left_out_and_a_pair_is_broken() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(3.0, Death("ocellaris 2"), Removal(GRAMMA))
    there = diary.quarrel(angels()).question.residents
    assert next((line.said, line.count, line.sex.value) for line in there) == ("ocellaris", 1, "unknown")
    assert GRAMMA not in {line.said for line in there}


def test_a_death_before_the_release_of_another_of_its_name_is_another_animal() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(30.0, Death(FLAME))
    assert FLAME in diary.quarrel(angels()).roll


def test_days_inside_come_from_the_file_or_the_diary() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    assert diary.quarrel(angels("2027-03-01")).inside_days(FLAME) == 7
    assert diary.saw(4.0, Release(FLAME)).quarrel(angels()).inside_days(FLAME) == pytest.approx(4.0)


def test_later_entries_are_not_known_yet() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {1.0: 3, -2.0: 50})
    assert sum(look.count for look in diary.quarrel(angels()).looks) == 3


def test_the_keepers_day_is_by_the_keepers_clock() -> None:
    late = dt.datetime(2027, 3, 2, 3, tzinfo=dt.UTC)
    (entry,) = Diary([(late, Watch(10.0, (Chases("a", "b"),)))]).entries
    assert wins([entry])[0].on == dt.date(2027, 3, 2)
    assert wins([entry], dt.timezone(dt.timedelta(hours=-8)))[0].on == dt.date(2027, 3, 1)


def test_displays_and_locked_jaws_have_no_winner_and_chases_in_passing_have_no_rate() -> None:
    seen = Watch(10.0, (Chases("a", "b", 2), Chases("a", "b", 1, ChaseKind.BITE)))
    shown = Watch(10.0, (Chases("a", "b", 5, ChaseKind.DISPLAY), Chases("a", "b", 1, ChaseKind.LOCKED)))
    passing = Watch(None, (Chases("b", "a", 4),))
    entries = Diary().saw(3.0, seen).saw(2.0, shown).saw(1.0, passing).entries
    assert [(w.who, w.count) for w in wins(entries)] == [("a", 2), ("a", 1), ("b", 4)]
    found = looks(entries, ("a", "b"), NOW)
    assert found == (Look(-3.0, 10.0 / 60.0, 3), Look(-2.0, 10.0 / 60.0, 1))
    assert pairs(entries) == {("a", "b"): 4, ("b", "a"): 4}


def test_the_order_in_which_a_quarrel_is_asked_for_changes_nothing() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    one = quarrel_of(angels(), diary.entries, NOW)
    two = quarrel_of(angels(), diary.entries, NOW, (BEAUTY, FLAME))
    assert (one.who, one.whom, one.began) == (two.who, two.whom, two.began)
