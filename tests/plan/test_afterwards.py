"""Who is most to blame for a loss."""

from __future__ import annotations

import pytest
from tests.society.build import CHROMIS, GROUPER, judged, party, tank

from slackwater.plan.afterwards import _culprit

LION = "Pterois volitans"


@pytest.mark.parametrize(("lion_cm", "grouper_cm"), [(30.0, 12.0), (12.0, 30.0)])
def test_of_two_that_could_have_eaten_it_the_likelier_is_named(lion_cm: float, grouper_cm: float) -> None:
    verdict = judged(tank(party(LION, lion_cm), party(GROUPER, grouper_cm), party(CHROMIS, 10.0)))
    lot = next(lot for lot in verdict.lots if lot.animal.species.name == CHROMIS)
    chances = {by: p for (by, prey), p in verdict.eaten.items() if prey == CHROMIS}
    assert len(set(chances.values())) == 2, chances
    named = _culprit(verdict, lot, "eaten")
    assert all(chances[named] >= p for p in chances.values())
