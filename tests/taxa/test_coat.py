"""Coats are read from the facts by rules of our own."""

from __future__ import annotations

import pytest

from slackwater.taxa.coat import PATTERNS, PLACES, Coat, Mark, coat_of, grown_coat, young_coat
from slackwater.taxa.colour import named_colours
from slackwater.taxa.facts import load_facts


def test_the_largest_share_is_the_body_and_the_pattern_takes_the_second() -> None:
    coat = grown_coat("orange:0.7;white:0.25;black:0.05", "bars", "")
    assert coat == Coat("orange", (Mark("bars", "white", 0.25, "black"),))


def test_a_colour_before_a_place_is_put_there() -> None:
    mark = "powder-blue body, black face, white throat, yellow dorsal fin"
    coat = grown_coat("blue:0.65;yellow:0.15;black:0.12;white:0.08", "mask", mark)
    assert coat.main == "blue"
    assert {(m.shape, m.colour) for m in coat.marks} == {
        ("head", "black"), ("throat", "white"), ("back", "yellow"),
    }  # fmt: skip


def test_a_part_of_the_tail_is_not_the_tail() -> None:
    assert (
        grown_coat("yellow:0.98;white:0.02", "plain", "yellow all over with a white tail blade").marks == ()
    )


def test_a_number_before_a_pattern_is_kept() -> None:
    coat = grown_coat("silver:0.6;black:0.35;white:0.05", "bars", "silver with three black bars")
    assert coat.marks[0].count == 3


GROWN = Coat("brown", (Mark("tail", "yellow"),))


@pytest.mark.parametrize(
    ("told", "coat"),
    [
        ("all yellow until about 7 cm", Coat("yellow")),
        (
            "blue-black with five yellow bars; tail edged",
            Coat("black", (Mark("bars", "yellow", 0.3, count=5),)),
        ),
        ("young with two or three white bars", Coat("brown", (Mark("bars", "white", 0.3, count=3),))),
        ("White in front, black behind, tail yellow.", Coat("white", (Mark("rear", "black", 0.3),))),
        ("like the grown one", None),
        ("without the orange teardrop until about 6 cm", None),
        ("paler, blue lines faint", None),
        ("", None),
    ],
)
def test_the_dress_of_the_young_is_read_only_where_it_tells_a_colour(told: str, coat: Coat | None) -> None:
    assert young_coat(told, GROWN) == coat


def test_the_young_change_at_the_length_told() -> None:
    species = load_facts().species("Acanthurus olivaceus")  # all yellow until about 7 cm
    assert coat_of(species, 7.0, 0.0) == Coat("yellow")
    assert coat_of(species, 7.5, 1.0).main == "grey"


def test_every_species_has_a_coat_of_named_colours() -> None:
    table = load_facts()
    shapes = {*PLACES, *PATTERNS, "plain", "two_tone", "mask", "net", "mottled", ""}
    for name in table.species_names:
        for length_cm in (1.0, 1000.0):
            coat = coat_of(table.species(name), length_cm, 0.4)
            assert {coat.main, *(m.colour for m in coat.marks)} <= set(named_colours())
            assert {m.shape for m in coat.marks} <= shapes
            assert coat.main not in {m.colour for m in coat.marks}
