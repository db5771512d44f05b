"""Advice on the stones of a page."""

from __future__ import annotations

import datetime as dt

import pytest

from slackwater.errors import InputErrors
from slackwater.service.stone_advice import Advice, advise
from slackwater.service.tank_view import asked_of, open_view, sent_stones

TODAY = dt.date(2026, 11, 25)
TANK = """
slackwater: 1
tank: {length: 80 cm, width: 40 cm, height: 40 cm, lid: true}
rock:
  - {kind: boulder, x: 20, y: 20, length: 20, width: 18, height: 15}
  - {kind: boulder, x: 60, y: 20, length: 20, width: 18, height: 15}
company: [{animal: six line, length: 7 cm, since: 2025-01-01}]
wishes: [{animal: royal gramma, length: 5 cm}]
"""


@pytest.fixture(scope="module")
def told() -> list[dict[str, object]]:
    return sent_stones(open_view(TANK, TODAY).stones)


@pytest.fixture(scope="module")
def found(told: list[dict[str, object]]) -> Advice:
    return advise(TANK, {"stones": told}, TODAY, tick=lambda _: None)


@pytest.mark.slow
def test_every_offer_betters_the_worst_off(found: Advice) -> None:
    assert found.offers
    assert all(offer.p < found.p for offer in found.offers)
    assert all(offer.do[0].isupper() for offer in found.offers)


@pytest.mark.slow
def test_an_offer_is_a_rockwork_that_the_page_can_show(found: Advice, told: list[dict[str, object]]) -> None:
    for offer in found.offers:
        stones = asked_of({"stones": offer.stones}).stones
        assert len(stones) in {len(told), len(told) + 1}
        assert len({stone.id for stone in stones}) == len(stones)
        changed = [new for new, old in zip(offer.stones, told, strict=False) if new != old]
        assert len(changed) + len(stones) - len(told) == 1


def test_what_is_no_stone_is_refused() -> None:
    with pytest.raises(InputErrors, match="the page sent"):
        advise(TANK, {"stones": [{"form": "castle"}]}, TODAY, tick=lambda _: None)
