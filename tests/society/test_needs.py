"""Unmet needs and jumping."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.society.build import CHROMIS, CLOWN, FIREFISH, GRAMMA, RULES, altered, fish, party, rock, tank

from slackwater.society.company import Keeping, Situation
from slackwater.society.needs import jumping_per_day, lacking, unmet_per_day

JAWFISH, MANDARIN = "Opistognathus aurifrons", "Synchiropus splendidus"


def lack(situation: Situation, need: str) -> float:
    return lacking(situation.animals[0], situation)[need]


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0, 2.0])
def test_sand_is_lacked_in_proportion(share: float) -> None:
    depth_cm = share * fish(JAWFISH).number("needs_sand_cm")
    situation = replace(tank(party(JAWFISH)), rockworks=(rock(sand_cm=depth_cm),))
    assert lack(situation, "sand") == pytest.approx(max(0.0, 1.0 - share))


def test_cover_is_lacked_in_a_bare_tank_and_half_so_in_a_sparse_one() -> None:
    bare, sparse, rocky = (
        lack(tank(party(GRAMMA), rocks=w), "cover") for w in ("none", "sparse", "moderate")
    )
    assert bare == fish(GRAMMA).number("needs_cover") > sparse > rocky == 0.0


def test_own_company_is_counted_over_parties() -> None:
    least = fish(CHROMIS).number("company_min")
    assert least > 2
    assert lack(tank(party(CHROMIS)), "company") == pytest.approx(1.0 - 1.0 / least)
    assert lack(tank(party(CHROMIS, count=int(least) - 1), party(CHROMIS, day=9)), "company") == 0.0
    assert lack(tank(party(GRAMMA)), "company") == 0.0


def test_pod_eaters_find_none_in_a_bare_tank() -> None:
    assert fish(MANDARIN).word("special_food") == "pods"
    assert lack(tank(party(MANDARIN), rocks="none"), "food") > lack(tank(party(MANDARIN)), "food")


def test_wild_counts_only_where_raised_ones_are_usual() -> None:
    assert fish(CLOWN).word("captive_bred") == "usual"
    assert lack(tank(replace(party(CLOWN), wild=True)), "wild") == 1.0
    assert lack(tank(party(CLOWN)), "wild") == 0.0
    assert lack(tank(replace(party("Zanclus cornutus", 12), wild=True)), "wild") == 0.0


def test_an_unmet_need_is_a_hazard_and_a_met_one_none() -> None:
    happy, bare = tank(party(GRAMMA)), tank(party(GRAMMA), rocks="none")
    assert unmet_per_day(happy.animals[0], happy, RULES) == 0.0
    assert unmet_per_day(bare.animals[0], bare, RULES) > 0.0


@pytest.mark.parametrize(
    ("needs", "keeping", "share"),
    [
        ("none", Keeping(), 0.0),
        ("hitching_post", Keeping(), 0.0),
        ("anemone", Keeping(), 1.0),
        ("anemone", Keeping(inverts=("anemone",)), 0.0),
        ("branch_coral", Keeping(), 0.5),
        ("branch_coral", Keeping(corals=("SPS corals",)), 0.0),
    ],
)
def test_a_host_is_missed_only_by_those_that_need_one(needs: str, keeping: Keeping, share: float) -> None:
    guest = replace(party(CLOWN), species=altered(CLOWN, needs_host=needs))
    assert lack(tank(guest, keeping=keeping), "host") == share


def test_a_lid_holds_everyone() -> None:
    open_top = tank(party(FIREFISH), keeping=Keeping(lid=False))
    jumps = RULES.words("jumps")[fish(FIREFISH).word("jumps")]
    assert jumping_per_day(open_top.animals[0], open_top, RULES) == jumps > 0.0
    closed = tank(party(FIREFISH))
    assert jumping_per_day(closed.animals[0], closed, RULES) == 0.0
