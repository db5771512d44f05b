"""Dividers designed: holes nobody passes, what the water asks, thickness and ribs."""

from __future__ import annotations

import dataclasses
import math

import pytest
from tests.plan.tanks import wanted

from slackwater.errors import InputError
from slackwater.plan.sheet_design import (
    SheetDesign,
    SheetSite,
    body_cm,
    design,
    egg_crate,
    hole_cm,
    hole_places,
    may_clog,
    narrowest,
)
from slackwater.rules import load_rules
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sheets import Hold, Opening, Plate, bent, head_loss_cm, passing_cm

RULES = load_rules()
TANK = Glass(Shape.RECTANGULAR, 120.0, 50.0, 50.0)
GRAMMA, FIREFISH, TANG = "Gramma loreto", "Nemateleotris magnifica", "Zebrasoma flavescens"


def sheet(*names: str, glass: Glass = TANK, at_cm: float = 60.0, flow_l_h: float = 1500.0) -> SheetDesign:
    animals = [wanted(name, 7.0) for name in names or (GRAMMA,)]
    return design(animals, SheetSite(glass, 5.0, at_cm, flow_l_h), RULES)


def test_a_body_from_the_traits_of_its_species() -> None:
    species = wanted(GRAMMA, 7.0).species
    depth, width = body_cm(species, 7.0)
    standard_cm = 7.0 / species.number("tl_per_sl")
    assert depth == pytest.approx(standard_cm * species.number("body_depth_ratio"))
    assert width == pytest.approx(standard_cm * species.number("body_width_ratio"))


def test_the_narrowest_is_by_body_and_not_by_length() -> None:
    found = narrowest([wanted(TANG, 5.0), wanted(FIREFISH, 6.0)])
    assert found.common_name == "firefish"
    assert found.round_cm == max(found.depth_cm, found.width_cm)


def test_nobody_passes_or_wedges_in_a_hole() -> None:
    for length in (4.0, 7.0, 12.0):
        animal = wanted(GRAMMA, length)
        hole = hole_cm([animal], RULES)
        depth, width = body_cm(animal.species, length)
        assert hole <= RULES["sheet_wedge"] * passing_cm(depth, width, Opening.ROUND) + 1e-9


def test_an_animal_too_thin_for_any_drill_is_refused() -> None:
    with pytest.raises(InputError, match="could hold it fast"):
        hole_cm([wanted(FIREFISH, 2.5)], RULES)
    with pytest.raises(InputError, match="who must not pass"):
        narrowest([])


def test_egg_crate_holds_the_deep_and_not_the_thin() -> None:
    deep = egg_crate([wanted(TANG, 12.0)], RULES)
    assert deep.holds
    assert "stop even yellow tang" in deep.sentence
    assert "swims through" in egg_crate([wanted(FIREFISH, 6.0)], RULES).sentence
    wedged = egg_crate([wanted(GRAMMA, 7.0)], RULES)
    assert "wedge" in wedged.sentence
    assert wedged.open_share == pytest.approx((1.25 / 1.41) ** 2)


def test_all_holes_are_within_the_rims_and_apart() -> None:
    made = sheet()
    drilled, places = made.drilling, hole_places(made)
    radius = drilled.hole_cm / 2.0
    assert len(places) == drilled.holes == drilled.columns * drilled.rows - drilled.rows // 2
    assert min(x for x, _ in places) - radius >= drilled.rim_cm - 1e-9
    assert max(x for x, _ in places) + radius <= made.width_cm - drilled.rim_cm + 1e-9
    assert min(y for _, y in places) - radius == pytest.approx(drilled.floor_rim_cm)
    assert max(y for _, y in places) + radius <= made.height_cm - drilled.rim_cm + 1e-9
    near = [math.dist(places[0], other) for other in places[1:]]
    assert min(near) == pytest.approx(drilled.pitch_cm)


def test_no_hole_lies_in_the_sand() -> None:
    assert sheet().drilling.floor_rim_cm == 5.0 + RULES["sheet_rim_cm"]


def test_the_open_share_under_water_counts_the_holes_there() -> None:
    made = sheet()
    wet = [y for _, y in hole_places(made) if y + made.drilling.hole_cm / 2.0 <= made.wet_cm]
    expected = len(wet) * math.pi * made.drilling.hole_cm**2 / 4.0 / (made.width_cm * (made.wet_cm - 5.0))
    assert made.drilling.wet_share == pytest.approx(expected)


def test_the_water_moves_as_the_flow_says() -> None:
    made = sheet(flow_l_h=1500.0)
    # 1500 L/h are 416.7 cm3/s over 49.4 x 45 cm
    assert made.at_flow.speed_cm_s == pytest.approx(1500.0 / 3.6 / (49.4 * 45.0))
    assert made.at_flow.head_cm == pytest.approx(
        head_loss_cm(made.drilling.wet_share, made.at_flow.speed_cm_s)
    )
    assert made.at_pump.head_cm > made.at_flow.head_cm


def test_the_share_that_may_clog_brings_the_levels_to_what_the_sheet_is_made_for() -> None:
    share = may_clog(0.3, 5.0, 2.0)
    assert head_loss_cm(0.3 * (1.0 - share), 5.0) == pytest.approx(2.0, rel=1e-3)
    assert may_clog(0.3, 0.0, 2.0) == 1.0
    assert may_clog(0.05, 20.0, 2.0) == 0.0


def test_a_sheet_is_as_thin_as_stays_within_slot_and_stress() -> None:
    made = sheet()
    strong, holes = made.strength, made.drilling.hole_cm / made.drilling.pitch_cm
    assert strong.is_stiff
    assert 2.0 * strong.deflection_cm <= strong.slot_cm <= RULES["sheet_slot_cm"]
    free = Plate(made.width_cm / (strong.ribs + 1), made.height_cm, 0.3, holes, Hold.TWO_SIDES, 1427.0)
    assert strong.deflection_cm == pytest.approx(bent(free, 2.0).deflection_cm)
    weaker = dataclasses.replace(free, width_cm=made.width_cm)
    assert 2.0 * bent(weaker, 2.0).deflection_cm > RULES["sheet_slot_cm"]


def test_a_wider_tank_needs_more_ribs() -> None:
    wide = Glass(Shape.RECTANGULAR, 200.0, 120.0, 60.0)
    assert sheet(glass=wide).strength.ribs > sheet().strength.ribs


def test_a_sheet_is_as_wide_as_the_tank_where_it_stands() -> None:
    round_tank = Glass(Shape.CYLINDER, 80.0, 80.0, 50.0)
    # chord of a circle of radius 40 at 25 from the pane: 2 sqrt(40^2 - 15^2) = 74.16
    assert sheet(glass=round_tank, at_cm=25.0).width_cm == pytest.approx(74.16 - 0.6, abs=0.2)
    assert sheet(glass=round_tank, at_cm=40.0).width_cm == pytest.approx(79.4, abs=0.1)


def test_a_tank_with_no_room_for_holes_is_refused() -> None:
    small = Glass(Shape.RECTANGULAR, 30.0, 6.0, 12.0)
    with pytest.raises(InputError, match="no room for holes"):
        sheet(glass=small, at_cm=15.0)
