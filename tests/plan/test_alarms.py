"""Signs that cannot wait, and what is none."""

from __future__ import annotations

import pytest
from tests.plan.diaries import BEAUTY, FLAME, GRAMMA, Diary, angels, company, steady

from slackwater.plan.alarms import alarms, fasting_days
from slackwater.society.diary import (
    Bearing,
    BodyPart,
    Breathing,
    ChaseKind,
    Eating,
    Manner,
    Mark,
    Seen,
    Sign,
)


def told(*seen: Seen, ago: float = 1.0) -> list[str]:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(ago, *seen)
    return [alarm.sign for alarm in alarms(diary.quarrel(angels("2027-03-05")))]


@pytest.mark.parametrize(
    ("seen", "sign"),
    [
        (Mark(FLAME, BodyPart.EYE, Sign.SCRAPE), "eye: scrape"),
        (Mark(FLAME, BodyPart.EYE, Sign.CLOUDY), "eye: cloudy"),
        (Mark(FLAME, BodyPart.FLANK, Sign.WOUND), "flank: wound"),
        (Mark(FLAME, BodyPart.MOUTH, Sign.BLOOD), "mouth: blood"),
        (Mark(BEAUTY, BodyPart.FIN, Sign.TORN_TO_BASE), "fin: torn to the base"),
        (Bearing(FLAME, Manner.PINNED), "is pinned"),
        (Bearing(FLAME, Manner.LYING), "lies down"),
        (Bearing(FLAME, Manner.GASPING), "gasps at the surface"),
        (Breathing(FLAME, 118.0), "118 breaths a minute"),
    ],
)
def test_grave_signs_are_told(seen: Seen, sign: str) -> None:
    assert told(seen) == [sign]


@pytest.mark.parametrize(
    "seen",
    [
        Mark(FLAME, BodyPart.FIN, Sign.TORN),
        Mark(FLAME, BodyPart.FLANK, Sign.SPOTS),
        Bearing(FLAME, Manner.HIDES),
        Bearing(FLAME, Manner.PALE),
        Breathing(FLAME, 84.0),
        Mark(GRAMMA, BodyPart.EYE, Sign.WOUND),
        Eating(FLAME, ate=False),
    ],
)
def test_lesser_signs_and_those_of_others_are_none(seen: Seen) -> None:
    assert told(seen) == []


def test_what_healed_or_passed_or_is_long_past_is_none() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    diary.saw(
        2.0, Mark(FLAME, BodyPart.EYE, Sign.SCRAPE), Bearing(FLAME, Manner.PINNED), Breathing(FLAME, 130)
    )
    diary.saw(1.0, Mark(FLAME, BodyPart.EYE, Sign.HEALED), Bearing(FLAME, Manner.OUT), Breathing(FLAME, 80))
    assert alarms(diary.quarrel(angels())) == ()
    assert told(Mark(FLAME, BodyPart.EYE, Sign.SCRAPE), ago=10.0) == []


def test_locked_jaws_between_the_two_are_told_once() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    diary.chased((FLAME, BEAUTY), {0.6: 1, 0.2: 2}, ChaseKind.LOCKED)
    assert [a.sign for a in alarms(diary.quarrel(angels(), (BEAUTY, FLAME)))] == ["locked jaws"]


def test_wounds_are_for_a_veterinarian_and_being_pinned_is_not() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    diary.saw(1.0, Bearing(FLAME, Manner.PINNED), Mark(FLAME, BodyPart.FLANK, Sign.WOUND))
    vet = {a.sign: a.veterinarian for a in alarms(diary.quarrel(angels()))}
    assert vet == {"is pinned": False, "flank: wound": True}


def test_a_fast_is_counted_from_the_last_meal_before_a_refusal() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    diary.saw(5.0, Eating(FLAME)).saw(3.0, Eating(FLAME, ate=False))
    quarrel = diary.quarrel(angels("2026-08-10"))
    assert fasting_days(quarrel, FLAME) == pytest.approx(5.0)
    assert [a.sign for a in alarms(quarrel)] == ["has not eaten for 5 days"]
    assert alarms(diary.saw(0.2, Eating(FLAME)).quarrel(angels("2026-08-10"))) == ()


def test_a_meal_that_nobody_wrote_down_is_no_fast() -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels())
    assert fasting_days(quarrel, FLAME) is None
    old = Diary().chased((BEAUTY, FLAME), steady()).saw(1.0, Eating(FLAME, ate=False))
    assert fasting_days(old.quarrel(angels("2026-08-10")), FLAME) == pytest.approx(1.0)


def test_a_newcomer_fasts_since_its_release() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(2.0, Eating(FLAME, ate=False))
    assert fasting_days(diary.quarrel(angels("2027-03-02")), FLAME) == pytest.approx(6.0)


def test_a_hunter_that_feeds_seldom_may_fast_longer() -> None:
    tank = company(
        "slackwater: 1\ntank: {length: 240 cm, width: 80 cm, height: 70 cm}\nrock: {layout: moderate}\n"
        "company:\n  - {animal: Odonus niger, length: 15 cm, since: 2026-01-01}\n"
        "  - {animal: volitans lionfish, length: 20 cm, since: 2026-02-01}\n"
    )
    diary = Diary().chased(("Odonus niger", "volitans lionfish"), steady())
    diary.saw(5.0, Eating("volitans lionfish")).saw(4.0, Eating("volitans lionfish", ate=False))
    assert alarms(diary.quarrel(tank)) == ()
