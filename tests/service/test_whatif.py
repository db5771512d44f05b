"""From a tank file to the ways that make it work, in sentences."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from slackwater.report import dumps
from slackwater.service.whatif import WhatIfAnswer, whatif_file

TODAY = dt.date(2026, 11, 24)

OWNED = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 45 cm}
rock: moderate
company:
  - {animal: six line, length: 7 cm, since: 2026-01-10}
wishes:
  - {animal: royal gramma, wish: 9, length: 5 cm}
"""


@pytest.fixture(scope="module")
def owned() -> WhatIfAnswer:
    return whatif_file(OWNED, TODAY, title="an invented tank")


def test_the_answer_says_why_not_and_how(owned: WhatIfAnswer) -> None:
    assert not owned.works_now
    assert owned.sentence.startswith("Not as it stands: royal gramma would be chased too much by sixline")
    assert owned.order == ("royal gramma",)
    assert owned.is_whole
    assert owned.note == ""


def test_every_way_says_what_to_do_and_what_is_given_up(owned: WhatIfAnswer) -> None:
    assert owned.ways
    for way in owned.ways:
        assert way.works
        assert way.effort == pytest.approx(sum(change.effort for change in way.changes))
        for change in way.changes:
            assert change.gives_up in way.sentence
        assert "Given up" in way.sentence
        assert way.word in {"at ease", "jostled", "pressed"}


def test_a_way_says_how_often_the_chaser_chases_then(owned: WhatIfAnswer) -> None:
    told = [way.because for way in owned.ways if way.because]
    assert told
    assert all(line.startswith("Sixline wrasse chases royal gramma") for line in told)


def test_the_answer_is_plain_data(owned: WhatIfAnswer) -> None:
    assert json.loads(dumps(owned))["ways"][0]["changes"][0]["do"]
    assert dumps(owned) == dumps(whatif_file(OWNED, TODAY, title="an invented tank"))


def test_what_works_says_so() -> None:
    easy = whatif_file(OWNED.replace("six line, length: 7 cm, since: 2026-01-10", "ocellaris"), TODAY)
    assert easy.works_now
    assert easy.sentence == "It works as it is, in this order: royal gramma."
    assert easy.ways == ()


def test_a_stopped_search_says_so() -> None:
    def stop(_: str) -> None:
        raise KeyboardInterrupt

    stopped = whatif_file(OWNED, TODAY, stop)
    assert not stopped.is_whole
    assert stopped.note == "Stopped after 0 tries: this is the best so far."
    assert "Nothing was found" in stopped.sentence
