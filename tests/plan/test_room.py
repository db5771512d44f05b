"""Room for a group."""

from __future__ import annotations

import pytest

from slackwater.plan.room import group_volume_l, too_small_for
from slackwater.rules import load_rules
from slackwater.society.space import Room
from slackwater.taxa.facts import load_facts

RULES = load_rules()


def test_the_smallest_company_needs_what_the_table_says() -> None:
    chromis = load_facts().species("Chromis viridis")
    usual = int(chromis.number("company_min"))
    assert group_volume_l(chromis, usual, RULES) == chromis.number("min_volume_l")
    assert group_volume_l(chromis, 1, RULES) == chromis.number("min_volume_l")
    more = group_volume_l(chromis, usual + 4, RULES)
    assert more == pytest.approx(chromis.number("min_volume_l") * (1.0 + 4 * RULES["group_room"]))


def test_a_larger_group_never_fits_where_a_smaller_does_not() -> None:
    chromis, room = load_facts().species("Chromis viridis"), Room(120.0, 50.0, 200.0)
    fits = [not too_small_for(chromis, count, room, RULES) for count in range(1, 40)]
    assert fits[0]
    assert not fits[-1]
    assert fits == sorted(fits, reverse=True)
