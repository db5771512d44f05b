"""Places for food, a divider and a box: told, judged, put in by a page, and written back."""

from __future__ import annotations

import datetime as dt

import pytest
import yaml

from slackwater.errors import InputErrors
from slackwater.rules import load_rules
from slackwater.service.furnishing import Things, furnished, things_of
from slackwater.service.planning import question_of
from slackwater.service.rock_pieces import with_page
from slackwater.service.tank_view import Pressed, asked_of, open_view, pressed, sent_stones
from slackwater.service.tankfile import json_schema, load

TODAY = dt.date(2026, 11, 25)
TANK = """slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
rock:
  - {x: 60 cm, y: 25 cm, length: 20 cm, width: 46 cm, height: 40 cm, kind: slab}
company: [{animal: six line, length: 6 cm}]
wishes: [{animal: royal gramma, length: 5 cm, box_days: 4}, {animal: ocellaris, length: 5 cm}]
"""
SIX_LINE, GRAMMA, CLOWN = "pseudocheilinus-hexataenia", "gramma-loreto", "amphiprion-ocellaris"


def tank(more: str) -> str:
    return TANK + more + "\n"


def ask(text: str, **things: object) -> Pressed:
    view = open_view(text, TODAY)
    sent = things_of(view.question).model_dump() | things
    return pressed(view, asked_of({"stones": sent_stones(view.stones), "things": sent}))


def per_h(found: Pressed) -> dict[str, float]:
    return {row.key: row.per_h for row in found.rows}


def places(*at: tuple[float, float, float]) -> list[dict[str, float]]:
    return [dict(zip(("x", "y", "base"), one, strict=True)) for one in at]


def faults(given: str) -> list[tuple[str, str]]:
    with pytest.raises(InputErrors) as caught:
        load(given)
    return [(fault.field, fault.limit) for fault in caught.value.faults]


def test_stations_are_a_count_or_places() -> None:
    assert question_of(load(tank("keeping: {stations: 2}")), TODAY, "").keeping.stations == 2
    told = question_of(
        load(tank("keeping: {stations: [{x: 10 cm, y: 12 cm}, {x: 4 in, y: 9 cm, base: 5 cm}]}")), TODAY, ""
    )
    assert told.keeping.stations == 2
    first, second = told.keeping.places_cm
    assert first == pytest.approx((10.0, 12.0, 45.0))
    assert second == pytest.approx((10.16, 9.0, 5.0))
    assert told.keeping.food_both_ends  # one near the surface, one at the floor
    assert "places" in str(json_schema()["$defs"])


def test_two_places_that_one_animal_holds_are_hardly_two() -> None:
    near = ask(TANK, stations=places((10, 10, 45), (12, 10, 45)))
    far = ask(TANK, stations=places((10, 10, 45), (110, 10, 45)))
    # n^2 / sum: 4 / (2 + 2 exp(-(2/40)^2)) = 1.0012
    assert near.stations == pytest.approx(1.0012, abs=1e-3)
    assert far.stations == pytest.approx(2.0, abs=1e-2)
    assert per_h(far)[GRAMMA] < per_h(near)[GRAMMA]


def test_rock_between_two_places_makes_them_two() -> None:
    rock = ask(TANK, stations=places((45, 25, 10), (75, 25, 10)))
    above = ask(TANK, stations=places((45, 25, 46), (75, 25, 46)))
    assert above.stations < rock.stations == pytest.approx(2.0)


def test_a_place_on_the_other_side_of_a_divider_feeds_nobody_here() -> None:
    view = open_view(TANK, TODAY)
    sheet = {"at": 30.0, "sheet": "opaque", "right": [GRAMMA, CLOWN]}
    told = Things.model_validate(
        {"stations": places((10, 10, 45), (50, 10, 45), (110, 10, 45)), "divider": sheet}
    )
    keeping = furnished(view.question, told, view.question.rockworks[0], load_rules()).keeping
    assert keeping.stations_felt("left") == 1.0
    assert keeping.stations_felt("right") == pytest.approx(2.0, abs=0.2)
    assert keeping.stations_felt() == pytest.approx(3.0, abs=0.2)


def test_an_opaque_sheet_parts_and_a_clear_one_shows() -> None:
    parted = {"at": 90.0, "right": [GRAMMA, CLOWN]}
    opaque = per_h(ask(TANK, divider=parted | {"sheet": "opaque"}))
    clear = per_h(ask(TANK, divider=parted | {"sheet": "clear"}))
    whole = per_h(ask(TANK))
    assert opaque[SIX_LINE] == 0.0
    assert clear[SIX_LINE] > 0.0
    assert whole[GRAMMA] > opaque[GRAMMA]


def test_the_map_ends_where_an_opaque_sheet_parts_rivals() -> None:
    parted = {"at": 60.0, "sheet": "opaque", "right": [CLOWN]}
    found = ask(TANK, divider=parted)
    half = found.above.shape[1] // 2
    assert found.above[:, :half].max() > 0  # the wrasse and the gramma
    assert found.above[:, half:].max() == 0  # a clownfish alone
    low = TANK.replace("height: 40 cm", "height: 8 cm")
    assert ask(low, divider=parted).above[:, half:].max() == 0
    assert ask(low, divider=parted | {"sheet": "clear"}).above[:, half:].max() > 0


def test_a_divider_is_answered_as_the_tank_file_that_tells_it() -> None:
    parted = {"at": 90.0, "sheet": "clear", "right": [GRAMMA, CLOWN]}
    sent = things_of(open_view(TANK, TODAY).question).model_dump() | {"divider": parted}
    written = with_page(TANK, None, sent)
    assert per_h(ask(written)) == pytest.approx(per_h(ask(TANK, divider=parted)))
    assert yaml.safe_load(written)["divider"] == {"at": "90 cm", "sheet": "clear"}
    assert [row["side"] for row in yaml.safe_load(written)["wishes"]] == ["right", "right"]
    whole = with_page(written, None, sent | {"divider": None})
    assert "divider" not in yaml.safe_load(whole)
    assert all("side" not in row for row in yaml.safe_load(whole)["wishes"])


def test_the_box_says_what_a_newcomer_would_draw_there() -> None:
    box = {"x": 10.0, "y": 10.0, "base": 36.0, "length": 14.0, "width": 10.0, "height": 10.0}
    here = dict(ask(TANK, box=box).boxed)
    there = dict(ask(TANK, box=box | {"x": 110.0}).boxed)
    assert set(here) == {GRAMMA, CLOWN}
    assert here[GRAMMA] != there[GRAMMA]
    assert ask(TANK).boxed == ()


def test_a_box_that_is_taken_out_stays_the_keepers() -> None:
    text = tank("box: {length: 20 cm, width: 14 cm, height: 15 cm, x: 15 cm, y: 10 cm}")
    sent = things_of(open_view(text, TODAY).question).model_dump()
    assert sent["box"]["base"] == 35.0
    out = yaml.safe_load(with_page(text, None, sent | {"box": None}))
    assert out["box"] == {"length": "20 cm", "width": "14 cm", "height": "15 cm"}


def test_what_is_left_alone_stays_letter_for_letter() -> None:
    text = tank("keeping: {stations: 2, feeds_per_day: 3}")
    sent = things_of(open_view(text, TODAY).question).model_dump()
    assert yaml.safe_load(with_page(text, None, sent))["keeping"] == {
        "stations": {"count": 2},
        "feeds_per_day": 3,
    }
    moved = sent | {"stations": places((20, 10, 45))}
    assert yaml.safe_load(with_page(text, None, moved))["keeping"]["stations"] == {
        "places": [{"x": "20 cm", "y": "10 cm", "base": "45 cm"}]
    }


@pytest.mark.parametrize(
    ("more", "field", "limit"),
    [
        ("keeping: {stations: [{x: 130 cm, y: 5 cm}]}", "keeping.stations.places[1].x", "ends at 120 cm"),
        (
            "keeping: {stations: {count: 3, places: [{x: 3 cm, y: 5 cm}]}}",
            "keeping.stations.count",
            "1 places are listed",
        ),
        ("box: {length: 20 cm, x: 5 cm, y: 10 cm}", "box.x", "reaches from -5 to 15 cm"),
        ("box: {length: 20 cm, x: 60 cm, y: 10 cm, base: 20 cm}", "box", "a stone or the glass"),
        ("box: {length: 20 cm, y: 10 cm}", "box.x", "a place has x and y"),
    ],
)
def test_what_cannot_be_there_is_refused(more: str, field: str, limit: str) -> None:
    assert any(field == where and limit in said for where, said in faults(tank(more)))


def test_a_side_without_food_and_a_box_in_the_divider_are_refused() -> None:
    text = (
        "slackwater: 1\ntank: {length: 120 cm, width: 50 cm, height: 50 cm}\ndivider: 60 cm\n"
        "box: {length: 20 cm, x: 55 cm, y: 10 cm}\nkeeping: {stations: [{x: 10 cm, y: 5 cm}]}\n"
        "wishes: [{animal: royal gramma, side: right}]\n"
    )
    assert faults(text) == [
        ("box.x", "the divider stands there, at 60 cm"),
        ("keeping.stations", "somebody lives there"),
    ]
