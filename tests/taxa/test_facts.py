"""The table of facts: ranks, kinds, and what happens when nobody knows."""

from __future__ import annotations

import pytest

from slackwater.errors import DataTableError, MissingFactError, UnknownTaxonError
from slackwater.taxa import facts as facts_module
from slackwater.taxa.facts import Fact, FactTable, Trait, load_facts, load_traits, shipped_facts

LENGTH = Trait("max_length_cm", "number", "cm", 1.0, 400.0, "Length")
FAMILY = Trait("family", "taxon", "", None, None, "Family")
FORM = Trait("form", "word", "", None, None, "Outline of the body: disc | oval (or egg) | deep")


def fact(taxon: str, trait: str, value: str, kind: str = "from-memory") -> Fact:
    return Fact(taxon, trait, value, "", "", kind, "mem", "", "")


TABLE = FactTable(
    [
        fact("Vertebrata", "max_length_cm", "10"),
        fact("Aidae", "max_length_cm", "20"),
        fact("Aus", "family", "Aidae"),
        fact("Aus bus", "max_length_cm", "30"),
        fact("Aus bus", "max_length_cm", "31", "measured"),
        fact("Aus cus", "form", "disc"),
        fact("Bus dus", "form", "oval"),
    ],
    {t.name: t for t in (LENGTH, FAMILY, FORM)},
)


def test_the_best_kind_of_the_nearest_rank_counts() -> None:
    assert TABLE.need("Aus bus", "max_length_cm").fact.value == "31"
    assert [f.value for f in TABLE.rows("Aus bus", "max_length_cm")] == ["31", "30", "20", "10"]


@pytest.mark.parametrize(("taxon", "value"), [("Aus cus", "20"), ("Aus", "20"), ("Bus dus", "10")])
def test_a_missing_fact_is_that_of_the_next_rank(taxon: str, value: str) -> None:
    known = TABLE.need(taxon, "max_length_cm")
    assert known.inherited
    assert known.fact.value == value


def test_says_who_names_the_rank_it_is_from() -> None:
    assert TABLE.need("Aus cus", "max_length_cm").says_who() == "from-memory [mem], from Aidae"
    assert TABLE.need("Aus bus", "max_length_cm").says_who() == "measured [mem]"


def test_lineage_is_nearest_first() -> None:
    assert TABLE.lineage("Aus bus") == ("Aus bus", "Aus", "Aidae", "Vertebrata")
    assert TABLE.lineage("Bus dus") == ("Bus dus", "Bus", "Vertebrata")


def test_what_nobody_knows_is_an_error_not_none() -> None:
    assert TABLE.find("Aus bus", "form") is None
    with pytest.raises(MissingFactError, match="form of Aus bus is not known"):
        TABLE.need("Aus bus", "form")


def test_an_unknown_species_comes_with_its_congeners() -> None:
    with pytest.raises(UnknownTaxonError) as caught:
        TABLE.species("Aus zus")
    assert caught.value.nearest == ("Aus bus", "Aus cus")


def test_words_of_a_trait_leave_out_what_stands_in_brackets() -> None:
    assert FORM.words == ("disc", "oval", "deep")


def test_a_species_answers_in_words_numbers_and_text() -> None:
    bus = TABLE.species("Aus bus")
    assert (bus.genus, bus.family, repr(bus)) == ("Aus", "Aidae", "Species('Aus bus')")
    assert bus.number("max_length_cm") == 31.0
    assert bus.text("common_name") == ""
    assert bus.common_name == "Aus bus"
    assert TABLE.species("Aus cus").word("form") == "disc"
    assert bus.lookalikes == frozenset()


def test_sizes_follow_from_the_total_length() -> None:
    tang = load_facts().species("Zebrasoma flavescens")
    standard = 12.0 / tang.number("tl_per_sl")
    assert tang.standard_length_cm(12.0) == pytest.approx(standard)
    assert tang.body_depth_cm(12.0) == pytest.approx(standard * tang.number("body_depth_ratio"))
    doubled = tang.mass_g(12.0) / tang.mass_g(6.0)
    assert doubled == pytest.approx(2.0 ** tang.number("lw_b"))


def test_a_diet_is_a_whole() -> None:
    facts = load_facts()
    for name in facts.species_names:
        assert sum(facts.species(name).diet.values()) == pytest.approx(1.0)


def test_the_shipped_table_is_read_once() -> None:
    assert load_facts() is load_facts()
    assert load_facts().traits == dict(load_traits())
    assert {"Zebrasoma", "Zebrasoma flavescens", "Acanthuridae"} <= set(load_facts().taxa)


def test_a_row_of_an_unknown_trait_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(facts_module, "load_traits", dict)
    with pytest.raises(DataTableError, match=r"facts\.csv"):
        shipped_facts.__wrapped__()


def test_a_table_with_other_heads_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Fact, "_fields", ("taxon", "value"))
    with pytest.raises(DataTableError, match="the heads are taxon, trait"):
        shipped_facts.__wrapped__()


def test_no_shipped_row_passes_for_a_house_note(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "house" not in facts_module._SHIPPED_KINDS
    monkeypatch.setattr(facts_module, "_SHIPPED_KINDS", frozenset({"house"}))
    with pytest.raises(DataTableError, match=r"facts\.csv"):
        shipped_facts.__wrapped__()
