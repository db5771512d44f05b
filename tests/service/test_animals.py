"""Which animal is meant, and what is known of it."""

import pytest

from slackwater.errors import InputError, InputErrors, UnknownTaxonError
from slackwater.service.animals import all_meant, meant, sheet, who
from slackwater.taxa.names import Verdict


def test_count_and_length_are_read_with_the_name() -> None:
    meaning = meant("2 ocellaris 6cm", "a resident")
    assert (meaning.name, meaning.count, meaning.length_cm) == ("Amphiprion ocellaris", 2, 6.0)


def test_an_ambiguous_name_is_never_picked_in_silence() -> None:
    with pytest.raises(InputError) as caught:
        meant("flame", "the newcomer")
    text = str(caught.value)
    for meant_one in ("Centropyge loricula", "Neocirrhites armatus"):
        assert meant_one in text
    assert "scarlet" in text  # the telling mark of the hawkfish


def test_a_name_that_nobody_goes_by_is_unknown() -> None:
    with pytest.raises(UnknownTaxonError):
        meant("qqqzzz", "the newcomer")


def test_what_is_no_fish_is_said_to_be_none() -> None:
    with pytest.raises(InputError, match="no fish"):
        meant("cleaner shrimp", "the newcomer")


@pytest.mark.parametrize("said", ["99 green chromis", "0 green chromis", "green chromis 900 cm"])
def test_counts_and_lengths_have_limits(said: str) -> None:
    with pytest.raises(InputError, match="must lie between"):
        meant(said, "the newcomer")


def test_one_fault_keeps_its_own_class() -> None:
    with pytest.raises(UnknownTaxonError):
        all_meant([("royal gramma", "the newcomer"), ("qqqzzz", "a resident")])


def test_several_faults_are_told_together() -> None:
    with pytest.raises(InputErrors) as caught:
        all_meant([("flame", "the newcomer"), ("qqqzzz", "a resident"), ("six line", "a resident")])
    assert [fault.given for fault in caught.value.faults] == ["flame", "qqqzzz"]


def test_every_value_of_a_sheet_says_who() -> None:
    known = sheet("royal gramma")
    assert known.scientific_name == "Gramma loreto"
    assert {row.source for row in known.rows} == {source.key for source in known.sources}
    assert all(row.kind and row.rank for row in known.rows)


def test_guesses_are_marked() -> None:
    rows = {row.trait: row for row in sheet("Gramma loreto").rows}
    assert rows["max_length_cm"].kind == "from-memory"
    assert rows["max_length_cm"].is_guess
    assert rows["temper_own"].kind == "common-practice"
    assert rows["temper_own"].rank == "Gramma loreto"
    assert not rows["temper_own"].is_guess


def test_what_was_said_of_a_family_counts_as_a_guess() -> None:
    rows = [row for row in sheet("Gramma loreto").rows if row.rank != "Gramma loreto"]
    assert rows
    assert all(row.is_guess for row in rows)


def test_numbers_are_numbers() -> None:
    rows = {row.trait: row for row in sheet("Zebrasoma flavescens").rows}
    assert isinstance(rows["adult_length_cm"].value, float)
    assert rows["adult_length_cm"].unit == "cm"
    assert isinstance(rows["form"].value, str)


def test_all_look_alikes_are_listed() -> None:
    rows = [row.value for row in sheet("Zebrasoma flavescens").rows if row.trait == "lookalike"]
    assert len(rows) == len(set(rows)) > 1


@pytest.mark.parametrize(
    ("said", "verdict"),
    [
        ("yelow tang", Verdict.ONE),
        ("flame", Verdict.ASK),
        ("qqqzzz", Verdict.UNKNOWN),
        ("cleaner shrimp", Verdict.NOT_A_FISH),
    ],
)
def test_who(said: str, verdict: Verdict) -> None:
    assert who(said).verdict is verdict
