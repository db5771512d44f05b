"""Why A troubles B, both ways."""

import math

import pytest

from slackwater.errors import InputError
from slackwater.service.counter import Told
from slackwater.service.explaining import PairAnswer, explain_pair


@pytest.fixture(scope="module")
def answer() -> PairAnswer:
    return explain_pair("six line 7 cm", "royal gramma 5 cm", Told(length_cm=90.0))


def test_both_ways_are_told(answer: PairAnswer) -> None:
    assert (answer.there.attacker, answer.there.victim) == (
        answer.first_scientific_name,
        answer.second_scientific_name,
    )
    assert (answer.back.attacker, answer.back.victim) == (
        answer.second_scientific_name,
        answer.first_scientific_name,
    )


def test_the_product_is_that_of_the_factors(answer: PairAnswer) -> None:
    for told in (answer.there, answer.back):
        assert told.product == pytest.approx(math.prod(row.value for row in told.factors))


def test_every_factor_says_who(answer: PairAnswer) -> None:
    assert [row.symbol for row in answer.there.factors] == list("aSCQRFHBE")
    assert all(row.words and row.says_who for row in answer.there.factors)


def test_only_the_first_has_a_head_start(answer: PairAnswer) -> None:
    there = {row.symbol: row.value for row in answer.there.factors}
    back = {row.symbol: row.value for row in answer.back.factors}
    assert there["R"] > 1.0 == back["R"]


def test_on_the_same_day_nobody_has_a_head_start() -> None:
    told = explain_pair("six line", "royal gramma", Told(length_cm=90.0, since_days=0.0))
    assert {row.value for row in told.there.factors if row.symbol == "R"} == {1.0}


def test_the_rest_of_the_company_is_named() -> None:
    told = explain_pair("six line", "royal gramma", Told(residents=("pair of ocellaris",)))
    assert told.company == ("ocellaris clownfish",)


def test_two_of_one_species_can_be_asked_about() -> None:
    told = explain_pair("yellow tang 12 cm", "yellow tang 8 cm", Told(length_cm=180.0))
    assert told.first_scientific_name == told.second_scientific_name
    assert told.there.rate > told.back.rate


def test_the_attacks_lie_within_their_range(answer: PairAnswer) -> None:
    for told in (answer.there, answer.back):
        assert told.rate_low < told.rate < told.rate_high
        assert told.harm_low <= told.harm_high
        assert told.sure in {"sure", "fairly sure", "unsure"}


def test_a_length_that_is_told_narrows_the_range(answer: PairAnswer) -> None:
    guessed = explain_pair("six line", "royal gramma", Told(length_cm=90.0)).there
    told = answer.there
    assert guessed.rate_high / guessed.rate_low > told.rate_high / told.rate_low


def test_an_ambiguous_name_is_an_error() -> None:
    with pytest.raises(InputError, match="flame"):
        explain_pair("flame", "royal gramma", Told())
