"""How widely attacks and harm may lie, and how sure an answer is."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from numpy.typing import NDArray
from scripts.trust_shape import random_tank
from tests.society.build import (
    CHROMIS,
    CLOWN,
    DOMINO,
    FIREFISH,
    GRAMMA,
    GROUPER,
    HUMBUG,
    ORCHID,
    RULES,
    SCOPAS_TANG,
    YELLOW_TANG,
    fish,
    judged,
    party,
    tank,
)

from slackwater import kernels
from slackwater.rules import coefficient_spreads
from slackwater.society import spread as spread_of
from slackwater.society.company import Deed, Event, Party, Sex, Situation
from slackwater.society.draws import WideDraws, draw, draw_widely
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.society.spread import Range, how_sure, pair_outlook, spread, two_outcomes
from slackwater.society.spread_factors import _recognised

CARDINAL = "Pterapogon kauderni"
RIVALS = tank(party(ORCHID, 7), party(GRAMMA, 6, day=30))


def individuals_alone(verdict: Judgement, draws: int) -> WideDraws:
    """Return the draws of the judgement itself, one for each layout: nothing else is uncertain."""
    layouts = len(verdict.situation.rockworks)
    drawn = draw(verdict.situation.animals, draws, 0, verdict.rules)
    strength, temper = (np.repeat(part, layouts, axis=0) for part in drawn)
    ones, told = np.ones(len(strength)), np.zeros(strength.shape, dtype=bool)
    return WideDraws(
        strength, np.ones_like(strength), temper, told, dict.fromkeys(coefficient_spreads(), ones)
    )


@pytest.mark.parametrize("seed", [0, 3, 7, 28])
def test_individuals_alone_give_the_judgement(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    # The judgement's own arithmetic in numpy is the twin of the compiled loop.
    verdict = judge(random_tank(seed), Settings(fine=False, draws=8), RULES)
    layouts = len(verdict.situation.rockworks)
    monkeypatch.setattr(spread_of, "draw_widely", lambda *_: individuals_alone(verdict, 8))
    monkeypatch.setattr("slackwater.society.spread_factors._either", lambda _: False)
    found = spread(verdict, 8 * layouts)
    for lot in verdict.lots:
        by_layout = found.harm[:, lot.animal.index].reshape(8, layouts).T.ravel()
        assert by_layout == pytest.approx(lot.draws, abs=1e-12)
        assert found.attacks[:, lot.animal.index].mean() == pytest.approx(lot.chases_per_h, abs=1e-12)


def drawn_bytes(verdict: Judgement) -> tuple[bytes, bytes]:
    found = spread(verdict, 64)
    return found.harm.tobytes(), found.attacks.tobytes()


def test_the_draws_are_the_same_to_the_byte_for_any_number_of_threads() -> None:
    verdict = judged(random_tank(1))
    whole = drawn_bytes(verdict)
    try:
        kernels.use_threads(1)
        assert drawn_bytes(verdict) == whole
    finally:
        kernels.use_threads(64)
    assert drawn_bytes(verdict) == whole


def test_the_order_of_the_list_changes_nothing() -> None:
    three = party(DOMINO, 6), party(HUMBUG, 5, day=4), party(GRAMMA, 5, day=9)
    found = []
    for parties in permutations(three):
        spreads = spread(judged(tank(*parties)), 64)
        names = [p.species.name for p in parties]
        found.append({name: spreads.harm[:, n] for n, name in enumerate(names)})
    for other in found[1:]:
        for name, drawn in other.items():
            assert drawn == pytest.approx(found[0][name], abs=1e-12)


def width(situation: Situation, n: int = -1, draws: int = 400) -> float:
    """Return how wide the interval of attacks on an animal is, as a ratio."""
    within = Range.of(spread(judged(situation), draws).attacks[:, n])
    return within.high / within.low


def test_attacks_as_said_lie_within_their_range() -> None:
    verdict = judged(RIVALS)
    lot = verdict.lots[1]
    told = spread(verdict).outlook(lot)
    assert told.attacks.low < lot.chases_per_h < told.attacks.high
    assert told.harm.low < lot.p < told.harm.high
    # One individual lies within a factor of 4 either way; the coefficients add a little.
    assert 8.0 < told.attacks.high / told.attacks.low < 40.0


def test_a_length_not_told_widens_the_range() -> None:
    first, late = party(DOMINO, 6), party(HUMBUG, 5.5, day=5)
    guessed = replace(late, length_sigma=RULES["spread.sold_length"])
    assert width(tank(first, guessed)) > 1.05 * width(tank(first, late))


def test_a_length_not_told_leaves_the_judgement_as_it_is() -> None:
    guessed = replace(party(HUMBUG, 5.5, day=5), length_sigma=0.2)
    one, other = (judged(tank(party(DOMINO, 6), p)) for p in (guessed, replace(guessed, length_sigma=0.0)))
    assert [x.draws.tobytes() for x in one.lots] == [x.draws.tobytes() for x in other.lots]


def two_cardinals(sex: Sex) -> Situation:
    return tank(replace(party(CARDINAL, 6), sex=sex), replace(party(CARDINAL, 5.5), sex=sex))


def test_a_sex_not_told_parts_into_pair_and_rivals() -> None:
    assert fish(CARDINAL).word("sex_change") == "none"
    attacks = spread(judged(two_cardinals(Sex.UNKNOWN)), 400).attacks[:, 1]
    males = spread(judged(two_cardinals(Sex.MALE)), 400).attacks[:, 1]
    assert width(two_cardinals(Sex.UNKNOWN), 1) > 2.0 * width(two_cardinals(Sex.MALE), 1)
    assert np.quantile(attacks, 0.9) > np.median(males)


def test_a_kind_that_changes_sex_becomes_what_is_wanted() -> None:
    two = party(CLOWN, 5), party(CLOWN, 4)
    wide = draw_widely(tank(*two).animals, 64, 0, RULES)
    assert set(wide.male.mean(axis=0)) == {0.5}
    assert width(tank(*two), 1) < 60.0


@pytest.mark.parametrize(
    ("attacker", "victim"),
    [
        (party(YELLOW_TANG, 10), party(CLOWN, 6, day=30)),
        (party(CLOWN, 6), party(FIREFISH, 6, day=30)),
        (party(GRAMMA, 6), party(FIREFISH, 6, day=30)),
    ],
)
def test_coefficients_widen_the_range(
    attacker: Party, victim: Party, monkeypatch: pytest.MonkeyPatch
) -> None:
    verdict = judged(tank(attacker, victim))
    harm = Range.of(spread(verdict).harm[:, 1])
    monkeypatch.setattr(spread_of, "draw_widely", lambda *_: individuals_alone(verdict, 500))
    alone = Range.of(spread(verdict).harm[:, 1])
    assert harm.high / harm.low > 1.3 * alone.high / alone.low


def test_a_prey_of_unknown_length_may_be_eaten_or_not() -> None:
    hunter = party(GROUPER, 12)
    at_the_limit = replace(party(CHROMIS, 6.5), length_sigma=0.2)
    eaten = spread(judged(tank(hunter, at_the_limit)), 200).harm[:, 1]
    told = spread(judged(tank(hunter, replace(at_the_limit, length_sigma=0.0))), 200).harm[:, 1]
    assert np.ptp(eaten) > 0.5 > np.ptp(told)


def test_a_hunter_that_is_gone_before_the_prey_comes_eats_nothing() -> None:
    late = replace(party(CHROMIS, 4, day=30), length_sigma=0.2)
    gone = Event(20.0, Deed.TAKE_OUT, GROUPER, 300.0)
    verdict = judged(tank(party(GROUPER, 20), late, events=(gone,)))
    assert verdict.lots[1].harm["eaten"] == 0.0
    assert spread(verdict, 50).harm[:, 1] == pytest.approx(verdict.lots[1].p, abs=1e-4)


def test_a_length_as_taken_is_eaten_as_judged() -> None:
    verdict = judged(tank(party(GROUPER, 12), replace(party(CHROMIS, 6.5), length_sigma=1e-9)))
    assert spread(verdict, 50).harm[:, 1].mean() == pytest.approx(verdict.lots[1].p, abs=1e-5)


def test_who_is_alone_is_surely_at_ease() -> None:
    verdict = judged(tank(party(FIREFISH)))
    told = spread(verdict).outlook(verdict.lots[0])
    assert told.sure == "sure"
    assert not told.two_outcomes
    assert told.harm == Range(0.0, 0.0)


def shares(well: float, ill_p: float = 0.9) -> NDArray[np.float64]:
    """A thousand draws, a share of which goes well."""
    return np.where(np.arange(1000) < 1000 * well, 0.01, ill_p)


@pytest.mark.parametrize(
    ("well", "said", "word"),
    [
        (0.95, 0.05, "sure"),
        (0.8, 0.05, "fairly sure"),
        (0.6, 0.05, "unsure"),
        (0.05, 0.8, "sure"),
        (0.4, 0.3, "unsure"),
    ],
)
def test_how_sure_is_the_share_of_draws_that_agree(well: float, said: float, word: str) -> None:
    assert how_sure(shares(well), said, RULES) == word


def test_draws_that_split_are_two_outcomes() -> None:
    assert two_outcomes(shares(0.5), RULES)
    assert not two_outcomes(shares(0.95), RULES)
    assert not two_outcomes(shares(0.1), RULES)
    assert not two_outcomes(shares(0.5, ill_p=0.2), RULES), "nobody is besieged"


def test_one_animals_attacks_on_another_lie_about_what_is_explained() -> None:
    verdict = judged(RIVALS)
    first, late = verdict.situation.animals
    span = verdict.spans[-1]
    there = pair_outlook(verdict, first, late, (span, 37.0))
    back = pair_outlook(verdict, late, first, (span, 37.0))
    assert there.attacks.low > back.attacks.low
    harm = float(verdict.harm_by(ORCHID, GRAMMA).mean())
    assert there.harm.low < harm < there.harm.high


def test_harm_by_one_of_two_is_less_than_harm_by_all() -> None:
    verdict = judged(tank(party(DOMINO, 7), party(ORCHID, 7), party(GRAMMA, 6, day=30)))
    domino, _, gramma = verdict.situation.animals
    by_one = pair_outlook(verdict, domino, gramma, (verdict.spans[-1], 37.0))
    assert by_one.harm.high <= Range.of(spread(verdict).harm[:, 2]).high


def test_spreads_of_coefficients_stay_within_their_priors() -> None:
    spreads = coefficient_spreads()
    assert spreads["kappa"] == pytest.approx(2.0 * 0.07, abs=0.1)
    assert all(0.0 <= value <= 1.0 for value in spreads.values())


def test_wide_draws_keep_the_individuals_of_the_judgement() -> None:
    parties: tuple[Party, ...] = (party(GRAMMA), party(HUMBUG))
    animals = tank(*parties).animals
    wide = draw_widely(animals, 32, 0, RULES)
    strength, temper = draw(animals, 32, 0, RULES)
    assert np.array_equal(wide.strength, strength)
    assert np.array_equal(wide.temper, temper)
    assert np.all(wide.size == 1.0)


def test_kinship_that_fades_more_slowly_makes_congeners_more_alike_and_strangers_none_the_more() -> None:
    verdict = judged(tank(party(YELLOW_TANG, 10), party(SCOPAS_TANG, 10), party(GRAMMA, 6)))
    told = individuals_alone(verdict, 2)
    factors = np.resize([1.0, 1.5], len(told.temper))
    found = _recognised(verdict, replace(told, coefficient={**told.coefficient, "congener_ma": factors}))
    tangs, strangers = found[:2, 0, 1], found[:2, 0, 2]
    assert tangs[0] == pytest.approx(1.0)
    assert tangs[1] > 1.05
    assert strangers == pytest.approx([1.0, 1.0])
