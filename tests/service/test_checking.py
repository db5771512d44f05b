"""The counter check: what is said, and that the levers move the right way."""

import functools

import pytest

from slackwater.errors import InputError, UnknownTaxonError
from slackwater.service.checking import CheckAnswer, Decision, check
from slackwater.service.counter import Told


@functools.cache
def asked(newcomer: str, told: Told) -> CheckAnswer:
    return check(newcomer, told)


FIRST_FISH = Told(length_cm=120.0)
WITH_SIXLINE = Told(length_cm=60.0, residents=("six line 7 cm",))
WITH_CHROMIS = Told(length_cm=180.0, residents=("6 green chromis 4 cm",))


def test_a_gentle_first_fish_is_welcome() -> None:
    answer = asked("royal gramma 5 cm", FIRST_FISH)
    assert answer.decision is Decision.YES
    assert answer.sentence.startswith("Yes: royal gramma of 5 cm can go in from today on")
    assert answer.order == "as the first of the tank"
    assert answer.conditions == ()
    assert answer.next_step == ""


def test_a_predator_is_refused_for_its_prey_whatever_is_tried() -> None:
    answer = asked("volitans lionfish 15 cm", WITH_CHROMIS)
    assert answer.decision is Decision.NOT_THIS_ONE
    assert answer.worst.scientific_name == "Chromis viridis"
    assert answer.worst.outcome == "eaten"
    assert answer.worst.by == "Pterois volitans"
    assert answer.tried
    assert not any(change.works for change in answer.tried)


def test_a_no_comes_with_a_next_step() -> None:
    assert asked("volitans lionfish 15 cm", WITH_CHROMIS).next_step


def test_what_the_grown_animal_needs_is_said() -> None:
    answer = asked("sohal tang 12 cm", FIRST_FISH)
    assert answer.decision is Decision.NOT_THIS_ONE
    assert "outgrows this tank at once" in answer.outgrown
    assert "120 cm" in answer.outgrown


def test_a_bully_in_a_small_tank_is_named_with_a_condition_or_a_next_step() -> None:
    answer = asked("royal gramma 5 cm", WITH_SIXLINE)
    assert answer.decision is not Decision.YES
    assert answer.tried
    assert "sixline wrasse" in answer.sentence
    assert answer.conditions or answer.next_step


def test_the_condition_is_the_last_that_was_tried_and_works() -> None:
    answer = asked("royal gramma 5 cm", Told(length_cm=100.0, residents=("six line 6 cm",)))
    if answer.decision is Decision.YES_IF:
        assert answer.tried[-1].works
        assert answer.conditions == (answer.tried[-1].condition,)
        assert all(not change.works for change in answer.tried[:-1])


def test_more_length_is_never_worse() -> None:
    small = asked("royal gramma 5 cm", WITH_SIXLINE)
    large = asked("royal gramma 5 cm", Told(length_cm=200.0, residents=("six line 7 cm",)))
    assert new_p(large) <= new_p(small)


def new_p(answer: CheckAnswer) -> float:
    before = {f.key: f for f in answer.animals if f.is_newcomer}
    return max(fare.p for fare in before.values())


def test_two_weeks_pass_between_releases() -> None:
    told = Told(length_cm=120.0, residents=("pair of ocellaris 6 cm",), since_days=5.0)
    answer = asked("royal gramma 5 cm", told)
    assert answer.not_before_days == 9
    assert "in 9 days at the earliest" in answer.sentence
    assert answer.order == "last, after ocellaris clownfish"


def test_on_the_same_day_there_is_nothing_to_wait_for() -> None:
    told = Told(length_cm=120.0, residents=("pair of ocellaris 6 cm",), since_days=0.0)
    answer = asked("royal gramma 5 cm", told)
    assert answer.not_before_days == 0
    assert answer.order == "on the same day as ocellaris clownfish"


def test_every_assumption_is_named_with_its_cost() -> None:
    pairs = (("royal gramma", "six line"), ("kole tang", "yellow tang"), ("firefish goby", "six line"))
    answers = [asked(newcomer, Told(residents=(resident,))) for newcomer, resident in pairs]
    for answer in answers:
        assert {row.what for row in answer.assumptions} >= {"length", "rock", "residents"}
        assert all(row.taken for row in answer.assumptions)
    costs = [row.cost for answer in answers for row in answer.assumptions]
    assert any("worst-off animal would be" in cost for cost in costs)


def test_the_question_follows_from_the_costliest_assumption() -> None:
    for newcomer, resident in (("kole tang", "yellow tang"), ("firefish goby", "six line")):
        answer = asked(newcomer, Told(residents=(resident,)))
        if answer.question:
            assert any(row.cost and row.cost in answer.question for row in answer.assumptions)


def test_the_same_question_has_the_same_answer() -> None:
    assert check("royal gramma 5 cm", WITH_SIXLINE) == asked("royal gramma 5 cm", WITH_SIXLINE)


def test_venom_and_law_are_called_to_mind() -> None:
    told = " ".join(asked("volitans lionfish 15 cm", WITH_CHROMIS).cautions)
    assert "enomous" in told
    assert "local law" in told


def test_what_it_does_to_corals_is_said() -> None:
    told = " ".join(asked("copperband butterfly", Told(length_cm=180.0)).cautions)
    assert "pick at" in told


@pytest.mark.parametrize(
    ("newcomer", "residents", "error"),
    [
        ("flame", (), InputError),
        ("royal gramma", ("flame",), InputError),
        ("qqqzzz", (), UnknownTaxonError),
    ],
)
def test_unclear_names_are_errors(newcomer: str, residents: tuple[str, ...], error: type[Exception]) -> None:
    with pytest.raises(error):
        check(newcomer, Told(residents=residents))


def test_every_fare_says_how_sure_it_is_and_between_what_it_lies() -> None:
    answer = asked("royal gramma 5 cm", WITH_SIXLINE)
    for fare in answer.animals:
        assert fare.sure in {"sure", "fairly sure", "unsure"}
        assert 0.0 <= fare.low <= fare.high <= 1.0
        assert fare.chases_low_per_hour <= fare.chases_high_per_hour
    worst = answer.worst
    assert worst.chases_low_per_hour < worst.chases_per_hour < worst.chases_high_per_hour


def test_where_room_lacks_only_the_length_of_the_tank_is_asked() -> None:
    guessed = check("yellow tang 3in", Told(volume_l=30.0))
    told = check("yellow tang 3in", Told(length_cm=60.0))
    assert guessed.decision == told.decision == "not this one"
    assert "yellow tang of 7.6 cm" in told.sentence
    asked_for = "How long is the tank inside? With 150 cm it would have room."
    assert (guessed.question, told.question) == (asked_for, "")
    assert (guessed.come_back_if, told.come_back_if) == ("", "")


def test_an_invertebrate_is_told_where_its_answer_stands() -> None:
    with pytest.raises(InputError, match=r"Leave it out: every answer says what a fish may pick at"):
        check("coral beauty", Told(length_cm=120.0, residents=("cleaner shrimp",)))
    beauty = check("coral beauty", Told(length_cm=120.0))
    assert any("pick at" in text for text in beauty.cautions)


def test_an_empty_name_is_told_as_such() -> None:
    with pytest.raises(InputError, match=r"the newcomer is empty; it must name an animal\."):
        check(" ", Told(length_cm=120.0))
