"""Nips: by trait, in three words."""

from __future__ import annotations

import pytest
from tests.society.build import CHROMIS, fish

from slackwater.errors import InputError
from slackwater.society.nips import KINDS, nipped_per_day, nips
from slackwater.taxa.facts import load_traits


def test_each_kind_has_its_trait() -> None:
    assert set(KINDS.values()) <= set(load_traits())


def test_a_plankton_eater_leaves_corals_alone_and_a_coral_eater_does_not() -> None:
    assert nips(fish(CHROMIS), "SPS corals") == "no"
    assert nips(fish("Oxymonacanthus longirostris"), "SPS corals") == "likely"


def test_an_unknown_kind_is_refused_with_those_known() -> None:
    with pytest.raises(InputError, match="the program knows SPS corals"):
        nips(fish(CHROMIS), "pebbles")


def test_hazards_rise_with_the_word() -> None:
    assert nipped_per_day("no") == 0.0 < nipped_per_day("possible") < nipped_per_day("likely")
