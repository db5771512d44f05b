"""In the shop and on the road: four lines each, with the hazards of those that are bought."""

from __future__ import annotations

from tests.plan.tanks import Asker, wanted

from slackwater.plan.receiving_card import bags, choosing, long_way, receiving_card, short_way


def test_four_lines_each() -> None:
    company = (wanted("Gramma loreto", 6.0), wanted("Zebrasoma flavescens", 9.0))
    assert len(choosing(company)) == len(bags(company)) == len(short_way()) == len(long_way()) == 4


def test_sizes_are_those_of_the_plan() -> None:
    assert "royal gramma 6 cm" in choosing((wanted("Gramma loreto", 6.0),))[2]


def test_slow_eaters_are_asked_to_eat_twice() -> None:
    assert "mandarin" in choosing((wanted("Synchiropus splendidus", 6.0),))[0]


def test_spines_go_into_a_rigid_box() -> None:
    assert "Rigid box" in bags((wanted("Pterois volitans", 12.0),))[2]
    assert "jar, not net" in bags((wanted("Gramma loreto", 6.0),))[2]


def test_the_long_way_has_no_drip() -> None:
    assert "No drip" in " ".join(long_way())
    assert "drip tank water" in " ".join(short_way())
    assert all("no bag water into the tank" in way[-1] for way in (short_way(), long_way()))


def test_nothing_wished_for_needs_no_card(ask: Asker) -> None:
    assert receiving_card(ask()) is None
    assert receiving_card(ask((), (wanted("Gramma loreto", 6.0),))) is not None
