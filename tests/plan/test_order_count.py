"""How many orders keep what matters, beside trying them all."""

from __future__ import annotations

import itertools

from tests.plan.tanks import Asker, wanted

from slackwater.plan.draft import draft
from slackwater.plan.reasons import befores, order_count
from slackwater.plan.wording import out_of_order
from slackwater.rules import load_rules


def test_orders_are_counted_as_trying_them_all_does(ask: Asker) -> None:
    made = draft(
        ask(
            (),
            (
                wanted("Pseudocheilinus hexataenia", 6.0),
                wanted("Nemateleotris magnifica", 6.0),
                wanted("Gramma loreto", 6.0),
                wanted("Centropyge bispinosa", 7.0),
            ),
            length_cm=90.0,
        ),
        load_rules(),
        lambda _: None,
    )
    names = [made.question.wishes[members[0]].species.common_name for members in made.sequence.groups]
    rules = [(names.index(b.first), names.index(b.then)) for b in befores(made)]
    orders = list(itertools.permutations(range(len(names))))
    kept = [o for o in orders if all(o.index(a) < o.index(b) for a, b in rules)]
    cost = made.sequence.cost
    sums = [sum(cost[a, b] for a, b in itertools.combinations(o, 2)) for o in orders]
    best = sum(total <= min(sums) + 1e-12 for total in sums)
    count = order_count(made)
    assert count is not None
    assert (count.every, count.kept, count.best) == (len(orders), len(kept), best)
    assert rules
    assert f"{len(kept)} of {len(orders)} orders keep to that" in out_of_order(made)


def test_a_single_release_has_no_order(ask: Asker) -> None:
    made = draft(ask((), (wanted("Gramma loreto", 6.0),)), load_rules(), lambda _: None)
    assert order_count(made) is None
