"""When no order is bearable, the plan names who clashes and what would settle it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tests.plan.tanks import Asker, resident, wanted
from tests.society.build import altered

from slackwater.plan.clash import _alike, bearable, instead_of, judged, largest_bearable
from slackwater.plan.room import too_large_now
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.taxa.facts import load_facts

LONG_AGO = dt.date(2026, 1, 1)


def test_a_lionfish_is_left_out_for_chromis_that_are_dearer(ask: Asker) -> None:
    question = ask(
        (),
        (
            wanted("Pterois volitans", 12.0, wish=3.0),
            wanted("Chromis viridis", 4.0, count=6, wish=8.0),
            wanted("Gramma loreto", 6.0),
        ),
    )
    kept = largest_bearable(question, load_rules())
    assert [w.species.name for w in kept.left_out] == ["Pterois volitans"]
    assert "eat" in kept.clashes[0].sentence
    assert any("Leave out" in way for way in kept.clashes[0].settle)
    assert bearable(judged(kept.question, load_rules()), load_rules())


def test_a_peaceful_list_is_left_whole(ask: Asker) -> None:
    question = ask(
        (resident("Amphiprion ocellaris", 6.0, LONG_AGO, count=2, sex="pair"),),
        (wanted("Halichoeres chrysus", 8.0), wanted("Salarias fasciatus", 9.0)),
    )
    kept = largest_bearable(question, load_rules())
    assert kept.left_out == ()
    assert kept.clashes == ()


def test_trouble_among_residents_alone_is_said(ask: Asker) -> None:
    question = ask(
        (
            resident("Zebrasoma xanthurum", 15.0, LONG_AGO),
            resident("Zebrasoma flavescens", 10.0, dt.date(2026, 12, 31)),
        ),
        (wanted("Gramma loreto", 6.0),),
    )
    kept = largest_bearable(question, load_rules())
    assert kept.clashes
    assert any("already there" in way for way in kept.clashes[-1].settle)


def test_replacements_can_be_borne_by_the_rest(ask: Asker) -> None:
    question = ask((resident("Zebrasoma xanthurum", 15.0, LONG_AGO),), ())
    rules = load_rules()
    wish = wanted("Zebrasoma flavescens", 9.0)
    for species in instead_of(question, wish, rules):
        swapped = replace(wish, species=species, length_cm=species.number("sale_length_cm"))
        assert bearable(judged(replace(question, wishes=(swapped,)), rules), rules)


def test_nothing_is_more_like_an_animal_than_itself() -> None:
    facts = load_facts()
    kinds = [
        facts.species(name)
        for name in facts.species_names
        if facts.species(name).text("described") != "named"
    ]
    for one in kinds[::40]:
        assert all(_alike(one, one) >= _alike(one, other) == _alike(other, one) for other in kinds[::7])


def test_of_two_kinds_alike_but_for_their_size_the_nearer_size_is_the_more_alike() -> None:
    gramma = load_facts().species("Gramma loreto")
    near, far = (altered("Gramma loreto", adult_length_cm=cm) for cm in (10.0, 30.0))
    assert _alike(gramma, gramma) > _alike(gramma, near) > _alike(gramma, far)


def test_who_has_no_room_from_the_first_day_stays_out_and_who_outgrows_it_later_comes(ask: Asker) -> None:
    # Common practice, no source: a yellow tang wants 150 cm and is not sold into a tank of 60 cm.
    tang = (wanted("Zebrasoma flavescens", 8.0), wanted("Gramma loreto", 6.0))
    small, middling = (largest_bearable(ask((), tang, length_cm=cm), load_rules()) for cm in (60.0, 120.0))
    assert [w.species.name for w in small.left_out] == ["Zebrasoma flavescens"]
    assert "from the first day" in small.clashes[0].sentence
    assert "150 cm and 400 L; this one has 60 cm" in small.clashes[0].sentence
    assert middling.left_out == ()


def test_a_side_of_a_divider_is_the_room_that_counts(ask: Asker) -> None:
    tang = replace(wanted("Zebrasoma flavescens", 8.0), side="right")
    parted = replace(ask((), (tang,)), divider_cm=90.0)
    assert too_large_now(parted, load_rules()) == (tang,)
    assert too_large_now(replace(parted, divider_cm=15.0), load_rules()) == ()


def test_a_lid_is_offered_to_who_would_only_jump(ask: Asker) -> None:
    open_top = replace(ask((), (wanted("Nemateleotris magnifica", 5.0),)), keeping=Keeping(lid=False))
    kept = largest_bearable(open_top, load_rules())
    assert [w.species.name for w in kept.left_out] == ["Nemateleotris magnifica"]
    assert "Or cover the tank without gaps: then firefish can come." in kept.clashes[0].settle
    assert "would jump out of a tank without a lid" in kept.clashes[0].sentence
