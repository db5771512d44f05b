"""Who to take out, who could come, how many."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.also import also
from slackwater.plan.many import how_many
from slackwater.plan.taking_out import taking_out

LONG_AGO = dt.date(2026, 1, 1)


def test_the_bully_is_the_one_to_take_out_and_the_next_is_named(ask: Asker) -> None:
    question = ask(
        (
            resident("Pseudocheilinus hexataenia", 7.0, LONG_AGO),
            resident("Nemateleotris magnifica", 6.0, dt.date(2026, 12, 20)),
            resident("Pseudochromis fridmani", 6.0, dt.date(2026, 12, 20)),
        )
    )
    found = taking_out(question)
    assert found.now.word in {"pressed", "besieged"}
    best = found.removals[0]
    assert best.after.p < found.now.p
    assert all(best.after.p <= row.after.p for row in found.removals)
    assert found.sentence.startswith("Take out")
    assert {row.key for row in found.removals} == {w.key for w in question.residents}


def test_a_quiet_company_need_not_change(ask: Asker) -> None:
    found = taking_out(ask((resident("Amphiprion ocellaris", 7.0, LONG_AGO, count=2, sex="pair"),)))
    assert found.sentence.startswith("Nobody need leave")
    assert [row.taken for row in found.removals] == ["one of 2 ocellaris clownfish"]


def test_a_lone_animal_cannot_be_taken_out_for_anothers_sake(ask: Asker) -> None:
    assert "only one" in taking_out(ask((resident("Gramma loreto", 6.0, LONG_AGO),))).sentence


@pytest.mark.slow
def test_who_would_fit_is_borne_and_who_breaks_it_has_a_reason(ask: Asker) -> None:
    question = ask((resident("Amphiprion ocellaris", 7.0, LONG_AGO, count=2, sex="pair"),))
    found = also(question)
    assert len(found.fits) == 10
    assert len({fit.scientific_name.split()[0] for fit in found.fits}) == 10
    assert all(fit.word in {"at ease", "jostled"} and fit.reason for fit in found.fits)
    assert all(row.reason for row in found.breaks)
    assert "Amphiprion clarkii" in {row.scientific_name for row in found.breaks}
    assert found.screened > 200


def test_one_dwarf_angel_does_and_more_do_not(ask: Asker) -> None:
    found = how_many(ask(), wanted("Centropyge loricula", 6.0))
    assert [size.count for size in found.sizes] == list(range(1, 13))
    assert 1 in found.good
    assert 6 not in found.good
    assert "would do" in found.sentence


def test_a_tank_too_small_takes_none(ask: Asker) -> None:
    found = how_many(ask(length_cm=60.0), wanted("Zebrasoma flavescens", 8.0))
    assert found.good == ()
    assert "needs a tank" in found.sentence


def test_a_group_needs_room_of_its_own(ask: Asker) -> None:
    found = how_many(ask(length_cm=80.0), wanted("Chromis viridis", 4.0))
    roomy = [size.has_room for size in found.sizes]
    assert roomy == sorted(roomy, reverse=True)
    assert not all(roomy)
    assert not set(found.good) & {size.count for size in found.sizes if not size.has_room}
