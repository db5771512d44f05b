"""Several newcomers at the counter: with whom, in which order, on what condition."""

from __future__ import annotations

import functools

import pytest

from slackwater.errors import InputErrors
from slackwater.service.check_records import Decision, JointAnswer
from slackwater.service.checking import check
from slackwater.service.checking_together import check_together, check_wanted
from slackwater.service.counter import Told


@functools.cache
def asked(newcomers: tuple[str, ...], told: Told) -> JointAnswer:
    return check_together(newcomers, told, weighs=False)


ROOMY = Told(length_cm=150.0, residents=("pair of ocellaris 6 cm",))
GENTLE = ("royal gramma 5 cm", "2 firefish goby 5 cm")
LION = ("6 green chromis 4 cm", "volitans lionfish 15 cm", "royal gramma 5 cm")


def test_gentle_ones_all_go_in_one_kind_after_the_other() -> None:
    answer = asked(GENTLE, ROOMY)
    assert answer.decision is Decision.YES
    assert [one.decision for one in answer.newcomers] == [Decision.YES, Decision.YES]
    # Two to four weeks between releases: common practice, no source.
    assert sorted(one.not_before_days for one in answer.newcomers) == [0, 14]
    assert answer.left_out == ()
    assert "each once it eats well and its quarantine is over" in answer.sentence


def test_each_is_told_in_one_sentence_in_the_order_of_the_heart() -> None:
    answer = asked(GENTLE, ROOMY)
    assert [one.common_name for one in answer.newcomers] == ["royal gramma", "firefish"]
    for one in answer.newcomers:
        assert one.common_name in one.sentence
        assert one.sentence.startswith("Yes: ")
        assert one.sentence.endswith(".")
        assert one.sentence.count(". ") == 0


def test_newcomers_are_judged_with_one_another() -> None:
    alone = [check(said, Told(length_cm=180.0), weighs=False) for said in LION]
    assert all(answer.decision is Decision.YES for answer in alone)
    answer = asked(LION, Told(length_cm=180.0))
    by_name = {one.scientific_name: one for one in answer.newcomers}
    assert by_name["Pterois volitans"].decision is Decision.NOT_THIS_ONE
    assert "eaten by red lionfish" in by_name["Pterois volitans"].sentence
    assert "without the other newcomers it could go in" in by_name["Pterois volitans"].sentence
    assert by_name["Chromis viridis"].decision is Decision.YES
    assert answer.left_out == ("red lionfish",)
    assert answer.sentence.startswith("Yes, if the red lionfish stays out: ")


def test_of_two_that_exclude_each_other_the_first_wished_is_kept() -> None:
    told = Told(length_cm=180.0)
    heart = asked(("volitans lionfish 15 cm", "6 green chromis 4 cm"), told)
    assert heart.left_out == ("blue-green chromis",)
    other = asked(("6 green chromis 4 cm", "volitans lionfish 15 cm"), told)
    assert other.left_out == ("red lionfish",)


def test_those_who_go_in_leave_one_another_in_peace() -> None:
    for newcomers, told in ((GENTLE, ROOMY), (LION, Told(length_cm=180.0))):
        answer = asked(newcomers, told)
        assert answer.worst.word in {"at ease", "jostled"}
        kept = {one.key for one in answer.newcomers if one.decision is not Decision.NOT_THIS_ONE}
        assert {fare.key for fare in answer.animals if fare.is_newcomer} == kept


def test_whoever_outgrows_the_tank_at_once_stays_out_alone() -> None:
    answer = asked(("sohal tang 12 cm", "royal gramma 5 cm"), Told(length_cm=120.0))
    assert answer.left_out == ("sohal tang",)
    assert "outgrows this tank at once" in answer.newcomers[0].sentence
    assert answer.newcomers[1].decision is Decision.YES


def test_two_lines_of_one_kind_go_in_on_one_day() -> None:
    answer = asked(
        ("male ocellaris 5 cm", "royal gramma 5 cm", "female ocellaris 7 cm"), Told(length_cm=150.0)
    )
    days = {one.said: one.not_before_days for one in answer.newcomers}
    assert days["male ocellaris 5 cm"] == days["female ocellaris 7 cm"]


def test_two_weeks_since_the_last_release_hold_for_the_first_of_them() -> None:
    told = Told(length_cm=150.0, residents=("pair of ocellaris 6 cm",), since_days=5.0)
    assert sorted(one.not_before_days for one in asked(GENTLE, told).newcomers) == [9, 23]


def test_one_alone_has_the_answer_of_a_single_check() -> None:
    assert check_wanted(["royal gramma 5 cm"], ROOMY) == check("royal gramma 5 cm", ROOMY)


def test_the_same_question_has_the_same_answer_weighed_or_not() -> None:
    weighed = check_together(GENTLE, ROOMY)
    assert weighed.sentence == asked(GENTLE, ROOMY).sentence
    assert weighed.animals == asked(GENTLE, ROOMY).animals
    assert any(row.cost for row in weighed.assumptions)
    assert check_together(GENTLE, ROOMY) == weighed


def test_when_nobody_can_go_in_it_is_said_of_all() -> None:
    told = Told(length_cm=60.0, residents=("6 green chromis 4 cm",))
    answer = asked(("volitans lionfish 15 cm", "sohal tang 12 cm"), told)
    assert answer.decision is Decision.NOT_THIS_ONE
    assert answer.sentence.startswith("None of these")
    assert {one.decision for one in answer.newcomers} == {Decision.NOT_THIS_ONE}
    assert answer.next_step


def test_all_unclear_names_are_told_at_once() -> None:
    with pytest.raises(InputErrors) as found:
        check_together(["flame", "royal gramma", "qqqzzz"], Told())
    assert len(found.value.faults) == 2
