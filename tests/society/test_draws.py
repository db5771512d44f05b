"""Seeded draws: even, and by who an animal is rather than where it stands in a list."""

from __future__ import annotations

import numpy as np
import pytest
from tests.society.build import CHROMIS, GRAMMA, HUMBUG, RULES, party, tank

from slackwater.society.draws import draw

TWO = tank(party(GRAMMA), party(HUMBUG)).animals
SWAPPED = tank(party(HUMBUG), party(GRAMMA)).animals


def test_the_same_seed_gives_the_same_draws() -> None:
    for one, other in zip(draw(TWO, 32, 0, RULES), draw(TWO, 32, 0, RULES), strict=True):
        assert one.tobytes() == other.tobytes()


def test_another_seed_gives_others() -> None:
    assert not np.array_equal(draw(TWO, 32, 0, RULES)[0], draw(TWO, 32, 1, RULES)[0])


def test_draws_follow_the_animal() -> None:
    for one, other in zip(draw(TWO, 32, 0, RULES), draw(SWAPPED, 32, 0, RULES), strict=True):
        assert np.array_equal(one, other[:, ::-1])


def test_spread_and_middle_are_those_of_the_rules() -> None:
    strength, temper = draw(TWO, 400, 0, RULES)
    assert strength.mean(axis=0) == pytest.approx(1.0)
    assert strength.std(axis=0) == pytest.approx(RULES["strength_sd"], rel=0.02)
    assert np.median(temper, axis=0) == pytest.approx(1.0, rel=0.01)
    assert np.log(temper).std(axis=0) == pytest.approx(RULES["temper_sigma"], rel=0.02)


def test_members_of_a_shoal_differ() -> None:
    strength, temper = draw(tank(party(CHROMIS, count=4)).animals, 16, 0, RULES)
    for drawn in (strength, temper):
        assert len({drawn[:, k].tobytes() for k in range(4)}) == 4


def test_two_parties_alike_in_everything_still_differ() -> None:
    strength, _ = draw(tank(party(CHROMIS), party(CHROMIS)).animals, 16, 0, RULES)
    assert not np.array_equal(strength[:, 0], strength[:, 1])
