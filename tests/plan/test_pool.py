"""The table of a wish list lies below the full model: what is borne there keeps every cap here."""

from __future__ import annotations

import numpy as np
import pytest
from tests.plan.tanks import Asker, wanted
from tests.rivals.test_choice_rivals import keeps_the_table, random_list

from slackwater.plan.pool import greatest_dose, pool_of
from slackwater.plan.search import Terms, search_of
from slackwater.rules import load_rules
from slackwater.society.harm import harm_per_day


def test_the_greatest_dose_is_that_of_its_hazard() -> None:
    rules = load_rules()
    dose = greatest_dose(0.001, 1.4, rules)
    assert float(harm_per_day(np.array(dose), np.array(1.4), rules)) == pytest.approx(0.001)
    assert greatest_dose(0.0, 1.4, rules) == 0.0


def test_a_line_is_counted_with_all_its_animals(ask: Asker) -> None:
    one = pool_of(ask((), (wanted("Gramma loreto", 6.0), wanted("Chromis viridis", 4.0))), load_rules())
    six = pool_of(
        ask((), (wanted("Gramma loreto", 6.0), wanted("Chromis viridis", 4.0, count=6))), load_rules()
    )
    assert one.fought.shape == (2, 2)
    assert six.fought.shape == (2, 7)
    assert six.animals_of(1).tolist() == [1, 2, 3, 4, 5, 6]
    assert six.fought[1, 0] > one.fought[1, 0]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 112))
def test_a_company_that_the_full_model_bears_keeps_the_table(seed: int) -> None:
    search = search_of(random_list(seed, 4 + seed % 5), Terms(worst=0.35), load_rules())
    everyone = frozenset(n for n in range(len(search.pool.wishes)) if not search.pool.outgrown[n])
    while search.trials.refuses(everyone) and everyone:
        everyone -= {max(everyone)}
    assert keeps_the_table(search, tuple(sorted(everyone)), 0.35)
