"""Judged cases: read, put to the model, and scored."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from slackwater.errors import InputError, UnknownTaxonError
from slackwater.rules import load_rules
from slackwater.service.exam import (
    answer_case,
    burden,
    not_modelled,
    read_cases,
    sit,
    situation_of,
    species_of,
)
from slackwater.service.scoring import Answer, Direction, directions, score
from slackwater.society.company import Deed, Place, Sex
from slackwater.society.judge import Settings, judge

QUICK = Settings(fine=False, draws=16)

OUTCOMES = """
- id: own-1
  family: "groupers"
  lever: gape
  system: {shape: box, length_cm: 150, width_cm: 60, height_cm: 60, rock: moderate}
  animals:
    - {species: Cephalopholis argus, length_cm: 30, day: 0}
    - {species: Chromis viridis, length_cm: 4, day: 0, count: 3}
  horizon_days: 180
  expect:
    - {kind: eaten, by: Cephalopholis argus, to: Chromis viridis, value: true}
    - {kind: eaten, by: Chromis viridis, to: Cephalopholis argus, value: false}
    - {kind: harm, by: Chromis viridis, to: Cephalopholis argus, level: none}
    - {kind: community, value: trouble}
    - {kind: space, species: Cephalopholis argus, value: too_small}
    - {kind: nips, by: Chromis viridis, to: SPS corals, value: "no"}
  why: a grouper swallows what fits
  confidence: high
"""
COMPARISON = """
- id: own-2
  family: "tangs"
  lever: length
  base:
    system: {shape: box, length_cm: 90, width_cm: 45, height_cm: 45, rock: none}
    animals: &two
      - {species: Zebrasoma flavescens, length_cm: 9, day: 0}
      - {species: Zebrasoma scopas, length_cm: 8, day: 14}
  change:
    system: {shape: box, length_cm: 240, width_cm: 75, height_cm: 75, rock: none}
    animals: *two
  about: Zebrasoma scopas
  expect: better
  why: room to leave
  confidence: high
"""
FULL: dict[str, Any] = {
    "system": {
        "shape": "box",
        "length_cm": 100,
        "width_cm": 40,
        "height_cm": 50,
        "rock": "none",
        "sand_cm": 8,
    }
    | {"lights_h": 12, "divider_cm": 40},
    "keeping": {"feeds_per_day": 3, "stations": 2, "lid": False, "corals": ["SPS corals"]}
    | {"inverts": ["anemone"], "food": ["floated", "sunk"], "strong_first": True},
    "animals": [
        {"species": "Premnas biaculeatus", "length_cm": 10, "day": 3, "count": 2, "sex": "pair"},
        {"species": "Chromis viridis", "length_cm": 4, "day": 20, "count": 5, "box_days": 2, "side": "left"},
        {"species": "Gramma loreto", "length_cm": 6, "place": "sump", "wild": True},
    ],
    "events": [
        {"day": 60, "do": "rescape"},
        {"day": 70, "do": "take out", "species": "Premnas biaculeatus", "days": 14},
    ],
}


def cases(tmp_path: Path, *texts: str) -> list[Any]:
    path = tmp_path / "cases.yaml"
    path.write_text("".join(texts), encoding="utf-8")
    return list(read_cases([path]))


def test_the_tank_and_its_keeping_are_read() -> None:
    situation = situation_of(FULL, 365.0)
    assert (situation.glass.length_cm, situation.glass.width_cm, situation.glass.height_cm) == (100, 40, 50)
    assert (situation.sand_cm, situation.divider_cm, situation.horizon_days) == (8, 40, 365.0)
    assert situation.grows
    keeping = situation.keeping
    assert (keeping.feeds_per_day, keeping.stations, keeping.lid, keeping.lights_h) == (3, 2, False, 12)
    assert keeping.food_both_ends
    assert keeping.strong_first
    assert keeping.has_host
    assert keeping.corals == ("SPS corals",)


def test_the_animals_are_read_and_old_names_accepted() -> None:
    pair, shoal, sumped = situation_of(FULL).parties
    assert (pair.species.name, pair.sex, pair.count, pair.day) == ("Amphiprion biaculeatus", Sex.PAIR, 2, 3.0)
    assert (shoal.box_days, shoal.side, shoal.place) == (2.0, "left", Place.TANK)
    assert (sumped.place, sumped.wild, sumped.day, sumped.count) == (Place.SUMP, True, 0.0, 1)


def test_the_events_are_read() -> None:
    moved, out = situation_of(FULL).events
    assert (moved.do, moved.day, moved.species) == (Deed.RESCAPE, 60.0, None)
    assert (out.do, out.species, out.days) == (Deed.TAKE_OUT, "Amphiprion biaculeatus", 14.0)


def test_a_comparison_is_judged_at_the_sizes_given_over_a_year_after_the_last_release() -> None:
    situation = situation_of(FULL)
    assert not situation.grows
    assert situation.horizon_days == 385.0


def test_what_a_case_leaves_out_is_an_ordinary_tank() -> None:
    bare = {"system": {"length_cm": 60, "width_cm": 30, "height_cm": 30}, "animals": FULL["animals"][2:]}
    situation = situation_of(bare)
    assert len(situation.rockworks) == 3
    assert {str(rock.word) for rock in situation.rockworks} == {"moderate"}
    assert (situation.sand_cm, situation.keeping.feeds_per_day, situation.keeping.lid) == (5.0, 2.0, True)


def test_an_unknown_species_is_refused() -> None:
    with pytest.raises(UnknownTaxonError):
        species_of("Nonesuchia absens")


def test_fields_that_the_model_does_not_use_are_told() -> None:
    odd = FULL | {
        "system": FULL["system"] | {"music": True},
        "keeping": {"quarantine_days": 30, "colour": "red"},
    }
    found = not_modelled([odd, {"base": odd, "change": FULL}])
    assert set(found) == {"system.music", "keeping.quarantine_days", "keeping.colour"}
    assert not_modelled([FULL]) == {}


def test_every_kind_of_expectation_has_an_answer(tmp_path: Path) -> None:
    (case,) = cases(tmp_path, OUTCOMES)
    answers = answer_case(case, load_rules(), QUICK)
    assert [a.kind for a in answers] == ["eaten", "eaten", "harm", "community", "space", "nips"]
    assert [a for a in answers if not a.right] == []
    assert all(a.reason and a.case == "own-1" and a.confidence == "high" for a in answers)
    assert all(0.0 <= a.p <= 1.0 for a in answers)


def test_a_comparison_is_answered_by_the_difference_of_burdens(tmp_path: Path) -> None:
    (case,) = cases(tmp_path, COMPARISON)
    (answer,) = answer_case(case, load_rules(), QUICK)
    assert (answer.kind, answer.got, answer.right) == ("comparison", "better", True)
    assert answer.p < -load_rules()["burden_step"]


def test_nothing_changed_is_the_same(tmp_path: Path) -> None:
    (case,) = cases(tmp_path, COMPARISON)
    (answer,) = answer_case({**case, "change": case["base"], "expect": "same"}, load_rules(), QUICK)
    assert answer.right
    assert answer.p == 0.0


def test_the_burden_of_all_is_that_of_the_worst_off(tmp_path: Path) -> None:
    (case,) = cases(tmp_path, COMPARISON)
    verdict = judge(situation_of(case["base"]), QUICK)
    each = [burden(verdict, name) for name in verdict.species]
    assert burden(verdict, "all") == max(each)


def test_sitting_an_exam_ticks_once_a_case(tmp_path: Path) -> None:
    ticks: list[int] = []
    answers = sit(cases(tmp_path, OUTCOMES, COMPARISON), settings=QUICK, tick=lambda: ticks.append(1))
    assert len(ticks) == 2
    assert len(answers) == 7


def test_the_exam_has_the_same_result_twice(tmp_path: Path) -> None:
    listed = cases(tmp_path, OUTCOMES, COMPARISON)
    assert sit(listed, settings=QUICK) == sit(listed, settings=QUICK)


@pytest.mark.parametrize("text", ["a: 1\n", "- 1\n", "- {name: x}\n", ""])
def test_a_file_that_is_no_list_of_cases_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(InputError, match="a list of cases, each with an id"):
        cases(tmp_path, text)


def answer(kind: str, expected: str, got: str, p: float = 0.0) -> Answer:
    return Answer("x", "tangs", "order", "high", kind, "a -> b", expected, got, p, "")


def test_steps_count_how_far_off_an_answer_is() -> None:
    assert answer("harm", "serious", "none").steps == 2
    assert answer("community", "peaceful", "uneasy").steps == 1
    assert answer("eaten", "True", "False").steps == 1
    assert answer("comparison", "same", "same").steps == 0


def test_a_score_by_hand() -> None:
    marked = score(
        [
            answer("harm", "serious", "serious", 0.9),
            answer("harm", "none", "mild", 0.1),
            answer("harm", "none", "none"),
            answer("community", "peaceful", "peaceful"),
            answer("comparison", "same", "better"),
        ]
    )
    assert marked["outcomes"]["share"] == 0.75
    assert marked["outcomes"]["by_level"]["harm none"] == {"n": 2, "right": 1, "share": 0.5}
    # Commonest: none twice among three harms, peaceful once among one community.
    assert marked["outcomes"]["commonest"] == 0.75
    assert marked["comparisons"]["right"] == 0
    assert marked["peaceful_called_settled"]["share"] == 1.0
    assert marked["brier"] == pytest.approx((0.1**2 + 0.1**2 + 0.0) / 3.0, abs=1e-4)


def harm(asked: str, expected: str, p: float, back: float | None) -> Answer:
    return Answer("x", "tangs", "order", "high", "harm", asked, expected, "", p, "", back)


def test_the_graver_way_tells_who_harms_whom() -> None:
    told = directions([harm("a -> b", "serious", 0.6, 0.1), harm("b -> a", "mild", 0.1, 0.6)])
    assert told == [Direction("x", "a", "b", 0.6, 0.1)]
    assert told[0].right
    (reverse,) = directions([harm("a -> b", "none", 0.6, 0.1), harm("b -> a", "mild", 0.1, 0.6)])
    assert not reverse.right


def test_a_single_way_tells_who_harms_whom_if_it_is_harm() -> None:
    (told,) = directions([harm("a -> b", "mild", 0.1, 0.1)])
    assert (told.aggressor, told.right) == ("a", False)
    assert directions([harm("a -> b", "none", 0.6, 0.1)]) == []


def test_ways_judged_alike_and_harm_within_a_species_tell_no_direction() -> None:
    alike = [harm("a -> b", "mild", 0.6, 0.1), harm("b -> a", "mild", 0.1, 0.6)]
    assert directions(alike) == []
    assert directions([harm("a -> a", "serious", 0.9, None)]) == []


def test_the_score_counts_directions_and_groups_beside_the_commonest_word() -> None:
    marked = score(
        [harm("a -> b", "mild", 0.1, 0.2), answer("harm", "none", "none"), answer("harm", "none", "mild")]
    )
    assert marked["direction"] == {"n": 1, "right": 0, "share": 0.0}
    # `none` is the commonest word: right in two of three.
    assert marked["outcomes"]["by_lever"]["order"]["commonest"] == pytest.approx(0.6667)


def test_harm_is_answered_both_ways_round(tmp_path: Path) -> None:
    (case,) = cases(tmp_path, OUTCOMES)
    told = {a.kind: a for a in answer_case(case, load_rules(), QUICK)}
    assert told["harm"].p_back is not None
    assert told["harm"].p_back > told["harm"].p  # the grouper rather chases the chromis
    assert told["eaten"].p_back is None


def test_an_empty_score_has_no_shares() -> None:
    assert score([])["outcomes"]["share"] is None
    assert score([])["brier"] is None
