"""Every attack rate taken apart into named factors, each with who says so."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.society.build import (
    CHROMIS,
    CLOWN,
    DOMINO,
    GRAMMA,
    GROUPER,
    ORCHID,
    SCOPAS_TANG,
    YELLOW_TANG,
    altered,
    fish,
    judged,
    party,
    tank,
)

from slackwater.society.company import Sex
from slackwater.society.explain import Explanation, Factor, explain


def why(name: str, other: str, *, day: float = 30.0, count: int = 1) -> Explanation:
    verdict = judged(tank(party(name, 7, count=count), party(other, 6, day=day)))
    return explain(verdict, verdict.lots[0].animal, verdict.lots[-1].animal)


TOLD = why(YELLOW_TANG, SCOPAS_TANG)


def factor(told: Explanation, symbol: str) -> Factor:
    return next(f for f in told.factors if f.symbol == symbol)


def test_the_factors_are_the_product() -> None:
    assert TOLD.product == pytest.approx(np.prod([f.value for f in TOLD.factors]))
    assert "".join(f.symbol for f in TOLD.factors) == "aSCQRFHBE"


def test_limited_time_and_third_parties_only_take_away() -> None:
    assert 0.0 < TOLD.rate <= TOLD.product


def test_every_factor_says_who_says_so() -> None:
    assert all(f.says_who and f.words for f in TOLD.factors)


def test_the_head_start_is_named_where_there_is_one() -> None:
    assert "was there first" in factor(TOLD, "R").words
    assert "no head start" in factor(why(YELLOW_TANG, SCOPAS_TANG, day=0.0), "R").words


@pytest.mark.parametrize(
    ("name", "other", "words"),
    [
        (YELLOW_TANG, YELLOW_TANG, "its own kind"),
        (YELLOW_TANG, SCOPAS_TANG, "of its own genus"),
        (CLOWN, GROUPER, "a stranger"),
    ],
)
def test_kinship_is_told_in_words(name: str, other: str, words: str) -> None:
    assert words in factor(why(name, other), "S").words


def test_the_strongest_factors_are_those_that_make_it_worse() -> None:
    weights = [f.weight for f in TOLD.strongest]
    assert weights == sorted(weights, reverse=True)
    assert len(weights) <= 3
    assert all(w > 1.0 for w in weights)


def test_a_shoal_is_told_as_bonded() -> None:
    verdict = judged(tank(party(CHROMIS, 4, count=8)))
    told = explain(verdict, verdict.lots[0].animal, verdict.lots[1].animal)
    assert "released together" in factor(told, "C").words


@pytest.mark.parametrize(
    ("name", "sexes", "words"),
    [
        (CLOWN, (Sex.PAIR, Sex.MALE), "rivals"),
        (GROUPER, (Sex.UNKNOWN, Sex.UNKNOWN), "no bond"),
        (CLOWN, (Sex.UNKNOWN, Sex.UNKNOWN), "may hold"),
        (ORCHID, (Sex.MALE, Sex.FEMALE), "released together"),
    ],
)
def test_company_is_told_in_words(name: str, sexes: tuple[Sex, Sex], words: str) -> None:
    verdict = judged(tank(*(party(name, 6, sex=sex) for sex in sexes)))
    told = explain(verdict, verdict.lots[0].animal, verdict.lots[1].animal)
    assert words in factor(told, "C").words


def test_day_and_night_are_told() -> None:
    assert "the other by night" in factor(why(ORCHID, "Myripristis murdjan"), "E").words


def test_the_intolerant_are_told() -> None:
    tyrant = replace(party(DOMINO, 7), species=altered(DOMINO, intolerance="tyrant"))
    verdict = judged(tank(tyrant, party("Hippocampus reidi", 10)))
    told = explain(verdict, verdict.lots[0].animal, verdict.lots[1].animal)
    assert "tyrant to all others" in factor(told, "S").words


def test_the_sentence_names_both_and_how_often() -> None:
    told = why(ORCHID, GRAMMA)
    assert told.sentence.startswith(f"{fish(ORCHID).common_name} chases {fish(GRAMMA).common_name} about")
    assert told.trouble in told.sentence
    assert told.lever


def test_a_day_after_both_are_there_within_the_plan() -> None:
    assert TOLD.day == 37.0


def test_a_temper_that_was_counted_is_told_beside_its_kinds() -> None:
    counted = replace(party(YELLOW_TANG, 7), own_temper=2.5, own_sigma=0.3)
    verdict = judged(tank(counted, party(SCOPAS_TANG, 6, day=30)))
    told = factor(explain(verdict, *verdict.situation.animals), "a")
    assert "as counted, 2.5 times that" in told.words
    assert told.value == pytest.approx(2.5 * factor(TOLD, "a").value)
    assert "as counted" not in factor(TOLD, "a").words
