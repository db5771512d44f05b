"""One invented tank for the planner's tests."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.plan.tanks import Asker

from slackwater.plan.question import QuarantineRoom, Question, Wanted
from slackwater.society.company import Keeping
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape


@pytest.fixture
def ask() -> Asker:
    """Return a maker of questions about one tank of 120 x 50 x 50 cm."""

    def make(
        residents: tuple[Wanted, ...] = (),
        wishes: tuple[Wanted, ...] = (),
        *,
        quarantine: QuarantineRoom | None = None,
        away: tuple[tuple[dt.date, dt.date], ...] = (),
        running_since: dt.date | None = None,
        length_cm: float = 120.0,
    ) -> Question:
        glass = Glass(Shape.RECTANGULAR, length_cm, 50.0, 50.0)
        return Question(
            title="an invented tank",
            made_on=dt.date(2027, 1, 1),
            start=dt.date(2027, 1, 9),
            glass=glass,
            rockworks=tuple(preset("moderate", glass, 5.0, v) for v in (0, 1, 2)),
            rock_word="moderate",
            keeping=Keeping(),
            residents=residents,
            wishes=wishes,
            quarantine=quarantine,
            away=away,
            running_since=running_since,
        )

    return make
