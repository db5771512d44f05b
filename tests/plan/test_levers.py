"""What could be changed: each lever offers what helps, and nothing that is so already."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.afterwards import as_it_was, look_back
from slackwater.plan.changes import Kind
from slackwater.plan.course import Course
from slackwater.plan.levers import LEVERS, Bench, Trouble, changes_on
from slackwater.plan.question import Question
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape

LONG_AGO = dt.date(2026, 1, 1)
RULES = load_rules()
QUICK = LEVERS[:-1]


def offered(question: Question) -> dict[Kind, list[str]]:
    """Return the words of all quick changes by kind, with everyone in trouble."""
    keys = tuple(w.key for w in question.wishes)
    fixed = replace(question, course=Course(steps=tuple((key,) for key in keys)))
    everyone = frozenset(w.key for w in (*question.residents, *question.wishes))
    found: dict[Kind, list[str]] = {}
    for change in changes_on(Bench(fixed, Trouble(everyone, everyone), RULES), *QUICK):
        found.setdefault(change.kind, []).append(change.words)
    return found


def test_two_of_a_pair_kind_may_be_a_settled_pair(ask: Asker) -> None:
    words = offered(ask((), (wanted("Amphiprion ocellaris", 4.0, count=2),)))
    assert "take a settled pair of ocellaris clownfish" in words[Kind.SEX]
    assert "take female ocellaris clownfish" in words[Kind.SEX]
    assert "take one ocellaris clownfish alone" in words[Kind.NUMBER]


def test_a_settled_pair_is_left_as_it_is(ask: Asker) -> None:
    words = offered(ask((), (wanted("Amphiprion ocellaris", 4.0, count=2, sex="pair"),)))
    assert Kind.SEX not in words or "take a settled pair of ocellaris clownfish" not in words[Kind.SEX]
    assert Kind.NUMBER not in words


def test_a_shoaling_kind_may_come_in_other_numbers(ask: Asker) -> None:
    words = offered(ask((), (wanted("Chromis viridis", 3.0, count=3),)))
    assert len(words[Kind.NUMBER]) == 3


def test_a_grown_animal_is_not_offered_larger(ask: Asker) -> None:
    adult_cm = wanted("Gramma loreto", 1.0).species.number("adult_length_cm")
    words = offered(ask((), (wanted("Gramma loreto", adult_cm),)))
    assert len(words[Kind.SIZE]) == 1
    assert words[Kind.SIZE][0].endswith("or less")


def test_what_is_done_already_is_not_offered(ask: Asker) -> None:
    question = ask((resident("Gramma loreto", 6.0, LONG_AGO),), (wanted("Halichoeres chrysus", 6.0),))
    well_kept = replace(question, keeping=Keeping(feeds_per_day=3.0, stations=2))
    assert not {Kind.FEEDS, Kind.STATIONS, Kind.LID} & set(offered(well_kept))
    open_top = replace(question, keeping=Keeping(lid=False))
    assert {Kind.FEEDS, Kind.STATIONS, Kind.LID} <= set(offered(open_top))


def test_a_bare_tank_may_get_rock_and_a_wall_another_arrangement(ask: Asker) -> None:
    question = ask((resident("Gramma loreto", 6.0, LONG_AGO),), (wanted("Halichoeres chrysus", 6.0),))
    bare = replace(question, rock_word="none", rockworks=(preset("none", question.glass),))
    words = offered(bare)
    assert words[Kind.LAYOUT] == ["add rock, from none to sparse"]
    assert Kind.ROCK_MOVED not in words
    wall = replace(question, rock_word="wall", rockworks=(preset("wall", question.glass),))
    assert len(offered(wall)[Kind.LAYOUT]) == 2


def test_rock_that_cannot_stand_is_not_offered(ask: Asker) -> None:
    question = ask((), (wanted("Gramma loreto", 6.0),))
    heavy = replace(question, rock_word="wall", rockworks=(preset("dense", question.glass, mass_kg=200.0),))
    assert len(offered(heavy).get(Kind.LAYOUT, [])) < 2


def test_a_round_tank_is_not_offered_longer(ask: Asker) -> None:
    round_tank = Glass(Shape.CYLINDER, 60.0, 60.0, 60.0)
    question = replace(ask((), (wanted("Gramma loreto", 6.0),)), glass=round_tank)
    assert Kind.TANK not in offered(question)


def test_one_wish_has_no_order_and_no_wait(ask: Asker) -> None:
    words = offered(ask((), (wanted("Gramma loreto", 6.0),)))
    assert not {Kind.ORDER, Kind.WAIT, Kind.TIMEOUT} & set(words)


def test_a_resident_of_a_kind_that_is_also_wished_for_is_not_taken_out(ask: Asker) -> None:
    question = ask((resident("Gramma loreto", 7.0, LONG_AGO),), (wanted("Gramma loreto", 5.0),))
    assert Kind.TIMEOUT not in offered(question)


def test_residents_alone_can_only_part_or_get_a_better_tank(ask: Asker) -> None:
    words = offered(ask((resident("Gramma loreto", 7.0, LONG_AGO),)))
    assert Kind.REHOME in words
    assert not {Kind.SIZE, Kind.BOX, Kind.TIMEOUT, Kind.ORDER} & set(words)


def test_who_was_eaten_is_told_by_whom(ask: Asker) -> None:
    lion = resident("Pterois volitans", 25.0, LONG_AGO)
    gramma = resident("Gramma loreto", 5.0, dt.date(2026, 12, 1))
    on = dt.date(2026, 12, 4)
    then = as_it_was(ask((lion, gramma)), gramma.key, on)
    found = look_back(then, gramma.key, on, RULES)
    assert (found.outcome, found.by) == ("eaten", "Pterois volitans")
    assert found.p > 0.5
