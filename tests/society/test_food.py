"""The race for the food."""

from __future__ import annotations

from tests.society.build import CHROMIS, GRAMMA, RULES, YELLOW_TANG, animal, party, tank

from slackwater.society.company import Keeping, Party
from slackwater.society.food import eager, grazes, starved_share, starving_per_day

SEAHORSE, MOON_WRASSE = "Hippocampus reidi", "Thalassoma lunare"


def missed(*parties: Party, keeping: Keeping | None = None) -> float:
    animals = tank(*parties).animals
    return starved_share(animals[0], animals, keeping or Keeping(), RULES)


def test_alone_and_well_fed_nothing_is_missed() -> None:
    assert missed(party(GRAMMA), keeping=Keeping(feeds_per_day=4)) == 0.0


def test_fast_and_large_rivals_take_more() -> None:
    slow = party(SEAHORSE, 12)
    one, two = missed(slow, party(CHROMIS, 4)), missed(slow, party(MOON_WRASSE, 12))
    assert missed(slow) < one < two <= 1.0
    assert eager(animal(MOON_WRASSE, 12), RULES) > eager(animal(SEAHORSE, 12), RULES)


def test_the_share_never_leaves_zero_to_one() -> None:
    crowd = party(MOON_WRASSE, 15, count=30)
    assert 0.0 <= missed(party(SEAHORSE, 5), crowd, keeping=Keeping(feeds_per_day=0.1)) <= 1.0


def test_more_feeds_stations_and_the_strong_first_help() -> None:
    pair = party(SEAHORSE, 12), party(MOON_WRASSE, 12)
    base = missed(*pair, keeping=Keeping(feeds_per_day=2))
    helped = (
        Keeping(feeds_per_day=3),
        Keeping(feeds_per_day=2, stations=2),
        Keeping(feeds_per_day=2, strong_first=True),
        Keeping(feeds_per_day=2, food_both_ends=True),
    )
    assert all(missed(*pair, keeping=keeping) < base for keeping in helped)


def test_grazers_feed_by_themselves() -> None:
    assert grazes(animal(YELLOW_TANG)) > 0.5 > grazes(animal(CHROMIS))
    for name in (YELLOW_TANG, CHROMIS, SEAHORSE, "Synchiropus splendidus"):
        assert 0.0 <= grazes(animal(name)) <= 0.9


def test_a_little_less_is_made_good_and_the_fragile_suffer_more() -> None:
    tough, fragile = animal(CHROMIS), animal(SEAHORSE)
    assert starving_per_day(RULES["starve_from"], tough, RULES) == 0.0
    harder = RULES.words("fragile")
    assert harder[fragile.species.word("hardiness")] > harder[tough.species.word("hardiness")]
    assert starving_per_day(0.8, fragile, RULES) > starving_per_day(0.8, tough, RULES) > 0.0
