"""Invented quarrels with one cause each: it comes first, and the evidence says why."""

from __future__ import annotations

import pytest
from tests.plan.diaries import BEAUTY, FLAME, GRAMMA, Diary, angels, company, steady

from slackwater.plan.causes import Cause, Finding, findings
from slackwater.plan.pattern import Way, pattern_of
from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import case_of
from slackwater.plan.question import Question
from slackwater.society.diary import (
    Bearing,
    BodyPart,
    Brood,
    BroodSign,
    Chases,
    Death,
    Eating,
    Feed,
    Manner,
    Mark,
    RockMoved,
    Sign,
    Watch,
)

OLD = "2026-08-10"

TANK = """
slackwater: 1
tank: {length: LENGTH, width: 60 cm, height: 60 cm, lid: true}
rock: {layout: moderate}
keeping: {feeds_per_day: FEEDS, stations: 1, inverts: [anemone]}
company:
"""


def tank(*rows: str, length: str = "150 cm", feeds: str = "2") -> Question:
    head = TANK.replace("LENGTH", length).replace("FEEDS", feeds)
    return company(head + "".join(f"  - {{{row}}}\n" for row in rows))


def found(quarrel: Quarrel) -> dict[Cause, Finding]:
    return {f.cause: f for f in findings(quarrel, case_of(quarrel))}


def first(quarrel: Quarrel) -> Cause:
    return findings(quarrel, case_of(quarrel))[0].cause


def test_a_newcomer() -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels("2027-03-02"))
    told = found(quarrel)[Cause.NEWCOMER]
    assert first(quarrel) is Cause.NEWCOMER
    assert told.word == "likely"
    assert FLAME in told.evidence[0].text


def test_old_neighbours_speak_against_a_newcomer() -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels(OLD))
    told = found(quarrel)[Cause.NEWCOMER]
    assert told.word == "unlikely"
    assert not told.evidence[0].speaks_for


def test_a_lost_hole() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(6.0, RockMoved("the left heap"))
    assert first(diary.quarrel(angels(OLD))) is Cause.LOST_HOLE


def test_rock_that_was_moved_long_before_is_no_cause() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(30.0, RockMoved())
    assert found(diary.quarrel(angels(OLD)))[Cause.LOST_HOLE].word == "unlikely"


def test_a_lost_top_animal_that_had_led() -> None:
    diary = Diary().saw(20.0, Watch(10.0, (Chases(GRAMMA, BEAUTY, 9),))).saw(7.0, Death(GRAMMA))
    quarrel = diary.chased((BEAUTY, FLAME), steady()).quarrel(angels(OLD))
    told = found(quarrel)[Cause.LOST_TOP]
    assert first(quarrel) is Cause.LOST_TOP
    assert "had led" in told.evidence[0].text


def test_a_weak_victim_is_told_by_signs_and_sent_to_the_veterinarian() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    diary.saw(6.5, Mark(FLAME, BodyPart.WHOLE, Sign.SPOTS)).saw(6.0, Eating(FLAME, ate=False))
    quarrel = diary.quarrel(angels(OLD))
    told = found(quarrel)[Cause.WEAKNESS]
    assert first(quarrel) is Cause.WEAKNESS
    assert "ask a veterinarian" in told.evidence[0].text


def test_marks_that_came_after_may_be_what_comes_of_it() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(1.0, Mark(FLAME, BodyPart.FIN, Sign.TORN))
    told = found(diary.quarrel(angels(OLD)))[Cause.WEAKNESS]
    assert "what comes of it" in told.evidence[0].text
    assert told.word != "likely"


def test_a_reflection() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(5.0, Bearing(BEAUTY, Manner.GLASS))
    with_it, without = (
        found(d.quarrel(angels(OLD)))[Cause.REFLECTION].weight
        for d in (diary, Diary().chased((BEAUTY, FLAME), steady()))
    )
    assert with_it > without


def test_a_spawning_pair() -> None:
    clowns = tank(
        "animal: ocellaris, count: 2, sex: pair, length: 8 cm, since: 2025-05-10",
        "animal: royal gramma, length: 6 cm, since: 2026-06-10",
    )
    diary = Diary().chased(("ocellaris 1", GRAMMA), steady())
    diary.saw(5.0, Brood(("ocellaris 1", "ocellaris 2"), BroodSign.EGGS))
    assert first(diary.quarrel(clowns)) is Cause.SPAWNING


def test_without_a_mate_nobody_spawns() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady())
    assert found(diary.quarrel(angels(OLD)))[Cause.SPAWNING].word == "unlikely"


def test_hunger() -> None:
    tangs = tank(
        "animal: yellow tang, length: 12 cm, since: 2025-05-10",
        "animal: kole tang, length: 11 cm, since: 2025-06-10",
        feeds="0.5",
        length="200 cm",
    )
    diary = Diary()
    for ago in (4.0, 3.0, 2.0, 1.0):
        diary.saw(ago, Feed("greens"))
        diary.chased(("yellow tang", "kole tang"), {ago - 0.01: 8, ago - 0.3: 1})
    diary.saw(1.0, Mark("yellow tang", BodyPart.BELLY, Sign.THIN))
    told = found(diary.quarrel(tangs))[Cause.HUNGER]
    texts = [e.text for e in told.evidence if e.speaks_for]
    assert told.word == "likely"
    assert any("half an hour of a feed" in text for text in texts)
    assert first(diary.quarrel(tangs)) is Cause.HUNGER


def test_too_small_a_tank() -> None:
    tangs = tank(
        "animal: sohal tang, length: 20 cm, since: 2025-05-10",
        "animal: royal gramma, length: 6 cm, since: 2025-06-10",
        length="120 cm",
    )
    diary = Diary().chased(("sohal tang", GRAMMA), steady())
    assert found(diary.quarrel(tangs))[Cause.SMALL_TANK].word == "likely"


def test_a_predator() -> None:
    lions = tank(
        "animal: volitans lionfish, length: 22 cm, since: 2026-05-10",
        "animal: firefish goby, length: 5 cm, since: 2026-06-10",
        length="200 cm",
    )
    quarrel = Diary().chased(("volitans lionfish", "firefish goby"), steady(2)).quarrel(lions)
    told = findings(quarrel, case_of(quarrel))
    assert told[0].cause is Cause.PREDATOR
    assert pattern_of(told, case_of(quarrel)).way is Way.PREDATOR


def test_every_cause_is_weighed_with_a_question_and_ordered_by_weight() -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels(OLD))
    told = findings(quarrel, case_of(quarrel))
    assert {f.cause for f in told} == set(Cause)
    weights = [f.weight for f in told]
    assert weights == sorted(weights, reverse=True)
    assert all(f.ask.endswith("?") for f in told)


def test_weights_are_sums_of_the_rules() -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels("2027-03-02"))
    rules = quarrel.rules
    told = found(quarrel)[Cause.NEWCOMER]
    assert told.weight == pytest.approx(rules["cause_prior.newcomer"] + rules["evidence.strong"])


def test_no_cause_names_a_disease() -> None:
    from slackwater.plan import causes

    text = str(vars(causes)["__doc__"]) + str(causes._ASK)
    words = ("ich", "velvet", "infection", "parasite", "bacterial", "copper", "antibiotic", "mg/l")
    assert not any(f" {word}" in text.lower() for word in words)
