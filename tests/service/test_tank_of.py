"""From a tank file to the tank the model sees: glass, stones, scans, and what cannot stand."""

import datetime as dt
import json
from pathlib import Path

import pytest

from slackwater.errors import InputErrors
from slackwater.service.planning import question_of
from slackwater.service.shelter import shelter_file
from slackwater.service.tank_of import stones_of, told_glass
from slackwater.service.tankfile import TankFile, load
from slackwater.service.tankfile_copy import plain_copy
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.stone import Form

TODAY = dt.date(2027, 1, 2)
PILE = """
  - {kind: boulder, x: 30, y: 28, length: 30, width: 24, height: 20, mass: 14 kg}
  - {kind: boulder, x: 58, y: 28, length: 26, width: 24, height: 20}
  - {kind: slab, x: 44, y: 28, length: 50, width: 20, height: 4}
"""


def tank_file(tank: str, rock: str = "moderate") -> TankFile:
    return load(f"slackwater: 1\nsand: 5 cm\ntank: {tank}\nrock: {rock}\nwishes: [royal gramma]\n")


def glass(tank: str) -> Glass:
    return told_glass(tank_file(tank).tank, [])


def faults(tank: str, rock: str = "moderate") -> list[str]:
    with pytest.raises(InputErrors) as caught:
        tank_file(tank, rock)
    return [str(fault) for fault in caught.value.faults]


BOX = "{length: 120 cm, width: 50 cm, height: 50 cm}"

# glass


def test_inner_sizes_follow_from_the_outer_ones() -> None:
    # 120 x 50 x 50 outside, 10 mm glass, 4 cm of freeboard: 118 x 48 x 45 inside, 254.88 L
    told = glass("{length: 120 cm, width: 50 cm, height: 50 cm, measured: outside, glass: 10 mm}")
    assert (told.length_cm, told.width_cm, told.height_cm) == pytest.approx((118.0, 48.0, 45.0))
    assert told.volume_l == pytest.approx(254.88)
    guessed = glass("{length: 120 cm, width: 50 cm, height: 50 cm, measured: outside}")
    assert guessed.volume_l == pytest.approx(254.88)
    low = glass("{length: 120, width: 50, height: 50, measured: outside, glass: 12 mm, freeboard: 5 cm}")
    assert low.height_cm == pytest.approx(43.8)


@pytest.mark.parametrize(
    ("tank", "shape", "litres"),
    [
        ("{shape: cylinder, length: 60 cm, height: 60 cm}", Shape.CYLINDER, 169.65),
        ("{shape: half cylinder, length: 120 cm, height: 50 cm}", Shape.HALF_CYLINDER, 282.74),
        ("{shape: quadrant, length: 70 cm, height: 60 cm}", Shape.QUADRANT, 230.91),
        ("{shape: hexagon, length: 70 cm, height: 60 cm}", Shape.HEXAGON, 190.96),
        ("{shape: Bow front, length: 100, width: 55, height: 50, bow: 15 cm}", Shape.BOW_FRONT, 250.89),
        (
            "{shape: l shape, length: 120, width: 80, height: 50, cut_length: 70, cut_width: 30}",
            Shape.L_SHAPE,
            375.0,
        ),
        ("{shape: cut corner, length: 70, width: 70, height: 55, cut_length: 40}", Shape.CUT_CORNER, 225.5),
        ("{shape: cube, length: 60}", Shape.CUBE, 216.0),
    ],
)
def test_every_shape_can_be_told(tank: str, shape: Shape, litres: float) -> None:
    told = glass(tank)
    assert told.shape is shape
    assert told.volume_l == pytest.approx(litres, abs=0.006)
    assert tank_file(tank).tank.gross_l == pytest.approx(told.volume_l)


@pytest.mark.parametrize(
    ("tank", "said"),
    [
        (
            "{shape: bow-front, length: 100, width: 55, height: 50}",
            "tank.bow is missing; a bow-front tank needs",
        ),
        ("{length: 100, width: 55, height: 50, bow: 15}", "tank.bow is 15 cm; a rectangular tank has none"),
        (
            "{shape: cylinder, length: 60, width: 50, height: 60}",
            "tank.width is 50 cm; a cylinder is as wide",
        ),
        (
            "{shape: bow-front, length: 100, width: 55, height: 50, bow: 54}",
            "tank.bow is 54 cm; the front of this tank can bow out by more than 0 and less than 50 cm",
        ),
        (
            "{shape: L-shape, length: 100, width: 55, height: 50, cut_length: 99, cut_width: 60}",
            "tank.cut_length is 99 x 60 cm; it must be more than 0 and less than the 100 x 55 cm",
        ),
        (
            "{length: 100, width: 55, height: 50, overflow: {x: 98, y: 50, length: 12, width: 10}}",
            "tank.overflow is 12 x 10 cm at x 98, y 50 cm; the box must stand inside the glass",
        ),
        ("{shape: cube, length: 60, height: 50}", "tank.height is 50 cm; a cube has one size"),
    ],
)
def test_what_no_tank_can_be_is_said_where_it_was_told(tank: str, said: str) -> None:
    (sentence,) = faults(tank)
    assert said in sentence


def test_a_volume_is_held_against_the_shape() -> None:
    (sentence,) = faults("{shape: hexagon, length: 70, width: 60.6, height: 60, volume: 250 L}")
    assert "these sides hold 191 L at most" in sentence


# stones


def test_stones_are_let_down_in_the_order_of_the_list() -> None:
    told = tank_file(BOX, PILE)
    first, second, roof = stones_of(told, told_glass(told.tank, []))
    assert first.base_cm == second.base_cm == 0.0
    assert roof.base_cm == pytest.approx(20.0, abs=0.2)
    assert first.mass_kg == 14.0


def test_a_mass_of_all_rock_is_shared_among_what_was_not_weighed() -> None:
    listed = "\n".join(f"    {line.strip()}" for line in PILE.strip().splitlines())
    told = tank_file(BOX, f"\n  mass: 40 kg\n  pieces:\n{listed}")
    stones = stones_of(told, told_glass(told.tank, []))
    assert sum(stone.weight_kg for stone in stones) == pytest.approx(40.0)
    assert stones[0].weight_kg == 14.0


def test_every_form_with_all_its_keys() -> None:
    forms = ["pillar", "shelf", "rubble", "branching coral", "sand bed", "anemone"]
    rows = [
        f"{{kind: {form}, x: {12 + 19 * n}, y: 14, length: 12, width: 10, height: 10}}"
        for n, form in enumerate(forms)
    ]
    rows += [
        "{kind: arch, x: 30, y: 36, length: 30, width: 12, height: 18, turn: 10, holes: [12 cm]}",
        "{kind: pipe, x: 66, y: 36, length: 20, width: 8, height: 8, holes: [{width: 5 cm, exits: 2}]}",
        "{x: 95, y: 36, base: 0, length: 16, width: 14, height: 12, tilt: 10, fixed: true, holes: []}",
    ]
    told = tank_file(BOX, "[" + ", ".join(rows) + "]")
    question = question_of(told, TODAY, "t")
    (rock,) = question.rockworks
    assert {stone.form for stone in rock.stones} == set(Form) - {Form.SLAB}
    assert question.keeping.has_host
    assert rock.deepest_sand_cm == 10.0
    assert {hole.width_cm for hole in rock.holes} > {12.0 * 1.0, 5.0}


@pytest.mark.parametrize(
    ("piece", "said", "remedy"),
    [
        (
            "{x: 30, y: 25, base: 12 cm, length: 20, width: 16, height: 12}",
            "a boulder at x 30, y 25, base 12 cm; it floats 12.0 cm above what it could rest on",
            "Write base: 0.0 cm, or leave base out",
        ),
        (
            "{x: 30, y: 6, length: 20, width: 16, height: 12}",
            "it reaches 2.0 cm through the glass",
            "Move it inside",
        ),
        (
            "{kind: pillar, x: 60, y: 25, length: 9, width: 9, height: 40, tilt: 60}",
            "it leans out: the middle of its load lies",
            "fixed: true",
        ),
        (
            "{x: 30, y: 25, length: 20, width: 16, height: 12, tilt: 85}",
            "tilt is 85; it must be at most 80",
            "",
        ),
        (
            "{kind: rubble, x: 30, y: 25, length: 20, width: 16, height: 12, tilt: 20}",
            "tilt is 20 degrees; a rubble lies level",
            "Leave the tilt out",
        ),
        (
            "{kind: bolder, x: 30, y: 25, length: 9, width: 9, height: 9}",
            "kind is bolder",
            "Did you mean boulder?",
        ),
    ],
)
def test_what_cannot_stand_is_said_with_what_to_do(piece: str, said: str, remedy: str) -> None:
    (sentence,) = faults(BOX, f"[{piece}]")
    assert said in sentence
    assert remedy in sentence


def test_all_stones_at_fault_are_told_at_once() -> None:
    floating = "{x: 30, y: 25, base: 12 cm, length: 20, width: 16, height: 12}"
    outside = "{x: 95, y: 6, length: 20, width: 16, height: 12}"
    assert len(faults(BOX, f"[{floating}, {outside}]")) == 2


def test_rock_told_twice_is_refused() -> None:
    (sentence,) = faults(BOX, "{layout: wall, pieces: [{x: 30, y: 25, length: 9, width: 9, height: 9}]}")
    assert "rock.layout is wall; the rock is told by pieces as well" in sentence


# scans


@pytest.fixture
def beside(tmp_path: Path) -> Path:
    trimesh = pytest.importorskip("trimesh")
    lump = trimesh.creation.icosphere(subdivisions=3, radius=11.0)
    lump.apply_scale([1.6, 1.0, 0.8])
    lump.export(tmp_path / "reef.stl")
    path = tmp_path / "tank.yaml"
    path.write_text(
        f"slackwater: 1\ntank: {BOX}\nrock: {{scan: {{file: reef.stl, unit: cm, x: 50, mass: 12 kg}}}}\n"
        "wishes: [royal gramma]\n",
        encoding="utf-8",
    )
    return path


def test_a_scan_beside_the_file_becomes_rock(beside: Path) -> None:
    question = question_of(load(beside), TODAY, "t")
    (rock,) = question.rockworks
    assert rock.mass_kg == 12.0
    assert rock.pieces[0].centre_cm == pytest.approx((50.0, 25.0, 8.8), abs=0.3)
    (note,) = question.notes
    assert note.startswith("Scan reef.stl: 7.")
    assert "one body stands for it" in note


def test_a_copy_of_a_tank_with_a_scan_needs_no_scan(beside: Path) -> None:
    copied = load(json.dumps(plain_copy(load(beside))))
    assert copied.rock.scan is None
    (before,), (after,) = (question_of(told, TODAY, "t").rockworks for told in (load(beside), copied))
    assert after.mass_kg == pytest.approx(before.mass_kg, rel=1e-4)
    assert after.pieces[0].half_cm == pytest.approx(before.pieces[0].half_cm, rel=1e-4)
    assert after.pieces[0].centre_cm == pytest.approx(before.pieces[0].centre_cm, abs=1e-3)


def test_a_scan_that_cannot_be_read_is_a_fault_of_the_file(beside: Path) -> None:
    (beside.parent / "reef.stl").write_bytes(b"solid nothing")
    with pytest.raises(InputErrors) as caught:
        load(beside)
    (fault,) = caught.value.faults
    assert str(fault).startswith("rock.scan is reef.stl; ")


# figures


def test_the_figures_on_shelter_of_a_file() -> None:
    company = "company: [{animal: ocellaris, count: 2, sex: pair}]"
    answer = shelter_file(f"slackwater: 1\nsand: 5 cm\ntank: {BOX}\nrock:{PILE}\n{company}\n", TODAY)
    card = answer.card
    assert card.structures == 1
    assert len(card.stones) == 3
    assert card.stones[0].mass_kg == 14.0
    assert card.stones[0].people == 2
    assert any("lift" in line for line in card.cautions)
    assert sum(row.holes for row in card.holes) == sum(row.dead_ends + row.two_exits for row in card.holes)
    (home,) = card.homes
    assert 0.0 < home.sees_share < 1.0
    assert 0.0 <= home.hidden_holes <= home.fitting_holes
    assert answer.sentence.startswith("One heap of rock; the view is broken every")
    assert "the verdict does not count holes" in answer.says_who
