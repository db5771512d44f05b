"""Who in a kept tank is unseen, and where to look."""

import datetime as dt

import pytest
from tests.service.kept import ADA, NOW, REEF, write

from slackwater.errors import InputError
from slackwater.service.diary import Draft
from slackwater.service.tanks import By, save_revision
from slackwater.service.unseen import search_for, unseen_animals
from slackwater.society.diary import Death, HeadCount
from slackwater.store import Store

PREDATOR = REEF.replace(
    "  - {animal: six line",
    "  - {animal: volitans lionfish, length: 25 cm}\n  - {animal: six line, length: 5 cm",
)


def test_only_what_the_habit_makes_news_is_told(store: Store) -> None:
    write(store, Draft(HeadCount(4), NOW - dt.timedelta(days=3)))
    write(store, Draft(HeadCount(3, ("yellow tang",)), NOW))
    told = unseen_animals(store, "reef", NOW)
    assert [one.label for one in told.news] == ["yellow tang"]
    assert {one.label for one in told.ordinary} == {"ocellaris 1", "ocellaris 2", "six line"}
    assert told.never_seen == ()


def test_the_dead_are_not_missed(store: Store) -> None:
    write(store, Draft(HeadCount(4), NOW - dt.timedelta(days=3)), Draft(Death("yellow tang")))
    told = unseen_animals(store, "reef", NOW)
    assert "yellow tang" not in {one.label for one in (*told.news, *told.ordinary)}
    assert told.never_seen == ()


def test_who_was_never_seen_is_told(store: Store) -> None:
    assert unseen_animals(store, "reef", NOW).never_seen == (
        "yellow tang",
        "ocellaris 1",
        "ocellaris 2",
        "six line",
    )


def test_the_search_names_mouths_and_days(store: Store) -> None:
    save_revision(store, "reef", PREDATOR, 1, By("bo", NOW))
    write(store, Draft(HeadCount(5), NOW - dt.timedelta(days=4)), by=ADA)
    told = search_for(store, "reef", "six", NOW)
    assert told.label == "six line"
    assert "4.0 days ago" in told.sentence
    assert any(place.where == "in volitans lionfish: look at its belly" for place in told.places)
    assert any("ains off" in caution for caution in told.cautions)


def test_the_search_for_nobody_is_refused(store: Store) -> None:
    with pytest.raises(InputError, match="nobody in this tank"):
        search_for(store, "reef", "kraken", NOW)
