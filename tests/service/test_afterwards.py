"""After a death: fair, unsure where it must be, and blaming nobody."""

from __future__ import annotations

import datetime as dt

import pytest

from slackwater.errors import InputError, UnknownTaxonError
from slackwater.plan.afterwards import as_it_was
from slackwater.service.afterwards import Afterwards, afterwards_file
from slackwater.service.planning import question_of
from slackwater.service.tankfile import load

TODAY, ON = dt.date(2026, 11, 24), dt.date(2026, 11, 13)

TANK = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 45 cm}
rock: moderate
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm}
  - {animal: six line, length: 7 cm, since: 2026-01-10}
  - {animal: royal gramma, since: 2026-11-01}
  - {animal: yellow coris, length: 7 cm, since: 2026-11-08}
"""


@pytest.fixture(scope="module")
def told() -> Afterwards:
    return afterwards_file(TANK, "royal gramma", TODAY, ON)


def test_each_lever_is_answered_once(told: Afterwards) -> None:
    assert [row.lever for row in told.otherwise] == ["order", "size", "rock", "feeding", "box"]
    assert told.days == 12
    assert told.by == "sixline wrasse"
    for row in told.otherwise:
        assert 0.0 <= row.p <= 1.0
        assert row.would in {
            "would probably have changed it",
            "might have helped",
            "would have changed little",
        }


def test_to_come_first_would_have_changed_it(told: Afterwards) -> None:
    order = told.otherwise[0]
    assert order.what == "letting it go before sixline wrasse"
    assert order.p < 0.5 * told.p
    assert order.would == "would probably have changed it"


def test_the_paragraph_is_fair(told: Afterwards) -> None:
    assert told.paragraph.startswith("We are sorry about the royal gramma.")
    for word in ("fault", "mistake", "should have", "wrong"):
        assert word not in told.paragraph
    assert "not a finding" in told.how_sure
    assert "Nobody could have known" in told.how_sure
    assert "veterinarian" in told.next_step


def test_a_death_that_the_company_does_not_explain_is_not_pinned_on_it() -> None:
    calm = "\n".join(line for line in TANK.splitlines() if "six line" not in line) + "\n"
    told = afterwards_file(calm, "royal gramma", TODAY, ON)
    assert told.otherwise == ()
    assert "does not explain this death" in told.paragraph


def test_the_tank_is_put_back_to_the_day_of_release() -> None:
    question = question_of(load(TANK), TODAY, "tank")
    gramma = next(w.key for w in question.residents if w.species.name == "Gramma loreto")
    then = as_it_was(question, gramma, ON)
    assert then.start == dt.date(2026, 11, 1)
    assert [w.species.name for w in then.residents] == ["Amphiprion ocellaris", "Pseudocheilinus hexataenia"]
    assert then.wishes[0].key == gramma
    assert dict(then.course.days) == {gramma: 0.0, then.wishes[1].key: 7.0}
    assert then.wishes[0].length_cm == pytest.approx(5.0)
    assert then.wishes[1].length_cm < 7.0


def test_whoever_came_after_the_death_was_not_there() -> None:
    question = question_of(load(TANK), TODAY, "tank")
    gramma = next(w.key for w in question.residents if w.species.name == "Gramma loreto")
    then = as_it_was(question, gramma, dt.date(2026, 11, 5))
    assert [w.key for w in then.wishes] == [gramma]


@pytest.mark.parametrize(("died", "kind"), [("yellow tang", InputError), ("xyzzy qwrt", UnknownTaxonError)])
def test_who_is_not_there_cannot_have_died(died: str, kind: type[Exception]) -> None:
    with pytest.raises(kind):
        afterwards_file(TANK, died, TODAY, ON)


@pytest.mark.parametrize("on", [dt.date(2026, 10, 1), dt.date(2026, 12, 1)])
def test_the_day_lies_between_release_and_today(on: dt.date) -> None:
    with pytest.raises(InputError, match="must lie between"):
        afterwards_file(TANK, "royal gramma", TODAY, on)
