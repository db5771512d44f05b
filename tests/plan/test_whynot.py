"""Clashes are smallest: refused as a whole, borne again without any one of theirs."""

from __future__ import annotations

from tests.plan.tanks import Asker, wanted

from slackwater.plan.choose import choose
from slackwater.plan.question import Question
from slackwater.plan.search import Terms, search_of
from slackwater.plan.trials import stripped
from slackwater.rules import load_rules

OUTGROWN = {"Paracanthurus hepatus"}


def impossible(ask: Asker) -> Question:
    return ask(
        (),
        (
            wanted("Centropyge loricula", 6.0, wish=9.0),
            wanted("Centropyge bispinosa", 6.0, wish=7.0),
            wanted("Nemateleotris magnifica", 5.0, wish=8.0),
            wanted("Pseudochromis fridmani", 5.0, wish=5.0),
            wanted("Antennarius maculatus", 8.0, wish=3.0),
            wanted("Paracanthurus hepatus", 8.0, wish=6.0),
        ),
    )


def test_no_part_of_a_clash_can_be_left_out(ask: Asker) -> None:
    question = impossible(ask)
    found = choose(question, most=2)
    trials = search_of(question, Terms(), load_rules()).trials
    number = {w.key: n for n, w in enumerate(question.wishes)}
    assert found.clashes
    for clash in found.clashes:
        core = frozenset(number[key] for key in clash.keys)
        if clash.rule == "outgrown":
            assert len(core) == 1
            continue
        assert trials.refuses(core), clash
        for one in core:
            assert len(core) == 1 or not trials.refuses(core - {one}), clash
        assert clash.sources


def test_no_clash_holds_another_and_each_left_out_wish_is_named(ask: Asker) -> None:
    found = choose(impossible(ask), most=1)
    keys = [set(clash.keys) for clash in found.clashes]
    assert not any(a < b for a in keys for b in keys)
    left = {w.key for w in found.choices[0].left_out}
    assert left <= set().union(*keys)


def test_stripping_ends_where_nothing_can_go() -> None:
    def clashes(part: frozenset[int]) -> bool:
        return {1, 4} <= part or {2, 3, 5} <= part

    assert stripped(frozenset(range(7)), clashes) in ({1, 4}, {2, 3, 5})
