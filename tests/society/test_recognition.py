"""Who takes whom for a rival, and from how far."""

from __future__ import annotations

import pytest
from tests.society.build import CHROMIS, FIREFISH, GRAMMA, RULES, SCOPAS_TANG, YELLOW_TANG, altered, fish

from slackwater.society.recognition import (
    LADDER_CM,
    Kin,
    diet_overlap,
    food_rivalry,
    form_likeness,
    kin,
    reaction_radius_cm,
    recognition,
    rung_weights,
    same_home,
)
from slackwater.taxa.facts import load_facts

TANG, SCOPAS = fish(YELLOW_TANG), fish(SCOPAS_TANG)
SPECIES = [fish(name) for name in load_facts().species_names[::9]]


def test_kin_from_own_to_stranger() -> None:
    assert kin(TANG, TANG, RULES) is Kin.OWN
    assert kin(fish("Chaetodon auriga"), fish("Chaetodon semilarvatus"), RULES) is Kin.CONGENER
    assert kin(fish("Thalassoma lunare"), fish("Halichoeres melanurus"), RULES) is Kin.GUILD
    assert kin(TANG, fish(FIREFISH), RULES) is Kin.STRANGER


def test_a_named_look_alike_is_one_both_ways() -> None:
    cleaner, false_cleaner = fish("Labroides dimidiatus"), fish("Aspidontus taeniatus")
    assert kin(cleaner, false_cleaner, RULES) is Kin.LOOKALIKE
    assert kin(false_cleaner, cleaner, RULES) is Kin.LOOKALIKE


def test_an_own_kind_is_wholly_recognised() -> None:
    assert all(recognition(s, s, RULES) == 1.0 for s in SPECIES)


def test_recognition_never_falls_below_intolerance_nor_exceeds_one() -> None:
    floors = RULES.words("intolerance")
    for a in SPECIES:
        for b in SPECIES:
            share = recognition(a, b, RULES)
            assert floors[a.word("intolerance")] <= share <= 1.0


def test_a_stranger_is_never_above_a_congener() -> None:
    for a in SPECIES:
        congener = max(
            RULES.words("congener")[a.word("temper_genus")],
            RULES.words("intolerance")[a.word("intolerance")],
        )
        for b in SPECIES:
            if kin(a, b, RULES) in {Kin.GUILD, Kin.STRANGER}:
                assert recognition(a, b, RULES) <= congener


def test_a_stranger_by_hand() -> None:
    # Base 0.02 and span 0.18, unlike in form: 0.02, whatever it eats; unless intolerant.
    rules = RULES.replaced(
        {"stranger_base": 0.02, "stranger_span": 0.18, "intolerance.mild": 0.0, "intolerance.none": 0.0}
    )
    assert form_likeness(fish(CHROMIS), fish("Salarias fasciatus")) == 0.0
    assert recognition(fish(CHROMIS), fish("Salarias fasciatus"), rules) == pytest.approx(0.02)


def test_likenesses_are_symmetric_shares() -> None:
    for a in SPECIES:
        for b in SPECIES:
            for measure in (form_likeness, diet_overlap, same_home):
                assert 0.0 <= measure(a, b) <= 1.0 + 1e-12
                assert measure(a, b) == pytest.approx(measure(b, a))
        assert diet_overlap(a, a) == pytest.approx(1.0)


def test_plankton_counts_for_less_than_food_that_can_be_kept() -> None:
    # Two that live on plankton alone: the overlap is 1, the rivalry the share that is defended.
    nothing = {f"diet_{kind}": 0.0 for kind in TANG.diet}
    eater = altered(CHROMIS, **nothing | {"diet_plankton": 1.0})
    assert food_rivalry(eater, eater, RULES) == pytest.approx(RULES["plankton_defended"])
    grazer = fish("Ecsenius bicolor")
    assert food_rivalry(grazer, grazer, RULES) > 0.9


def test_food_off_the_sand_is_not_food_off_the_rock() -> None:
    picker = fish("Synchiropus splendidus")
    near, far = (altered(picker.name, structure_use=use) for use in (0.85, 0.25))
    assert food_rivalry(picker, near, RULES) > food_rivalry(picker, far, RULES)


def test_who_cruises_reacts_farther_than_who_sits() -> None:
    styles = ("rest", "hover", "dart", "cruise", "race")
    radii = [
        reaction_radius_cm(altered(YELLOW_TANG, swim_style=style), SCOPAS, 8.0, RULES) for style in styles
    ]
    assert radii == sorted(radii)
    assert radii[-1] > radii[0]


def test_open_water_is_nobodys_home() -> None:
    swimmers = [s for s in SPECIES if s.word("home_kind") == "open_water"]
    assert swimmers
    assert all(same_home(s, s) == 0.0 for s in swimmers)


def test_the_same_hole_on_another_level_counts_less() -> None:
    homes = [s for s in SPECIES if s.word("home_kind") == "hole"]
    shares = {same_home(a, b) for a in homes for b in homes}
    assert shares <= {0.7, 1.0}


def test_radius_falls_with_kinship_and_rises_with_length() -> None:
    radii = [
        reaction_radius_cm(fish(a), fish(b), 8.0, RULES)
        for a, b in (
            ("Thalassoma lunare", "Thalassoma lunare"),
            ("Thalassoma lunare", "Thalassoma lutescens"),
            ("Thalassoma lunare", "Halichoeres melanurus"),
            ("Thalassoma lunare", GRAMMA),
        )
    ]
    assert radii == sorted(radii, reverse=True)
    assert len(set(radii)) == 4
    assert reaction_radius_cm(TANG, SCOPAS, 6.0, RULES) < reaction_radius_cm(TANG, SCOPAS, 9.0, RULES)


@pytest.mark.parametrize(("radius_cm", "rung", "share"), [(7.5, 0, 0.0), (30.0, 2, 0.0), (120.0, 3, 1.0)])
def test_a_rung_of_the_ladder_is_met_exactly(radius_cm: float, rung: int, share: float) -> None:
    lower, next_up = rung_weights(radius_cm)
    assert lower == rung
    assert next_up == pytest.approx(share)


def test_between_rungs_the_share_is_that_of_the_logarithm() -> None:
    between = (LADDER_CM[1] * LADDER_CM[2]) ** 0.5
    lower, next_up = rung_weights(between)
    assert lower == 1
    assert next_up == pytest.approx(0.5)


def test_every_radius_lies_on_the_ladder() -> None:
    for length_cm in (0.5, 3.0, 10.0, 40.0, 150.0):
        radius = reaction_radius_cm(TANG, TANG, length_cm, RULES)
        assert LADDER_CM[0] <= radius <= LADDER_CM[-1]


def test_a_look_alike_is_taken_for_a_rival_by_temper() -> None:
    tang, scopas = altered(YELLOW_TANG, temper_lookalike="harsh"), fish(FIREFISH)
    tang.lookalikes = frozenset({FIREFISH})
    floor = RULES.words("intolerance")[tang.word("intolerance")]
    assert recognition(tang, scopas, RULES) == floor + (1.0 - floor) * RULES["lookalike.harsh"]
    assert recognition(TANG, scopas, RULES) < RULES["lookalike.easy"]
