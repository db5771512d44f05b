"""House notes over the table of facts: they win, the rest stays in sight, and what was read is known.

All notes and the animals of the small table are invented.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextvars import copy_context
from dataclasses import replace

import pytest

from slackwater.errors import InputErrors
from slackwater.taxa.facts import Fact, FactTable, load_facts, load_traits, shipped_facts, using
from slackwater.taxa.house import HouseAnimal, HouseFact, HouseName, HouseNotes
from slackwater.taxa.names import Verdict, entries, understand

DESK = "livestock desk"
WHY = "seen in two tanks."


def row(taxon: str, trait: str, value: str, kind: str = "measured") -> Fact:
    return Fact(taxon, trait, value, "", "", kind, "mem", "", "")


def note(taxon: str, trait: str, value: str) -> HouseFact:
    return HouseFact(taxon, trait, value, DESK, WHY)


def animal(name: str, family: str = "", **facts: str) -> HouseAnimal:
    own = tuple(HouseFact(name, trait, value, DESK, WHY) for trait, value in facts.items())
    return HouseAnimal(name, family, DESK, WHY, facts=own)


TABLE = FactTable(
    [
        row("Aidae", "max_length_cm", "20"),
        row("Aidae", "temper_own", "mild"),
        row("Aidae", "temp_min_c", "22"),
        row("Aidae", "temp_max_c", "28"),
        row("Aus", "family", "Aidae"),
        row("Aus bus", "max_length_cm", "30"),
        row("Aus cus", "max_length_cm", "10"),
    ],
    load_traits(),
)


@pytest.fixture
def shop() -> Iterator[FactTable]:
    """Lay some notes over the shipped table, and use it."""
    notes = HouseNotes(
        facts=(note("Gramma loreto", "temper_own", "fierce"),),
        names=(HouseName("blue tang", "Acanthurus coeruleus", DESK, WHY),),
        animals=(animal("Gramma exemplaris", common_name="invented gramma", adult_length_cm="6"),),
    )
    table = shipped_facts().overlaid(notes)
    with using(table):
        yield table


def faults_of(*notes: HouseFact | HouseName | HouseAnimal) -> list[str]:
    """Return the places of all faults of some notes."""
    told = HouseNotes(
        tuple(n for n in notes if isinstance(n, HouseFact)),
        tuple(n for n in notes if isinstance(n, HouseName)),
        tuple(n for n in notes if isinstance(n, HouseAnimal)),
    )
    with pytest.raises(InputErrors) as caught:
        TABLE.overlaid(told)
    return [fault.field for fault in caught.value.faults]


def test_a_note_wins_over_a_measurement_which_stays_in_sight() -> None:
    over = TABLE.overlaid(HouseNotes((note("Aus bus", "max_length_cm", "33"),)))
    assert over.species("Aus bus").number("max_length_cm") == 33.0
    assert [f.value for f in over.rows("Aus bus", "max_length_cm")] == ["33", "30", "20"]
    assert TABLE.species("Aus bus").number("max_length_cm") == 30.0


def test_a_note_on_a_family_gives_way_to_what_is_said_of_the_species() -> None:
    over = TABLE.overlaid(HouseNotes((note("Aidae", "max_length_cm", "25"),)))
    assert over.need("Aus", "max_length_cm").fact.value == "25"
    assert over.need("Aus bus", "max_length_cm").fact.value == "30"


def test_a_note_says_who_and_on_which_day() -> None:
    dated = replace(note("Aus bus", "max_length_cm", "33"), on=dt.date(2026, 11, 3))
    known = TABLE.overlaid(HouseNotes((dated,))).need("Aus bus", "max_length_cm")
    assert known.says_who() == f"house note ({DESK}, 2026-11-03)"
    assert known.fact.note == WHY


def test_a_note_in_a_sentence() -> None:
    said = note("Aus bus", "max_length_cm", "33").sentence
    assert said == "House note: Aus bus, max length taken as 33 cm (livestock desk: seen in two tanks)"
    assert "temper own taken as very fierce" in note("Aus bus", "temper_own", "very_fierce").sentence


def test_an_animal_in_a_sentence() -> None:
    few = animal("Aus dus", max_length_cm="9", common_name="dus")
    assert few.sentence == (
        "House note: Aus dus described by the house with max length 9 cm (livestock desk: seen in two tanks)"
    )
    assert "described by the house (" in animal("Aus dus").sentence
    many = animal("Aus dus", **{f"trait_{n}": "1" for n in range(9)})
    assert "with 9 values of its own" in many.sentence


def test_only_notes_that_were_read_stand_behind_an_answer() -> None:
    own, other = note("Aus bus", "temper_own", "fierce"), note("Aus cus", "temper_own", "strong")
    over = TABLE.overlaid(HouseNotes((own, note("Aus bus", "max_length_cm", "33"), other)))
    assert over.notes_behind(["Aus bus", "Aus cus"]) == ()
    over.species("Aus bus").word("temper_own")
    over.species("Aus cus").word("temper_own")
    assert over.notes_behind(["Aus bus"]) == (own,)
    assert over.notes_behind(["Aus bus", "Aus cus"]) == (own, other)


def test_a_note_on_a_family_stands_behind_each_of_its_species() -> None:
    told = note("Aidae", "temper_own", "fierce")
    over = TABLE.overlaid(HouseNotes((told,)))
    over.species("Aus cus").word("temper_own")
    assert over.notes_behind(["Aus cus"]) == (told,)
    assert over.notes_behind(["Aus bus"]) == ()


def test_a_note_that_nothing_asks_for_in_its_place_is_not_read() -> None:
    over = TABLE.overlaid(HouseNotes((note("Aidae", "max_length_cm", "25"),)))
    assert over.species("Aus bus").number("max_length_cm") == 30.0
    assert over.notes_behind(["Aus bus"]) == ()


def test_a_look_alike_counts_where_both_are_there() -> None:
    told = note("Aus bus", "lookalike", "Aus cus")
    over = TABLE.overlaid(HouseNotes((told,)))
    assert over.species("Aus bus").lookalikes == {"Aus cus"}
    assert over.notes_behind(["Aus bus"]) == ()
    assert over.notes_behind(["Aus bus", "Aus cus"]) == (told,)


def test_a_new_animal_of_a_known_genus_inherits() -> None:
    over = TABLE.overlaid(HouseNotes(animals=(animal("Aus dus", max_length_cm="9"),)))
    new = over.species("Aus dus")
    assert (new.family, new.number("max_length_cm"), new.word("temper_own")) == ("Aidae", 9.0, "mild")
    assert "Aus dus" in over.species_names
    assert "Aus dus" not in TABLE.species_names
    assert [n.sentence[:19] for n in over.notes_behind(["Aus dus"])] == ["House note: Aus dus"]


def test_a_new_animal_of_a_new_genus_names_its_family() -> None:
    over = TABLE.overlaid(HouseNotes(animals=(animal("Novus dus", "Aidae"),)))
    assert over.species("Novus dus").family == "Aidae"
    assert over.species("Novus dus").number("max_length_cm") == 20.0


def test_a_fact_may_be_about_a_new_animal() -> None:
    notes = HouseNotes((note("Aus dus", "temper_own", "fierce"),), animals=(animal("Aus dus"),))
    assert TABLE.overlaid(notes).species("Aus dus").word("temper_own") == "fierce"


def test_once_the_table_knows_an_animal_its_own_values_still_go_first() -> None:
    over = TABLE.overlaid(HouseNotes(animals=(animal("Aus bus", max_length_cm="33"),)))
    assert over.species("Aus bus").number("max_length_cm") == 33.0
    assert over.species_names == TABLE.species_names
    (told,) = over.notes_behind(["Aus bus"])
    assert isinstance(told, HouseFact)


@pytest.mark.parametrize(
    ("trait", "value"),
    [
        ("max_length_cm", "long"),
        ("max_length_cm", "0.1"),
        ("max_length_cm", "401"),
        ("max_length_cm", "nan"),
        ("max_length_cm", "inf"),
        ("temper_own", "furious"),
        ("temper_own", "Fierce"),
        ("mark", " "),
        ("mark", "x" * 301),
        ("mark", "two\nlines"),
        ("lookalike", "Aus zus"),
        ("colours", "yellow"),
        ("colours", "yellowish green:1"),
        ("colours", "yellow:2"),
    ],
)
def test_a_value_must_be_one_of_its_trait(trait: str, value: str) -> None:
    assert faults_of(note("Aus bus", trait, value)) == ["facts[1].value"]


@pytest.mark.parametrize("value", ["yellow:0.9;white:0.1", "yellow:1", "black:.5; white:.5"])
def test_colours_are_named_with_their_shares(value: str) -> None:
    TABLE.overlaid(HouseNotes((note("Aus bus", "colours", value),)))


def test_a_fault_says_what_would_do() -> None:
    notes = HouseNotes((note("Aus bus", "temper_on", "mild"), note("Aus buss", "max_length_cm", "500")))
    with pytest.raises(InputErrors) as caught:
        TABLE.overlaid(notes)
    text = str(caught.value)
    assert text.startswith("the list of house notes has 3 faults")
    for part in ("Did you mean temper_own?", "Did you mean Aus bus", "between 1 and 400 cm"):
        assert part in text


def test_the_family_is_no_trait_of_a_note() -> None:
    assert faults_of(note("Aus", "family", "Bidae")) == ["facts[1].trait"]


def test_who_and_why_are_needed() -> None:
    silent = replace(note("Aus bus", "temper_own", "mild"), who=" ", why="")
    assert faults_of(silent) == ["facts[1].who", "facts[1].why"]


def test_two_notes_on_one_trait_are_a_fault() -> None:
    twice = note("Aus bus", "temper_own", "mild"), note("Aus bus", "temper_own", "strong")
    assert faults_of(*twice) == ["temper_own of Aus bus"]
    several = note("Aus bus", "lookalike", "Aus cus"), note("Aus bus", "lookalike", "Aus bus")
    TABLE.overlaid(HouseNotes(several))


@pytest.mark.parametrize(
    ("told", "place"),
    [
        (animal("aus dus"), "animals[1].animal"),
        (animal("Aus"), "animals[1].animal"),
        (animal("Aus dus", "Bidae"), "animals[1].family"),
        (animal("Novus dus"), "animals[1].family"),
        (animal("Novus dus", "Bidae"), "animals[1].family"),
        (animal("Aus dus", max_length_cm="-1"), "animals[1].facts.max_length_cm"),
        (animal("Aus dus", size="9"), "animals[1].facts.size"),
    ],
)
def test_an_animal_has_a_name_and_a_known_family(told: HouseAnimal, place: str) -> None:
    assert faults_of(told) == [place]


@pytest.mark.parametrize("name", ["Aus dus", "Aus x dus", "Aus bus x dus", "Aus bus minor", "Aus bus-dus"])
def test_names_that_science_gives(name: str) -> None:
    assert name in TABLE.overlaid(HouseNotes(animals=(animal(name),))).species_names


@pytest.mark.parametrize(
    ("name", "meant", "place"),
    [
        ("grape", "Aus zus", "names[1].animal"),
        ("12", "Aus bus", "names[1].name"),
        ("aus cus", "Aus bus", "names[1].name"),
    ],
)
def test_a_name_is_a_word_for_a_known_animal(name: str, meant: str, place: str) -> None:
    assert faults_of(HouseName(name, meant, DESK, WHY)) == [place]


def test_lower_ends_stay_below_upper_ends_of_the_table() -> None:
    assert faults_of(note("Aus bus", "temp_min_c", "29")) == ["Aus bus, temp_min_c"]
    assert faults_of(animal("Novus dus", "Aidae", temp_max_c="20")) == ["Novus dus, temp_min_c"]
    both = note("Aus bus", "temp_min_c", "29"), note("Aus bus", "temp_max_c", "31")
    TABLE.overlaid(HouseNotes(both))


def test_the_shipped_table_is_in_use_unless_a_context_says_otherwise() -> None:
    over = shipped_facts().overlaid(HouseNotes())
    assert load_facts() is shipped_facts()
    with using(over):
        assert load_facts() is over
    assert load_facts() is shipped_facts()


def test_one_context_does_not_reach_into_another(shop: FactTable) -> None:
    assert load_facts() is shop
    elsewhere = copy_context()
    with using(TABLE):
        assert elsewhere.run(load_facts) is shop
        assert load_facts() is TABLE


def test_a_house_name_goes_before_all_others(shop: FactTable) -> None:
    meaning = understand("2 blue tangs 8cm")
    assert (meaning.verdict, meaning.name, meaning.count) == (Verdict.ONE, "Acanthurus coeruleus", 2)
    assert [n.sentence[:23] for n in shop.notes_behind([meaning.name])] == ["House note: “blue tang”"]


def test_without_notes_the_shipped_names_hold() -> None:
    assert understand("blue tang").verdict is not Verdict.UNKNOWN
    assert "Acanthurus coeruleus" not in {
        c.scientific_name for c in understand("powder blue tang").candidates
    }
    assert not any(entry.kind == "house" for entry in entries())


@pytest.mark.parametrize(
    "said", ["Gramma exemplaris", "gramma exemplaris", "invented gramma", "invented grama"]
)
def test_a_new_animal_goes_by_its_names(shop: FactTable, said: str) -> None:
    assert understand(said).name == "Gramma exemplaris"
    assert {"invented gramma", "gramma exemplaris", "blue tang"} <= {entry.name for entry in entries()}
    assert shop.species("Gramma exemplaris").common_name == "invented gramma"


def test_what_a_new_animal_is_called_is_asked_back_where_others_are_called_so() -> None:
    namesake = animal("Gramma exemplaris", common_name="royal gramma")
    with using(shipped_facts().overlaid(HouseNotes(animals=(namesake,)))):
        meaning = understand("royal gramma")
    assert meaning.verdict is Verdict.ASK
    assert {c.scientific_name for c in meaning.candidates} == {"Gramma exemplaris", "Gramma loreto"}


def test_two_notes_on_one_name_ask_back() -> None:
    both = tuple(HouseName("grape", name, DESK, WHY) for name in ("Gramma loreto", "Zebrasoma flavescens"))
    with using(shipped_facts().overlaid(HouseNotes(names=both))):
        assert understand("grape").verdict is Verdict.ASK


def test_a_house_name_with_filler_leaves_the_bare_name_alone() -> None:
    before = understand("yellow tang")
    told = HouseName("small yellow tang", "Gramma loreto", DESK, WHY)
    with using(shipped_facts().overlaid(HouseNotes(names=(told,)))):
        assert understand("yellow tang") == before
        assert understand("small yellow tang").name == "Gramma loreto"
