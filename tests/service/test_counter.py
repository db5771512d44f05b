"""What is told at the counter, and what is assumed."""

import math

import pytest

from slackwater.errors import InputError
from slackwater.service.animals import meant
from slackwater.service.counter import (
    Doubt,
    Scene,
    Told,
    length_today_cm,
    scene_of,
    usual_glass,
)
from slackwater.society.company import Sex
from slackwater.taxa.names import Meaning


def words(*said: str) -> tuple[Meaning, ...]:
    return tuple(meant(one, "an animal") for one in said)


def scene(told: Told, *residents: str) -> tuple[Scene, tuple[Doubt, ...]]:
    return scene_of(told, words("royal gramma 5 cm"), words(*residents))


def doubts(told: Told, *residents: str) -> set[str]:
    return {doubt.what for doubt in scene(told, *residents)[1]}


def test_a_volume_and_a_length_fix_the_sides() -> None:
    glass = usual_glass(120.0, 240.0)
    assert glass.volume_l == pytest.approx(240.0, rel=0.005)
    assert glass.width_cm == glass.height_cm == pytest.approx(math.sqrt(2000.0), abs=0.05)


def test_a_volume_alone_gives_a_length() -> None:
    made, _ = scene(Told(volume_l=240.0))
    assert 100.0 < made.glass.length_cm < 125.0
    assert made.glass.volume_l == pytest.approx(240.0, rel=0.01)


def test_without_any_size_the_tank_is_100_cm_and_that_is_said() -> None:
    made, found = scene(Told())
    assert made.glass.length_cm == 100.0
    assert "100 cm" in next(d.taken for d in found if d.what == "length")


@pytest.mark.parametrize(
    "told",
    [
        Told(length_cm=300.0, volume_l=10.0),
        Told(length_cm=20.0, volume_l=500.0),
        Told(length_cm=5.0),
        Told(volume_l=1e9),
        Told(feeds_per_day=0.0),
        Told(since_days=-1.0),
    ],
)
def test_what_cannot_be_is_refused(told: Told) -> None:
    with pytest.raises(InputError):
        scene(told)


def test_rock_is_read_whatever_the_case() -> None:
    assert scene(Told(rock=" Two Islands "))[0].rock == "two islands"


def test_an_unknown_word_for_rock_is_refused() -> None:
    made, _ = scene(Told(rock="marble"))
    with pytest.raises(InputError, match="marble"):
        made.situation()


def test_everything_told_leaves_little_to_assume() -> None:
    told = Told(100.0, 200.0, (), "moderate", 2.0, 30.0)
    assert doubts(told, "six line 6 cm") == {"lid"}


def test_everything_untold_is_named() -> None:
    assert doubts(Told(), "six line") >= {"length", "rock", "feeds", "lid", "residents"}


def test_two_of_unknown_sex_are_asked_about() -> None:
    assert "sex of ocellaris clownfish" in doubts(Told(), "2 ocellaris 6cm")
    assert "sex of ocellaris clownfish" not in doubts(Told(), "pair of ocellaris 6cm")


@pytest.mark.parametrize("length_cm", [3.0, 8.0, 15.0, 25.0])
@pytest.mark.parametrize("since", [0.0, 20.0, 180.0, 3000.0])
def test_a_length_told_is_that_of_today(length_cm: float, since: float) -> None:
    made, _ = scene(Told(since_days=since), f"yellow tang {length_cm:g} cm")
    assert length_today_cm(made.residents[0]) == pytest.approx(length_cm)
    assert 0.0 <= -made.residents[0].day <= since


def test_residents_of_long_ago_are_nearly_grown() -> None:
    made, _ = scene(Told(), "yellow tang")
    adult_cm = made.residents[0].species.number("adult_length_cm")
    assert length_today_cm(made.residents[0]) == pytest.approx(0.85 * adult_cm)


def test_a_pair_is_two() -> None:
    made, _ = scene(Told(), "pair of ocellaris")
    assert (made.residents[0].count, made.residents[0].sex) == (2, Sex.PAIR)


def test_a_pair_of_five_is_refused() -> None:
    with pytest.raises(InputError, match="a pair is two"):
        scene(Told(), "5 ocellaris pair")
