"""The best company from a wish list, and others that clearly differ."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from tests.plan.tanks import Asker, resident, wanted
from tests.rivals.test_choice_rivals import random_list

from slackwater.plan import search as searching
from slackwater.plan.choose import Choice, Choices, choose
from slackwater.plan.choose_model import FEWEST_ANIMALS, FEWEST_WISHES, Picked, pick
from slackwater.plan.question import QuarantineRoom, Question, Wanted
from slackwater.plan.search import Terms, search_of
from slackwater.rules import load_rules

LONG_AGO = dt.date(2026, 1, 1)


def wishes() -> tuple[Wanted, ...]:
    """Return an invented list of which not everything can be had."""
    return (
        replace(wanted("Centropyge loricula", 6.0, wish=9.0), price="90 EUR"),
        replace(wanted("Centropyge bispinosa", 6.0, wish=7.0), price="40 EUR"),
        replace(wanted("Gramma loreto", 5.0, wish=7.0), price="25 EUR"),
        wanted("Nemateleotris magnifica", 5.0, wish=8.0),
        wanted("Pterois volitans", 12.0, wish=6.0),
        replace(wanted("Chromis viridis", 4.0, count=6, wish=4.0), price="8 EUR"),
    )


@pytest.fixture
def question(ask: Asker) -> Question:
    return ask((), wishes())


def names(choice: Choice) -> set[str]:
    return {w.species.name for w in choice.wishes}


def test_the_dearest_of_two_rivals_is_kept_and_the_lionfish_stays_out(question: Question) -> None:
    found = choose(question, most=1)
    (best,) = found.choices
    assert "Centropyge loricula" in names(best)
    assert not names(best) & {"Pterois volitans", "Centropyge bispinosa"}
    assert best.trial.is_bearable
    assert {w.key for step in best.steps for w in step} == {w.key for w in best.wishes}
    assert best.weight <= found.bound


def test_choices_clearly_differ(question: Question) -> None:
    found = choose(question, most=4).choices
    assert len(found) > 1
    for n, one in enumerate(found):
        for other in found[:n]:
            changed = {w.key: w.count for w in (*one.wishes, *other.wishes)}
            for key in {w.key for w in one.wishes} & {w.key for w in other.wishes}:
                del changed[key]
            assert len(changed) >= FEWEST_WISHES or sum(changed.values()) >= FEWEST_ANIMALS
            assert not names(one) <= names(other)
        assert one.weight <= found[0].weight
        assert one.trial.is_bearable


def test_the_same_list_gives_the_same_answer(question: Question) -> None:
    assert _told(choose(question, most=3)) == _told(choose(question, most=3))


def _told(found: Choices) -> object:
    return found.bound, found.tried, [(c.weight, [w.key for w in c.wishes], c.trial) for c in found.choices]


def test_the_budget_is_kept(question: Question) -> None:
    found = choose(question, Terms(spend=60.0), most=1)
    assert found.choices[0].price <= 60.0
    assert "Centropyge loricula" not in names(found.choices[0])
    budget = next(clash for clash in found.clashes if clash.rule == "budget")
    prices = {w.key: float((w.price or "0").split()[0]) * w.count for w in question.wishes}
    cost = [prices[key] for key in budget.keys]
    assert sum(cost) > 60.0
    assert all(sum(cost) - one <= 60.0 for one in cost)


def test_releases_are_counted(question: Question) -> None:
    found = choose(question, Terms(releases=2), most=1)
    assert len(found.choices[0].steps) == 2
    assert any(clash.rule == "releases" for clash in found.clashes)


def test_quarantine_and_a_last_day_limit_the_releases(ask: Asker) -> None:
    room = QuarantineRoom(tanks=1, days=30)
    question = ask((), wishes()[2:4], quarantine=room)
    until = question.start + dt.timedelta(days=45)
    assert len(choose(question, Terms(until=until), most=1).choices[0].steps) == 1
    later = question.start + dt.timedelta(days=90)
    assert len(choose(question, Terms(until=later), most=1).choices[0].steps) == 2


def test_a_list_that_can_be_had_is_had_whole(ask: Asker) -> None:
    found = choose(ask((), (wanted("Gramma loreto", 5.0), wanted("Nemateleotris magnifica", 5.0))))
    assert found.everything
    assert found.proven
    assert len(found.choices) == 1
    assert found.clashes == ()


def test_residents_are_spared(ask: Asker) -> None:
    question = ask(
        (resident("Nemateleotris magnifica", 6.0, LONG_AGO),),
        (wanted("Pterois volitans", 12.0, wish=9.0), wanted("Gramma loreto", 5.0, wish=2.0)),
        length_cm=200.0,
    )
    found = choose(question, most=1)
    assert names(found.choices[0]) == {"Gramma loreto"}
    assert any("eat" in clash.sentence for clash in found.clashes)


def test_trouble_among_residents_is_no_choices_fault(ask: Asker) -> None:
    question = ask(
        (
            resident("Zebrasoma xanthurum", 15.0, LONG_AGO),
            resident("Zebrasoma flavescens", 10.0, dt.date(2026, 12, 31)),
        ),
        (wanted("Echidna nebulosa", 25.0),),
    )
    assert [names(c) for c in choose(question, most=1).choices] == [{"Echidna nebulosa"}]


def test_nothing_can_be_an_answer(ask: Asker) -> None:
    found = choose(ask((), (wanted("Pterois volitans", 12.0),), length_cm=60.0))
    assert found.choices == ()
    assert found.proven
    assert found.clashes[0].rule == "outgrown"
    assert any("cp" in source for source in found.clashes[0].sources)


def test_a_solver_without_time_claims_nothing(question: Question) -> None:
    search = search_of(question, Terms(), load_rules())
    picked = pick(search.pool, search.bounds, effort=0.0)
    assert picked is not None
    assert picked.proven or picked.bound >= search.weight(picked.wishes)
    best = pick(search.pool, search.bounds)
    assert best is not None
    assert picked.bound >= best.bound


@pytest.mark.parametrize(
    ("step", "offers"), [("the best company", 0), ("another company (2)", 1), ("another company (3)", 2)]
)
def test_a_stopped_search_offers_the_best_so_far(question: Question, step: str, offers: int) -> None:
    def stop(name: str) -> None:
        if name == step:
            raise KeyboardInterrupt

    found = choose(question, most=4, tick=stop)
    assert not found.is_whole
    assert len(found.choices) == offers
    assert found.clashes == ()
    assert found.bound >= sum(choice.weight for choice in found.choices[:1])
    assert found.proven == (offers > 0)


def test_a_stop_within_the_first_search_keeps_what_was_judged(
    question: Question, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = []

    def stopped(*given: object, **told: object) -> object:
        calls.append(1)
        if len(calls) > 2:
            raise KeyboardInterrupt
        return pick(*given, **told)  # type: ignore[arg-type]

    monkeypatch.setattr(searching, "pick", stopped)
    found = choose(question, most=1)
    assert not found.is_whole
    assert not found.proven
    assert all(choice.trial.is_bearable for choice in found.choices)


def test_a_search_that_gives_up_thins_out_what_it_has(
    question: Question, monkeypatch: pytest.MonkeyPatch
) -> None:
    every = Picked(frozenset(range(len(question.wishes))), 41.0, proven=True)
    monkeypatch.setattr(searching, "pick", lambda *_given, **_told: every)
    monkeypatch.setattr(searching, "_MOST_TRIES", 1)
    found = choose(question, most=1)
    (best,) = found.choices
    assert best.trial.is_bearable
    assert not found.proven
    assert found.bound == 41.0
    assert found.gap == pytest.approx(1.0 - best.weight / 41.0)
    assert "up to" in found.proof


@pytest.mark.slow
@pytest.mark.parametrize("seed", [2, 8])
def test_a_list_of_twenty_is_chosen_from_with_its_gap_shown(seed: int) -> None:
    found = choose(random_list(seed, 20), most=3)
    best = found.choices[0]
    assert best.trial.is_bearable
    assert found.gap == pytest.approx((found.bound - best.weight) / found.bound)
    assert found.proven == (found.gap == 0.0)
    assert found.gap < 0.1
    assert f"{100.0 * found.gap:.1f} %" in found.proof or found.proven
    assert all(choice.weight <= found.bound for choice in found.choices)


def test_one_size_of_several_is_chosen(ask: Asker) -> None:
    small, large = (replace(wanted("Gramma loreto", cm, wish=5.0), key=f"gramma-{cm}") for cm in (2.5, 7.0))
    lion = wanted("Pterois volitans", 14.0, wish=6.0)
    found = choose(ask((), (small, large, lion), length_cm=240.0), Terms(either=((0, 1),)))
    for choice in found.choices:
        assert len({w.key for w in choice.wishes} & {"gramma-2.5", "gramma-7.0"}) <= 1
        assert len(choice.wishes) + len(choice.left_out) == 2
    assert len(found.choices) == 2, "another size is no other choice"


def test_holes_and_oxygen_are_shared_out(ask: Asker) -> None:
    many = tuple(
        replace(wanted("Pseudochromis fridmani", 5.0, count=6, wish=w), key=f"p{w}") for w in (3.0, 4.0, 5.0)
    )
    search = search_of(ask((), many, length_cm=60.0), Terms(), load_rules())
    holes = next(shared for shared in search.bounds.shared if shared.rule == "holes")
    assert holes.takes == (6.0, 6.0, 6.0)
    picked = pick(search.pool, search.bounds)
    assert picked is not None
    assert sum(holes.takes[n] for n in picked.wishes) <= holes.most
    oxygen = next(shared for shared in search.bounds.shared if shared.rule == "oxygen")
    assert all(part > 0.0 for part in oxygen.takes)
    assert oxygen.left(0) == oxygen.most > 0.0


def test_too_few_holes_are_told_of(ask: Asker) -> None:
    two = (
        replace(wanted("Pseudochromis fridmani", 5.0, count=8, wish=3.0), key="a"),
        replace(wanted("Gramma loreto", 5.0, count=8, wish=4.0), key="b"),
    )
    found = choose(ask((), two, length_cm=60.0), most=1)
    told = next(clash for clash in found.clashes if clash.rule == "holes")
    assert "1.5 holes" in told.sentence
    assert told.sources


def test_a_list_that_could_be_borne_whole_is_said_to_be(ask: Asker) -> None:
    rivals = (
        wanted("Gramma loreto", 5.0, wish=5.0),
        wanted("Pseudochromis fridmani", 5.0, wish=5.0),
        wanted("Nemateleotris magnifica", 5.0, wish=5.0),
    )
    gentle = choose(ask((), rivals), Terms(worst=0.002), most=1)
    assert not gentle.everything
    assert choose(ask((), rivals), Terms(worst=load_rules()["bearable"]), most=1).everything
    assert gentle.whole is not None
    assert gentle.whole.wishes == frozenset({0, 1, 2})
