"""An animal's own temper from counted chases."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.society.build import GRAMMA, party, tank

from slackwater.errors import InputError
from slackwater.rules import load_rules
from slackwater.society.attacks import temper_per_h
from slackwater.society.draws import draw
from slackwater.society.individual import SHOP, Tally, own_temper

RULES = load_rules()


def test_nothing_counted_in_no_time_worth_speaking_of_leaves_the_prior() -> None:
    told = own_temper(Tally(0, 1e-9, 1.0), RULES)
    assert told.sigma == pytest.approx(0.8, rel=1e-6)
    assert told.factor == pytest.approx(1.0, rel=1e-6)


def test_the_posterior_is_that_of_gamma_and_poisson_by_hand() -> None:
    # Prior: mean exp(0.32), relative variance exp(0.64) - 1. Ten chases where two were expected.
    relative = math.exp(0.64) - 1.0
    shape, rate = 1.0 / relative + 10.0, 1.0 / (relative * math.exp(0.32)) + 2.0
    told = own_temper(Tally(10, 1.0, 2.0), RULES)
    assert told.factor * math.exp(told.sigma**2 / 2.0) == pytest.approx(shape / rate)
    assert "rougher" in told.sentence


def test_a_look_in_the_shop_counts_for_little_and_says_so() -> None:
    home, shop = Tally(10, 1.0, 2.0), Tally(10, 1.0, 2.0, SHOP)
    assert 1.0 < own_temper(shop, RULES).factor < own_temper(home, RULES).factor
    assert "counts for little, as crowding spreads and hides a bully" in own_temper(shop, RULES).sentence


def test_the_sentence_tells_how_far_the_count_leaves_it_open() -> None:
    told = own_temper(Tally(10, 1.0, 2.0), RULES)
    assert f"nine in ten between {told.low:.1f} and {told.high:.1f}" in told.sentence
    assert told.high / told.low < math.exp(2.0 * 1.645 * RULES["temper_sigma"])


@given(st.integers(0, 200), st.integers(1, 200), st.floats(0.1, 50.0), st.floats(0.01, 50.0))
def test_more_chases_never_make_it_milder(n: int, more: int, hours: float, expected: float) -> None:
    few, many = (
        own_temper(Tally(n, hours, expected), RULES),
        own_temper(Tally(n + more, hours, expected), RULES),
    )
    assert many.factor > few.factor
    assert many.low < many.factor < many.high


def test_the_model_uses_it_for_rates_and_spread() -> None:
    known = replace(party(GRAMMA), own_temper=3.0, own_sigma=0.1)
    (animal,), (stranger,) = tank(known).animals, tank(party(GRAMMA)).animals
    assert temper_per_h(animal, RULES) == pytest.approx(3.0 * temper_per_h(stranger, RULES))
    _, temper = draw(tank(known).animals, 64, 0, RULES)
    assert temper[:, 0].max() / temper[:, 0].min() < 2.0


@pytest.mark.parametrize("tally", [Tally(-1, 1.0, 1.0), Tally(1, 0.0, 1.0), Tally(1, math.nan, 1.0)])
def test_an_impossible_tally_is_refused(tally: Tally) -> None:
    with pytest.raises(InputError, match="chases cannot be negative"):
        own_temper(tally, RULES)
