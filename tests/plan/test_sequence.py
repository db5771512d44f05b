"""The order of releases: exact for the worst-off animal, then for the sum."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.costs import Burdens, pair_doses
from slackwater.plan.question import Question
from slackwater.plan.sequence import best_sequence
from slackwater.rules import load_rules

LONG_AGO = dt.date(2026, 1, 1)


@pytest.fixture
def five(ask: Asker) -> Question:
    return ask(
        (resident("Amphiprion ocellaris", 7.0, LONG_AGO, count=2, sex="pair"),),
        (
            wanted("Pseudocheilinus hexataenia", 6.0),
            wanted("Nemateleotris magnifica", 6.0),
            wanted("Gramma loreto", 6.0),
            wanted("Centropyge bispinosa", 7.0),
            wanted("Salarias fasciatus", 9.0),
        ),
    )


def test_the_burden_of_an_item_never_falls_as_more_stand_before_it(five: Question) -> None:
    burdens = Burdens(pair_doses(five, load_rules()), load_rules(), 5)
    for last in range(5):
        others = [i for i in range(5) if i != last]
        for size in range(5):
            for before in itertools.combinations(others, size):
                for more in set(others) - set(before):
                    wider = burdens.of(last, frozenset(before) | {more})
                    assert wider >= burdens.of(last, frozenset(before)) - 1e-12


def test_brute_force_finds_no_order_kinder_to_the_worst_off(five: Question) -> None:
    rules = load_rules()
    burdens = Burdens(pair_doses(five, rules), rules, 5)

    def worst(order: tuple[int, ...]) -> float:
        return max(burdens.of(item, frozenset(order[:k])) for k, item in enumerate(order))

    least = min(worst(order) for order in itertools.permutations(range(5)))
    found = best_sequence(five, rules)
    assert found.worst == pytest.approx(least, rel=1e-9)
    assert worst(found.order()) <= max(least, burdens.of_residents()) * 1.000001 + 1e-4


def test_the_bully_of_a_company_is_released_after_the_shy(five: Question) -> None:
    order = best_sequence(five, load_rules()).order()
    names = [five.wishes[i].species.name for i in order]
    assert names.index("Nemateleotris magnifica") < names.index("Pseudocheilinus hexataenia")


def test_nothing_to_release_is_an_answer(ask: Asker) -> None:
    found = best_sequence(ask((resident("Gramma loreto", 6.0, LONG_AGO),)), load_rules())
    assert found.order() == ()


def test_the_order_of_a_list_does_not_matter(five: Question) -> None:
    from dataclasses import replace

    turned = replace(five, wishes=tuple(reversed(five.wishes)))
    one = [five.wishes[i].key for i in best_sequence(five, load_rules()).order()]
    two = [turned.wishes[i].key for i in best_sequence(turned, load_rules()).order()]
    assert one == two


def test_animals_of_one_species_are_released_on_one_day(ask: Asker) -> None:
    from dataclasses import replace

    male = wanted("Nemanthias bartlettorum", 7.0, sex="male")
    females = replace(wanted("Nemanthias bartlettorum", 5.0, count=4, sex="female"), key="females")
    question = ask((), (male, wanted("Gramma loreto", 6.0), females), length_cm=180.0)
    assert question.groups == ((0, 2), (1,))
    steps = best_sequence(question, load_rules()).steps
    assert (0, 2) in steps
    assert sorted(wish for step in steps for wish in step) == [0, 1, 2]
