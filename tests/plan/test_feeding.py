"""The feeding card and the sitter's card."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.feeding import activity, fed_company, feeding_card, in_portions, ration
from slackwater.plan.outlook import hazards
from slackwater.plan.question import Question
from slackwater.plan.sitter import sitter_card
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.taxa.facts import load_facts

RULES = load_rules()
LONG_AGO = dt.date(2025, 1, 1)


@pytest.fixture
def mixed(ask: Asker) -> Question:
    return ask(
        (resident("Amphiprion ocellaris", 7.0, LONG_AGO, count=2, sex="pair"),),
        (
            wanted("Zebrasoma flavescens", 10.0),
            wanted("Chelmon rostratus", 11.0),
            wanted("Thalassoma lunare", 12.0),
        ),
        away=((dt.date(2027, 2, 6), dt.date(2027, 2, 19)),),
    )


def test_every_party_has_its_row_and_its_line(mixed: Question) -> None:
    card = feeding_card(mixed, RULES)
    assert [row.key for row in card.rows] == [w.key for w in (*mixed.residents, *mixed.wishes)]
    for row in card.rows:
        assert any(line.lower().startswith(row.common_name.lower()) for line in card.lines)
        assert 0.0 <= row.missed <= 1.0
        # Common practice: 1 to 3 % of body mass for adults, up to 6 % and more for the small.
        assert 0.005 < row.food_g_d / row.mass_g < 0.25
    assert sum(row.of_meal for row in card.rows) <= 1.0
    assert card.food_g_d == pytest.approx(sum(row.food_g_d for row in card.rows))


def test_residents_are_fed_as_long_as_today(mixed: Question) -> None:
    lengths = {a.species.name: a.length_cm for a in fed_company(mixed) if a.number == 0}
    assert lengths["Amphiprion ocellaris"] == 7.0


def test_the_slowest_is_named_with_its_feeds(mixed: Question) -> None:
    card = feeding_card(mixed, RULES)
    assert card.slowest == "copperband butterflyfish"
    told = " ".join(card.lines)
    assert card.slowest in told
    if card.keeps_weight_from is not None:
        assert f"From {card.keeps_weight_from} feeds" in told
    assert "copperband butterflyfish" in card.short_beside_full


def test_a_well_fed_tank_is_told_so(ask: Asker) -> None:
    alone = ask((), (wanted("Zebrasoma flavescens", 12.0),))
    card = feeding_card(alone, RULES)
    assert (card.feeds_per_day, card.stations, card.keeps_weight_from) == (2.0, 1, 1)
    assert card.short_beside_full == ()
    assert "One feed a day is enough" in " ".join(card.lines)
    assert len(card.stations_cm) == 1


def test_more_stations_are_spread_along_the_tank(mixed: Question) -> None:
    wide = replace(mixed, keeping=Keeping(stations=4))
    card = feeding_card(wide, RULES)
    assert card.stations == len(card.stations_cm) == 4
    assert len({x for x, _, _ in card.stations_cm}) == 4


def test_where_no_number_of_feeds_helps_another_way_is_named(mixed: Question) -> None:
    card = feeding_card(mixed, RULES.replaced({"race_ration": 0.05}))
    assert card.keeps_weight_from is None
    assert f"No number of feeds is enough for {card.slowest}" in " ".join(card.lines)


def test_an_empty_tank_has_an_empty_card(ask: Asker) -> None:
    card = feeding_card(ask(), RULES)
    assert (card.rows, card.slowest, card.keeps_weight_from) == ((), "", None)
    assert card.food_g_d == card.nitrogen_mg_d == 0.0


@pytest.mark.parametrize(
    ("name", "how"),
    [
        ("Synchiropus splendidus", "live food"),
        ("Echidna nebulosa", "after lights out"),
        ("Hippocampus reidi", "tube"),
        ("Pterois volitans", "tongs"),
        ("Zebrasoma flavescens", "two clips"),
        ("Chromis viridis", ""),
    ],
)
def test_how_kinds_are_fed(ask: Asker, name: str, how: str) -> None:
    row = feeding_card(ask((), (wanted(name, 9.0),)), RULES).rows[0]
    assert how in row.how
    assert bool(row.how) == bool(how)


def test_predators_are_told_by_the_meal(ask: Asker) -> None:
    lines = feeding_card(ask((), (wanted("Pterois volitans", 20.0),)), RULES).lines
    assert "g a meal, 3 meals a week" in lines[0]


def test_a_ration_is_shared_as_the_diet_is(ask: Asker) -> None:
    tang = fed_company(ask((), (wanted("Zebrasoma flavescens", 12.0),)))[0]
    found = ration(tang, RULES)
    assert max(found.grams, key=lambda name: found.grams[name]) == "nori"
    assert not found.in_range


def test_swimmers_grazers_and_shoals_eat_more() -> None:
    facts = load_facts()
    calm, shoal, tang = (
        activity(facts.species(name), RULES)
        for name in ("Gramma loreto", "Pseudanthias squamipinnis", "Zebrasoma flavescens")
    )
    assert calm < min(shoal, tang)


def test_portions_in_words(mixed: Question) -> None:
    rows = feeding_card(mixed, RULES).rows
    assert "of frozen food" in in_portions(rows)
    assert "sheet" in in_portions(rows)
    assert in_portions([]) == "a pinch"


def test_nitrogen_follows_from_protein(mixed: Question) -> None:
    # 0.092 g of ammonia nitrogen from a gram of protein.
    card = feeding_card(mixed, RULES)
    assert card.nitrogen_mg_d == pytest.approx(92.0 * card.protein_g_d)


def test_the_sitter_gets_days_times_feeds_for_those_who_are_there(mixed: Question) -> None:
    card = feeding_card(mixed, RULES)
    here = sitter_card(mixed, card, {"zebrasoma-flavescens": 5.0, "chelmon-rostratus": 90.0})
    assert here is not None
    assert here.heads == ((2, "ocellaris clownfish"), (1, "yellow tang"))
    assert here.packets == 14 * here.feeds_per_day
    assert here.feeds_per_day <= card.feeds_per_day
    assert any("feed less" in line for line in here.do)
    assert any(line.startswith("Yellow tang") for line in here.hazards)
    assert not any("copperband" in line for line in here.hazards)


def test_the_sitter_is_told_who_cannot_fast(mixed: Question) -> None:
    days = {w.key: 0.0 for w in mixed.wishes}
    here = sitter_card(mixed, feeding_card(mixed, RULES), days)
    assert here is not None
    assert "copperband butterflyfish: miss no day" in here.do[-1]


def test_nobody_away_or_nobody_there_makes_no_card(mixed: Question, ask: Asker) -> None:
    card = feeding_card(mixed, RULES)
    assert sitter_card(replace(mixed, away=()), card, {}) is None
    empty = ask(away=mixed.away)
    assert sitter_card(empty, feeding_card(empty, RULES), {}) is None


def test_live_food_is_counted(ask: Asker) -> None:
    question = ask((), (wanted("Synchiropus splendidus", 6.0), wanted("Gramma loreto", 6.0)))
    dragonet, gramma = feeding_card(question, RULES).rows
    # From memory: a mandarin picks at food all day, hundreds to some thousands of small animals.
    assert 300 <= dragonet.live_a_day <= 30_000
    assert gramma.live_a_day == 0
    assert any("copepods a day" in line for line in feeding_card(question, RULES).lines)


def test_dangers_alike_are_told_once(ask: Asker) -> None:
    tangs = (wanted("Zebrasoma flavescens", 9.0), wanted("Ctenochaetus strigosus", 9.0))
    (line,) = (line for line in hazards(ask((), tangs)) if "blade" in line)
    assert line.startswith("Yellow tang, kole tang: ")
