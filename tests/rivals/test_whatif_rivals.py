"""The smallest ways beside brute force: every single change and every pair, each in all layouts."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from tests.plan.tanks import resident, wanted

from slackwater.plan.changes import Change, Kind, done
from slackwater.plan.clash import bearable
from slackwater.plan.levers import possible_changes
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import rejudged, with_best_order
from slackwater.plan.room import too_large_now
from slackwater.plan.whatif import effort, ways_to_yes
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape

RULES = load_rules()
LONG_AGO = dt.date(2026, 1, 1)
DAY = dt.date(2027, 1, 9)

TANKS = {
    "a six line owns it": (
        90.0,
        (resident("Pseudocheilinus hexataenia", 7.0, LONG_AGO),),
        (wanted("Gramma loreto", 5.0, wish=9.0),),
    ),
    "a lionfish among small fish": (
        120.0,
        (),
        (wanted("Gramma loreto", 5.0), wanted("Pterois volitans", 12.0, wish=2.0)),
    ),
    "a dottyback owns a short tank": (
        60.0,
        (resident("Pictichromis paccagnellorum", 6.0, LONG_AGO),),
        (wanted("Gramma loreto", 4.0, wish=9.0),),
    ),
}


def asked(length_cm: float, residents: tuple[Wanted, ...], wishes: tuple[Wanted, ...]) -> Question:
    glass = Glass(Shape.RECTANGULAR, length_cm, 45.0, 45.0)
    rocks = tuple(preset("moderate", glass, 5.0, v) for v in (0, 1, 2))
    return Question(
        "an invented tank", DAY, DAY, glass, rocks, "moderate", Keeping(), residents, wishes, None
    )


def works(question: Question, changes: tuple[Change, ...]) -> bool:
    """Say whether everyone bears it and has room from the first day: beside a divider, on its own side."""
    changed = done(question, changes)
    return bearable(rejudged(changed, RULES), RULES) and not too_large_now(changed, RULES)


def brute_force(question: Question, most: int) -> list[float]:
    """Return the efforts of the cheapest sets of one or two changes that differ in kind."""
    verdict = rejudged(question, RULES)
    singles = sorted(possible_changes(question, verdict, RULES), key=lambda c: c.effort)
    good = [(c,) for c in singles if works(question, (c,))]
    alone = {c for (c,) in good}
    pairs = [
        pair
        for pair in itertools.combinations(singles, 2)
        if pair[0].goes_with(pair[1]) and not alone & set(pair) and works(question, pair)
    ]
    kinds: list[frozenset[Kind]] = []
    efforts = []
    for found in [*good, *sorted(pairs, key=effort)]:
        mine = frozenset(c.kind for c in found)
        if not any(known <= mine for known in kinds):
            kinds.append(mine)
            efforts.append(effort(found))
    return sorted(efforts)[:most]


@pytest.mark.slow
@pytest.mark.parametrize("name", TANKS)
def test_the_cheapest_ways_are_those_of_brute_force(name: str) -> None:
    question = with_best_order(asked(*TANKS[name]), RULES)
    found = ways_to_yes(question, RULES)
    expected = brute_force(question, 3)
    assert expected
    efforts = [way.effort for way in found.ways if len(way.changes) < 3]
    assert efforts[: len(expected)] == pytest.approx(expected)
