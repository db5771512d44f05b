"""Who was last seen when; an absence is news only when the habit makes it so; where to look."""

import datetime as dt

import pytest

from slackwater.rules import load_rules
from slackwater.society.diary import (
    Chases,
    Death,
    Eating,
    Entry,
    HeadCount,
    Missing,
    Release,
    Removal,
    Seen,
    Sighted,
    Watch,
    WaterTest,
)
from slackwater.society.sightings import (
    Habit,
    Surroundings,
    habit_of,
    last_seen,
    search_list,
    unseen,
)
from slackwater.taxa.facts import load_facts

NOW = dt.datetime(2027, 1, 20, 18, tzinfo=dt.UTC)
HOME = ("tang", "wrasse", "clown 1", "clown 2")
RULES = load_rules()
SPECIES = load_facts().species


def day(number: int) -> dt.datetime:
    return dt.datetime(2027, 1, number, 18, tzinfo=dt.UTC)


def told(*seen: tuple[int, Seen]) -> list[Entry]:
    return [Entry(n, day(on), what) for n, (on, what) in enumerate(seen, 1)]


@pytest.mark.parametrize(
    ("name", "habit"),
    [
        ("Zebrasoma flavescens", Habit.USUAL),
        ("Macropharyngodon meleagris", Habit.SAND),
        ("Opistognathus aurifrons", Habit.BURROW),
        ("Echidna nebulosa", Habit.EEL),
        ("Myripristis murdjan", Habit.NIGHT),
    ],
)
def test_the_habit_is_that_of_the_kind(name: str, habit: Habit) -> None:
    assert habit_of(SPECIES(name)) is habit


def test_a_full_count_shows_everyone() -> None:
    assert last_seen(told((1, HeadCount(4))), HOME) == dict.fromkeys(HOME, day(1))


def test_a_count_with_names_shows_the_others() -> None:
    seen = last_seen(told((1, HeadCount(4)), (2, HeadCount(3, ("wrasse",)))), HOME)
    assert seen["wrasse"] == day(1)
    assert seen["tang"] == day(2)


def test_a_short_count_without_names_shows_nobody() -> None:
    assert last_seen(told((1, HeadCount(3))), HOME) == {}


def test_counts_come_down_with_a_death() -> None:
    seen = last_seen(told((1, HeadCount(4)), (2, Death("wrasse")), (3, HeadCount(3))), HOME)
    assert "wrasse" not in seen
    assert seen["tang"] == day(3)


def test_whoever_eats_chases_or_is_sighted_was_seen() -> None:
    seen = last_seen(
        told((1, Eating("tang")), (2, Watch(10.0, (Chases("clown 1", "wrasse"),))), (3, Sighted("clown 2"))),
        HOME,
    )
    assert seen == {"tang": day(1), "clown 1": day(2), "wrasse": day(2), "clown 2": day(3)}


def test_whoever_is_missed_or_of_another_tank_was_not_seen() -> None:
    assert last_seen(told((1, Missing("tang")), (2, Eating("clown")), (3, WaterTest(ph=8.0))), HOME) == {}


def test_who_left_and_came_back_is_there_again() -> None:
    assert last_seen(told((1, Removal("tang"))), HOME) == {}
    assert last_seen(told((1, Removal("tang")), (2, Release("tang"))), HOME) == {"tang": day(2)}


def test_news_is_what_the_habit_makes_news() -> None:
    """A tang is missed after a day, a leopard wrasse only after a week (common practice)."""
    seen = {"tang": day(18), "wrasse": day(15)}
    species = {"tang": SPECIES("Zebrasoma flavescens"), "wrasse": SPECIES("Macropharyngodon meleagris")}
    tang, wrasse = unseen(seen, species, {}, NOW, RULES)
    assert (tang.label, tang.days, tang.is_news) == ("tang", 2.0, True)
    assert (wrasse.label, wrasse.days, wrasse.is_news) == ("wrasse", 5.0, False)
    assert all(one.lost_days > one.news_days for one in (tang, wrasse))


def test_a_newcomer_may_hide_longer() -> None:
    jawfish = {"jawfish": SPECIES("Opistognathus aurifrons")}
    (settled,) = unseen(
        {"jawfish": day(10)}, jawfish, {"jawfish": day(1) - dt.timedelta(days=90)}, NOW, RULES
    )
    (new,) = unseen({"jawfish": day(10)}, jawfish, {"jawfish": day(9)}, NOW, RULES)
    assert settled.is_news
    assert not new.is_news


def test_whose_kind_is_unknown_is_taken_as_one_of_the_open() -> None:
    (one,) = unseen({"thing": day(19)}, {}, {}, NOW, RULES)
    assert (one.habit, one.is_news) == (Habit.USUAL, True)


@pytest.mark.parametrize("habit", Habit)
def test_every_habit_has_its_thresholds_in_order(habit: Habit) -> None:
    news, new, lost = (RULES.words(name)[habit.value] for name in ("unseen", "unseen_new", "lost"))
    assert 0.0 < news <= new < lost


def test_a_sand_sleeper_is_sought_in_the_sand_first_and_rock_is_taken_apart_last() -> None:
    places = search_list(SPECIES("Macropharyngodon meleagris"), Surroundings(lid=True), RULES)
    assert places[0].where == "in the sand"
    assert "rock" in places[-1].where
    assert [p.weight for p in places[:-1]] == sorted((p.weight for p in places[:-1]), reverse=True)


def test_a_jumper_without_a_lid_is_sought_on_the_floor_first() -> None:
    firefish = SPECIES("Nemateleotris magnifica")
    assert search_list(firefish, Surroundings(), RULES)[0].where.startswith("on the floor")
    assert not search_list(firefish, Surroundings(lid=True), RULES)[0].where.startswith("on the floor")


def test_an_eel_is_sought_on_the_floor_and_in_the_overflow() -> None:
    places = [p.where for p in search_list(SPECIES("Echidna nebulosa"), Surroundings(), RULES)]
    assert places[0].startswith("on the floor")
    assert places.index("in the overflow, the sump and the filter sock") == 2


def test_a_mouth_that_it_fits_is_looked_into() -> None:
    around = Surroundings(lid=True, mouths=(("lionfish", 0.95), ("hawkfish", 0.05)))
    places = [p.where for p in search_list(SPECIES("Chromis viridis"), around, RULES)]
    assert "in lionfish: look at its belly" in places
    assert not any("hawkfish" in place for place in places)
