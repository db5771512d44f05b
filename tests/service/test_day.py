"""A day of walkers for a page."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from slackwater.errors import InputErrors
from slackwater.service.day import EVERY_S, Day, asked_day, day_of
from slackwater.service.tank_view import TankView, asked_of, open_view, sent_stones

TANK = """
slackwater: 1
tank: {length: 100 cm, width: 45 cm, height: 45 cm, lid: true}
rock: {layout: two islands}
company: [{animal: six line, length: 6 cm, since: 2026-01-01}]
wishes: [{animal: firefish goby, count: 2, sex: pair, length: 5 cm}]
"""


@pytest.fixture(scope="module")
def view() -> TankView:
    return open_view(TANK, dt.date(2026, 11, 25))


def walked(view: TankView, seed: int = 0) -> Day:
    return day_of(view, asked_of({"stones": sent_stones(view.stones)}).stones, seed=seed)


def test_everyone_stays_in_the_tank_all_day(view: TankView) -> None:
    found = walked(view)
    assert found.keys.count("nemateleotris-magnifica") == 2
    assert found.track_mm.shape == (round(3600 * found.hours / EVERY_S), 3, 3)
    assert (found.track_mm.max(axis=(0, 1)) <= [1000, 450, 450]).all()


def test_chases_name_those_who_are_there(view: TankView) -> None:
    chases = walked(view).chases
    assert (chases[:, 1:] < 3).all()
    assert (chases[:, 1] != chases[:, 2]).all()
    assert (chases[:, 0] < 3600 * walked(view).hours).all()


def test_the_same_seed_is_the_same_day(view: TankView) -> None:
    assert np.array_equal(walked(view).track_mm, walked(view).track_mm)
    assert not np.array_equal(walked(view).track_mm, walked(view, seed=1).track_mm)


def test_a_day_without_a_tank_is_refused() -> None:
    with pytest.raises(InputErrors, match="the page sent"):
        asked_day({"stones": []})
