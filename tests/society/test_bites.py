"""Bitten: by habit, whatever the order, the size step or the rock."""

from __future__ import annotations

from dataclasses import replace

from tests.society.build import CHROMIS, GRAMMA, RULES, YELLOW_TANG, altered, animal, fish, party, tank

from slackwater.society.bites import bites_per_h

CLEANER_MIMIC, TOBY = "Aspidontus taeniatus", "Canthigaster valentini"
LION, ANTHIAS = "Pterois volitans", "Pseudanthias squamipinnis"


def test_who_has_no_habit_bites_nobody() -> None:
    assert fish(GRAMMA).word("bites") == "none"
    assert bites_per_h(animal(GRAMMA), animal(LION, 20), RULES) == 0.0


def test_long_fins_and_slow_swimming_tempt() -> None:
    assert fish(TOBY).word("bites") == "slow_or_long_finned"
    lion, chromis = (
        bites_per_h(animal(TOBY), animal(LION, 20), RULES),
        bites_per_h(animal(TOBY), animal(CHROMIS), RULES),
    )
    assert lion > chromis >= 0.0


def test_length_and_day_of_the_biter_do_not_count() -> None:
    rates = {
        bites_per_h(animal(TOBY, length, day=day), animal(LION, 20), RULES)
        for length in (4.0, 9.0)
        for day in (0.0, 60.0)
    }
    assert len(rates) == 1


def test_biters_of_larger_fish_spare_the_small() -> None:
    assert fish(CLEANER_MIMIC).word("bites") == "larger_fish"
    mimic = animal(CLEANER_MIMIC, 8)
    assert bites_per_h(mimic, animal(YELLOW_TANG, 15), RULES) > 0.0
    assert bites_per_h(mimic, animal(YELLOW_TANG, 8), RULES) == 0.0


def test_none_bites_its_own_kind() -> None:
    assert bites_per_h(animal(TOBY, 5), animal(TOBY, 9), RULES) == 0.0


def test_the_often_bite_oftener_than_the_rare() -> None:
    rates = RULES.words("bite_rate")
    assert rates["none"] == 0.0 < rates["rare"] < rates["often"] < rates["constant"]


def test_biters_of_the_resting_take_to_those_that_rest() -> None:
    biter = replace(party(TOBY), species=altered(TOBY, bites="resting"))
    resting, racing, trailing = (
        replace(party(CHROMIS), species=altered(CHROMIS, swim_style=style, fins=fins))
        for style, fins in (("rest", "short"), ("race", "short"), ("race", "long"))
    )
    one, *victims = tank(biter, resting, racing, trailing).animals
    rates = [bites_per_h(one, victim, RULES) for victim in victims]
    assert rates[0] > rates[2] > rates[1] == 0.0
