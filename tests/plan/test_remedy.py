"""The ladder: where it begins, what it does to everyone, and what it never says."""

from __future__ import annotations

import dataclasses
import math

import pytest
from scipy.stats import beta
from tests.plan.diaries import BEAUTY, FLAME, GRAMMA, NOW, Diary, angels, company, falling, steady

from slackwater.plan.causes import Cause
from slackwater.plan.handing_on import day_words, message, next_look_sentence, own_record, what_to_count
from slackwater.plan.quarrel_model import case_of
from slackwater.plan.remedies import by_animal, outcome
from slackwater.plan.remedy import Ladder, ladder
from slackwater.plan.rungs import TEXTS, Rung
from slackwater.plan.settling import NextLook, Outlook
from slackwater.plan.trapping import trap_plan
from slackwater.plan.watch_sheet import sheet_for_quarrel
from slackwater.plan.whom_to_move import Move
from slackwater.plan.works import Suits, Tried, results, works
from slackwater.rules import load_rules
from slackwater.society.diary import (
    Bearing,
    BodyPart,
    Brood,
    BroodSign,
    Manner,
    Mark,
    RemedyBegun,
    RemedyEnded,
    Result,
    Sign,
)
from slackwater.taxa.facts import load_facts

RULES = load_rules()
NEW, OLD = "2027-03-03", "2026-08-10"


def asked(diary: Diary, since: str = NEW, length: str = "120 cm") -> Ladder:
    return ladder(diary.quarrel(angels(since, length), (BEAUTY, FLAME)))


@pytest.fixture(scope="module")
def bitter() -> Ladder:
    return asked(Diary().chased((BEAUTY, FLAME), steady()))


def test_a_quarrel_that_settles_is_watched_and_no_more() -> None:
    found = asked(Diary().chased((BEAUTY, FLAME), falling()))
    assert found.settling.outlook is Outlook.SETTLING
    assert found.begin is Rung.WATCH
    assert found.act_today == ""
    assert "It is settling" in message(found)[0]


def test_one_that_does_not_begins_above_watching_with_something_that_helps(bitter: Ladder) -> None:
    assert bitter.act_today
    assert bitter.begin is Rung.DIM
    assert bitter.after is Rung.RESCAPE


def test_rungs_stand_in_order_of_mildness_and_all_have_their_words(bitter: Ladder) -> None:
    assert [o.rung for o in bitter.offers] == list(Rung)
    assert [o.number for o in bitter.offers] == list(range(len(Rung)))
    assert all(o.do.endswith(".") and o.trial_low_d <= o.trial_high_d for o in bitter.offers)
    assert set(TEXTS) == set(Rung)


@pytest.mark.parametrize(
    "sign",
    [
        Mark(FLAME, BodyPart.EYE, Sign.WOUND),
        Bearing(FLAME, Manner.PINNED),
        Bearing(FLAME, Manner.LYING),
    ],
)
def test_a_grave_sign_goes_straight_to_parting_the_two(sign: Mark | Bearing) -> None:
    found = asked(Diary().chased((BEAUTY, FLAME), falling()).saw(0.1, sign))
    assert found.begin in {Rung.BOX, Rung.TIMEOUT, Rung.DIVIDER}
    assert "cannot wait" in message(found)[0]
    assert "within the hour" in next_look_sentence(found)


def test_a_wound_is_sent_to_the_veterinarian() -> None:
    found = asked(Diary().chased((BEAUTY, FLAME), steady()).saw(0.1, Mark(FLAME, BodyPart.EYE, Sign.WOUND)))
    assert "Ring a veterinarian" in message(found)[0]


def test_a_rung_that_failed_is_not_offered_first_again() -> None:
    diary = Diary().chased((BEAUTY, FLAME), steady()).saw(4.0, RemedyBegun("dim", (BEAUTY, FLAME)))
    number = next(e.number for e in diary.entries if isinstance(e.seen, RemedyBegun))
    found = asked(diary.saw(2.0, RemedyEnded(number, Result.NO_CHANGE)))
    assert found.offer(Rung.DIM).tried == "no change"
    assert found.begin is Rung.RESCAPE


def test_a_rung_that_runs_is_kept_while_it_may_still_work() -> None:
    diary = Diary().chased((BEAUTY, FLAME), {5.0: 6, 4.0: 6, 1.4: 2, 1.0: 3})
    found = asked(diary.saw(2.0, RemedyBegun("rescape", (BEAUTY, FLAME))))
    assert found.settling.outlook is Outlook.OPEN
    assert found.begin is Rung.RESCAPE


def test_the_model_says_what_each_rung_leaves(bitter: Ladder) -> None:
    left = {o.rung: o.chases_left for o in bitter.offers}
    assert left[Rung.WATCH] == pytest.approx(1.0)
    assert left[Rung.DIM] is None
    assert left[Rung.DIVIDER] == pytest.approx(0.0, abs=1e-3)
    assert left[Rung.REHOME] == 0.0
    rescape, timeout = left[Rung.RESCAPE], left[Rung.TIMEOUT]
    assert rescape is not None
    assert timeout is not None
    assert timeout < 0.7
    assert rescape < 0.7


def test_moved_rock_resets_owners_of_rock_and_not_a_roamer() -> None:
    tangs = company(
        "slackwater: 1\ntank: {length: 200 cm, width: 70 cm, height: 60 cm, lid: true}\n"
        "rock: {layout: moderate}\ncompany:\n"
        "  - {animal: yellow tang, length: 14 cm, since: 2026-01-01}\n"
        "  - {animal: kole tang, length: 10 cm, since: 2027-03-02}\n"
        "  - {animal: royal gramma, length: 7 cm, since: 2026-02-01}\n"
    )
    diary = Diary().chased(("yellow tang", "kole tang"), steady())
    found = ladder(diary.quarrel(tangs))
    rock = found.offer(Rung.RESCAPE)
    angel = asked(Diary().chased((BEAUTY, FLAME), steady())).offer(Rung.RESCAPE)
    assert rock.chases_left is not None
    assert angel.chases_left is not None
    assert rock.chases_left > angel.chases_left + 0.1
    assert any("roams" in text for text in rock.side_effects)
    assert GRAMMA in " ".join(rock.side_effects)


def test_a_hunter_is_neither_fed_nor_moved_out_of_hunting() -> None:
    lions = company(
        "slackwater: 1\ntank: {length: 200 cm, width: 60 cm, height: 60 cm, lid: true}\n"
        "rock: {layout: moderate}\ncompany:\n"
        "  - {animal: volitans lionfish, length: 22 cm, since: 2026-05-10}\n"
        "  - {animal: firefish goby, length: 5 cm, since: 2026-06-10}\n"
    )
    diary = Diary().chased(("volitans lionfish", "firefish goby"), steady(2))
    found = ladder(diary.quarrel(lions))
    assert found.pattern.cause is Cause.PREDATOR
    none = {o.rung for o in found.offers if o.fit.suits is Suits.CANNOT}
    assert {Rung.FEED, Rung.RESCAPE, Rung.TIMEOUT} <= none
    assert found.begin not in none
    assert any("spines" in text for text in found.offer(Rung.TRAP).cautions)
    assert found.whom.move is Move.BULLY


def test_more_of_a_kind_only_for_shoaling_kinds_in_large_tanks(bitter: Ladder) -> None:
    assert bitter.offer(Rung.NUMBERS).fit.suits is Suits.CANNOT

    def tangs(length: str) -> Ladder:
        tank = company(
            f"slackwater: 1\ntank: {{length: {length}, width: 90 cm, height: 80 cm, lid: true}}\n"
            "rock: {layout: moderate}\ncompany:\n"
            "  - {animal: green chromis, count: 3, length: 6 cm, since: 2026-05-10}\n"
        )
        diary = Diary().chased(("green chromis 1", "green chromis 2"), steady())
        return ladder(diary.quarrel(tank))

    assert tangs("200 cm").offer(Rung.NUMBERS).fit.suits in {Suits.MAY_HELP, Suits.CANNOT}
    assert tangs("50 cm").offer(Rung.NUMBERS).fit.suits is Suits.CANNOT


def test_a_divider_halves_the_lane_and_says_for_whom(bitter: Ladder) -> None:
    (text, *_) = [t for t in bitter.offer(Rung.DIVIDER).side_effects if "halves" in t]
    assert "60 cm" in text
    assert FLAME in text


def test_a_pair_goes_together_and_an_anemone_loses_its_guard() -> None:
    clowns = company(
        "slackwater: 1\ntank: {length: 150 cm, width: 60 cm, height: 55 cm, lid: true}\n"
        "rock: {layout: moderate}\nkeeping: {inverts: [anemone]}\ncompany:\n"
        "  - {animal: maroon clown, count: 2, sex: pair, length: 12 cm, since: 2025-05-10}\n"
        "  - {animal: royal gramma, length: 7 cm, since: 2026-06-10}\n"
    )
    diary = Diary().chased(("maroon clown 1", GRAMMA), steady())
    diary.saw(5.0, Brood(("maroon clown 1", "maroon clown 2"), BroodSign.EGGS))
    found = ladder(diary.quarrel(clowns))
    told = " ".join(found.offer(Rung.TIMEOUT).side_effects)
    assert "anemone loses its guard" in told
    assert "its mate, maroon clown 2, goes with it" in told
    assert found.offer(Rung.TIMEOUT).fit.suits is Suits.SELDOM
    assert found.whom.move is Move.BOTH


def test_taking_out_the_leader_opens_rank_among_the_next() -> None:
    tank = company(
        "slackwater: 1\ntank: {length: 100 cm, width: 50 cm, height: 50 cm, lid: true}\n"
        "rock: {layout: moderate}\ncompany:\n"
        "  - {animal: six line, length: 7 cm, since: 2025-05-10}\n"
        "  - {animal: firefish goby, length: 6 cm, since: 2027-03-03}\n"
        "  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2025-05-10}\n"
    )
    found = ladder(Diary().chased(("six line", "firefish goby"), steady()).quarrel(tank))
    for rung in (Rung.TIMEOUT, Rung.TRAP, Rung.REHOME):
        told = " ".join(found.offer(rung).side_effects)
        assert "it leads the tank: rank opens again" in told
        assert "ocellaris 1" in told
        assert "add nobody" in told
    assert "rank opens" not in " ".join(found.offer(Rung.RESCAPE).side_effects)


def test_two_that_came_on_one_day_have_no_head_start_to_lose() -> None:
    found = asked(Diary().chased((BEAUTY, FLAME), steady()), "2026-08-01")
    assert found.offer(Rung.RESCAPE).fit.suits is Suits.SELDOM


def test_effects_cover_everyone_and_taking_out_takes_out(bitter: Ladder) -> None:
    case = bitter.case
    watched = outcome(case, Rung.WATCH, 1.0)
    gone = outcome(case, Rung.REHOME, 1.0)
    assert watched is not None
    assert gone is not None
    assert [e.animal for e in watched.effects] == list(case.labels)
    assert {e.animal for e in gone.effects} == set(case.labels) - {BEAUTY}
    assert all(e.before == e.after for e in watched.effects)


def test_two_of_one_line_are_told_apart() -> None:
    trio = company(
        "slackwater: 1\ntank: {length: 120 cm, width: 50 cm, height: 50 cm}\nrock: {layout: moderate}\n"
        "company:\n  - {animal: Chrysiptera parasema, count: 3, length: 5 cm, since: 2026-05-10}\n"
    )
    diary = Diary().chased(("Chrysiptera parasema 1", "Chrysiptera parasema 3"), steady())
    found = ladder(diary.quarrel(trio))
    assert list(by_animal(found.case, found.case.now)) == list(found.case.labels)
    away = outcome(found.case, Rung.TIMEOUT, 10.0)
    assert away is not None
    assert {e.animal for e in away.effects} == set(found.case.labels)
    gone = outcome(found.case, Rung.TRAP, 1.0)
    assert gone is not None
    assert gone.chases_left == 0.0
    assert {e.animal for e in gone.effects} == {"Chrysiptera parasema 2", "Chrysiptera parasema 3"}
    assert found.whom.labels in {("Chrysiptera parasema 1",), ("Chrysiptera parasema 3",)}


def test_a_rough_one_of_a_group_leaves_the_tempers_of_the_others_alone() -> None:
    trio = company(
        "slackwater: 1\ntank: {length: 120 cm, width: 50 cm, height: 50 cm}\nrock: {layout: moderate}\n"
        "company:\n  - {animal: Chrysiptera parasema, count: 3, length: 5 cm, since: 2026-05-10}\n"
    )
    diary = Diary().chased(("Chrysiptera parasema 2", "Chrysiptera parasema 3"), steady(9))
    case = case_of(diary.quarrel(trio))
    tempers = {
        label: a.party.own_temper for label, a in zip(case.labels, case.situation.animals, strict=True)
    }
    assert tempers["Chrysiptera parasema 2"] > 1.5
    assert tempers["Chrysiptera parasema 1"] == tempers["Chrysiptera parasema 3"] == 1.0
    assert case.labels[case.who] == "Chrysiptera parasema 2"


def test_no_temper_is_rougher_than_one_in_a_hundred() -> None:
    gobies = company(
        "slackwater: 1\ntank: {length: 120 cm, width: 50 cm, height: 50 cm}\nrock: {layout: moderate}\n"
        "company:\n  - {animal: royal gramma, length: 6 cm, since: 2025-06-10}\n"
        "  - {animal: yellow watchman goby, length: 6 cm, since: 2027-03-03}\n"
    )
    case = case_of(Diary().chased((GRAMMA, "yellow watchman goby"), steady(9)).quarrel(gobies))
    assert case.temper is not None
    assert case.temper.factor == pytest.approx(math.exp(2.33 * RULES["temper_sigma"]))
    assert "among the roughest" in case.temper.sentence


def test_a_rough_tally_makes_a_rough_temper_and_a_quiet_one_a_mild() -> None:
    rough = Diary().chased((BEAUTY, FLAME), steady(9)).quarrel(angels(NEW))
    mild = Diary().chased((BEAUTY, FLAME), {4.0: 1} | steady(0)).quarrel(angels(NEW))
    told = [case_of(q).temper for q in (rough, mild)]
    assert told[0] is not None
    assert told[1] is not None
    assert told[0].factor > 2.0
    assert told[1].factor < 1.0


class TestHowOftenARungWorked:
    def test_without_results_it_is_the_word_of_the_trade(self) -> None:
        told = works(Rung.RESCAPE, 0.6, "x", (), RULES)
        assert told.mean == pytest.approx(0.6)
        assert "no result here yet" in told.sentence
        assert "assumed" in told.sentence

    def test_each_result_moves_it_as_beta_sums_say(self) -> None:
        """Beta(2.4, 1.6), then 3 successes and 1 failure: Beta(5.4, 2.6), by hand and by scipy.stats."""
        tried = [Tried("rescape", "x", Result.WORKED)] * 3 + [Tried("rescape", "x", Result.NO_CHANGE)]
        told = works(Rung.RESCAPE, 0.6, "x", tried, RULES)
        assert told.mean == pytest.approx(5.4 / 8.0)
        assert told.low == pytest.approx(float(beta.ppf(0.05, 5.4, 2.6)))
        assert told.high == pytest.approx(float(beta.ppf(0.95, 5.4, 2.6)))
        assert (told.tried, told.worked) == (4, 3.0)
        assert "too few for a rate" in told.sentence

    def test_other_patterns_count_a_quarter_and_help_a_half_and_other_rungs_nothing(self) -> None:
        other = works(Rung.RESCAPE, 0.6, "x", [Tried("rescape", "y", Result.WORKED)], RULES)
        assert other.mean == pytest.approx((2.4 + 0.25) / 4.25)
        assert other.tried == 0
        half = works(Rung.RESCAPE, 0.6, "x", [Tried("rescape", "x", Result.HELPED)], RULES)
        assert half.mean == pytest.approx((2.4 + 0.5) / 5.0)
        same = works(Rung.RESCAPE, 0.6, "x", [Tried("dim", "x", Result.WORSE)], RULES)
        assert same.mean == pytest.approx(0.6)

    def test_one_given_up_tells_nothing(self) -> None:
        told = works(Rung.RESCAPE, 0.6, "x", [Tried("rescape", "x", Result.GIVEN_UP)], RULES)
        assert told.mean == pytest.approx(0.6)

    def test_many_results_overrule_the_trade(self) -> None:
        tried = [Tried("rescape", "x", Result.NO_CHANGE)] * 40
        assert works(Rung.RESCAPE, 0.6, "x", tried, RULES).high < 0.15

    def test_results_are_read_from_the_diary_and_flow_into_the_ladder(self) -> None:
        diary = Diary().chased((BEAUTY, FLAME), steady())
        pattern = asked(diary).pattern.words
        diary.saw(20.0, RemedyBegun("rescape", ("a", "b"), pattern))
        number = next(e.number for e in diary.entries if isinstance(e.seen, RemedyBegun))
        diary.saw(15.0, RemedyEnded(number, Result.WORKED))
        assert results(diary.entries) == (Tried("rescape", pattern, Result.WORKED),)
        before = asked(Diary().chased((BEAUTY, FLAME), steady())).offer(Rung.RESCAPE).works
        after = asked(diary).offer(Rung.RESCAPE).works
        assert after.mean > before.mean
        assert after.tried == 1

    def test_results_of_other_tanks_count_too(self) -> None:
        quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels(NEW))
        pattern = ladder(quarrel).pattern.words
        found = ladder(quarrel, [Tried("dim", pattern, Result.NO_CHANGE)] * 12)
        assert found.offer(Rung.DIM).works.tried == 12
        assert found.offer(Rung.DIM).works.mean < 0.25


class TestWhomToMove:
    def test_one_weak_newcomer_among_peace_is_the_one_to_move(self, bitter: Ladder) -> None:
        assert bitter.whom.move is Move.VICTIM
        assert f"move {FLAME}, not {BEAUTY}" in bitter.whom.sentence

    def test_one_against_many_is_the_one_to_move(self) -> None:
        diary = Diary().chased((BEAUTY, FLAME), steady()).chased((BEAUTY, GRAMMA), steady(2))
        found = asked(diary)
        assert found.whom.move is Move.BULLY
        assert "one against many" in found.whom.sentence

    def test_between_old_neighbours_it_is_the_chaser(self) -> None:
        assert asked(Diary().chased((BEAUTY, FLAME), steady()), OLD).whom.move is Move.BULLY

    def test_it_says_how_the_others_would_fare(self, bitter: Ladder) -> None:
        assert {g.move for g in bitter.whom.tried} == {Move.BULLY, Move.VICTIM}
        assert all(0.0 <= g.p <= 1.0 for g in bitter.whom.tried)
        assert "least comfort" in bitter.whom.sentence


class TestTimeout:
    def test_it_lasts_one_to_two_weeks_and_ends_on_a_day(self, bitter: Ladder) -> None:
        plan = bitter.timeout
        assert 7.0 <= plan.days <= 14.0
        assert (plan.returns - plan.begins).days == round(plan.days)
        assert [days for days, _ in plan.p_after] == [7.0, 10.0, 14.0]

    def test_it_says_what_to_change_and_who_returns_last(self, bitter: Ladder) -> None:
        plan = bitter.timeout
        assert any("move the stones" in line for line in plan.meanwhile)
        assert any("Add nobody" in line for line in plan.meanwhile)
        assert any(line.startswith(f"{BEAUTY} returns last") for line in plan.return_order)
        assert "within the hour" in plan.stop


class TestPapers:
    def test_the_message_has_five_lines(self, bitter: Ladder) -> None:
        told = message(bitter)
        assert len(told) == 5
        assert all(len(line) < 320 for line in told)
        assert told[2].startswith("Do now: ")
        assert "6 or fewer in all: it helps" in told[4]

    def test_the_day_of_the_next_look_is_named(self) -> None:
        assert day_words(NOW.date(), 3) == "Thursday, 11 March"

    def test_a_record_goes_with_the_animal(self, bitter: Ladder) -> None:
        record = own_record(bitter.quarrel, BEAUTY, "rougher than its kind")
        text = " ".join(record.lines)
        assert f"chased {FLAME} (60 times)" in text
        assert "lived in peace with ocellaris 1" in text
        assert "rougher than its kind" in text
        assert "judge the tank it goes to" in record.condition
        assert "was chased by" in " ".join(own_record(bitter.quarrel, FLAME).lines)

    def test_a_small_fish_gets_a_bottle_and_a_large_one_a_box(self, bitter: Ladder) -> None:
        species, situation = bitter.case.attacker.species, bitter.case.situation
        small, large = (trap_plan("x", species, cm, situation) for cm in (6.0, 20.0))
        assert "bottle" in small.gear[0]
        assert "30 cm" in large.gear[0]
        assert "week" in small.stop
        assert any("Pumps off" in line for line in small.cautions)
        assert "drain half" in small.steps[-1]

    def test_the_watching_card_has_the_evening_of_the_return_only_with_a_timeout(
        self, bitter: Ladder
    ) -> None:
        assert sheet_for_quarrel(bitter).steps == ()
        with_it = dataclasses.replace(bitter, begin=Rung.TIMEOUT)
        steps = sheet_for_quarrel(with_it).steps
        assert [s.clock for s in steps] == ["18:30", "19:00", "20:00", "21:00", "22:00"]
        assert BEAUTY in steps[2].do


def test_the_same_diary_gives_the_same_ladder(bitter: Ladder) -> None:
    again = asked(Diary().chased((BEAUTY, FLAME), steady()))
    assert again.offers == bitter.offers
    assert again.settling == bitter.settling
    assert message(again) == message(bitter)


@pytest.mark.parametrize(
    ("settled_to", "lasting_from", "told"),
    [
        (2, 6, "2 or fewer in all: it is settling. 6 or more: it is not."),
        (0, 6, "None at all: it is settling. 6 or more: it is not."),
        (None, 6, "6 or more: it is not."),
        (2, None, "2 or fewer in all: it is settling."),
        (None, None, "No count of one day will decide; keep counting."),
    ],
)
def test_which_count_would_decide_is_told_and_nothing_beyond(
    settled_to: int | None, lasting_from: int | None, told: str
) -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels(NEW), (BEAUTY, FLAME))
    words = what_to_count(quarrel, NextLook(3, 2, 15.0, settled_to, lasting_from, 0.5))
    assert words.endswith(f"2 times 15 minutes. {told}")


@pytest.mark.parametrize(
    ("name", "length_cm", "hooked"),
    [
        ("Cephalopholis argus", 30.0, True),
        ("Cephalopholis argus", 20.0, False),
        ("Naso lituratus", 30.0, False),
    ],
)
def test_a_hook_is_spoken_of_for_large_hunters_alone(
    name: str,
    length_cm: float,
    hooked: bool,  # noqa: FBT001 - a case of the table
) -> None:
    quarrel = Diary().chased((BEAUTY, FLAME), steady()).quarrel(angels(NEW), (BEAUTY, FLAME))
    plan = trap_plan("it", load_facts().species(name), length_cm, case_of(quarrel).situation)
    assert any("hook" in step for step in plan.steps) is hooked
