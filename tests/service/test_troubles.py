"""Who troubles whom: arrows, figures and reasons of one company."""

from __future__ import annotations

import datetime as dt

import pytest

from slackwater.service.tank_view import TankView, open_view
from slackwater.service.troubles import LEAST_PER_H, figures, troubles, why

TANK = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 45 cm, lid: true}
rock: {layout: moderate}
company: [{animal: six line, length: 7 cm, since: 2025-01-01}]
wishes: [{animal: royal gramma, length: 5 cm}, {animal: firefish goby, length: 5 cm}]
"""


@pytest.fixture(scope="module")
def view() -> TankView:
    return open_view(TANK, dt.date(2026, 11, 25))


def test_everyone_is_told_the_worst_off_first(view: TankView) -> None:
    found = troubles(view)
    assert {one.key for one in found.fares} == {wanted.key for wanted in view.company}
    chances = [one.p for one in found.fares]
    assert chances == sorted(chances, reverse=True)
    assert all(one.low <= one.p <= one.high for one in found.fares)


def test_the_resident_wrasse_troubles_the_newcomers(view: TankView) -> None:
    first = troubles(view).arrows[0]
    assert first.attacker == "pseudocheilinus-hexataenia"
    assert all(arrow.per_h >= LEAST_PER_H for arrow in troubles(view).arrows)


def test_what_is_received_is_the_sum_of_what_is_dealt(view: TankView) -> None:
    found = troubles(view)
    for one in found.fares:
        drawn = sum(arrow.per_h for arrow in found.arrows if arrow.victim == one.key)
        assert drawn <= one.received_per_h + 1e-9
        assert one.received_per_h - drawn < 3 * LEAST_PER_H


def test_the_figures_are_the_arrows(view: TankView) -> None:
    found = troubles(view)
    keys = [wanted.key for wanted in view.company]
    told = [rate for row in figures(found, keys) for rate in row if rate is not None]
    assert sorted(told) == sorted(arrow.per_h for arrow in found.arrows)
    assert all(row[n] is None for n, row in enumerate(figures(found, keys)))


def test_an_arrow_can_be_asked_why(view: TankView) -> None:
    arrow = troubles(view).arrows[0]
    told = why(view, arrow.attacker, arrow.victim)
    assert "sixline wrasse" in told.sentence
    assert {"temper", "recognition"} <= {factor.name for factor in told.factors}
    assert all(factor.says_who for factor in told.factors)
