"""Who is described, and what is known of each."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from slackwater.service.animals import sheet
from slackwater.service.species_pages import REST, chapters, families
from slackwater.taxa.facts import load_facts


def test_every_described_species_stands_in_its_family() -> None:
    found = [one.scientific_name for family in families() for one in family.species]
    assert sorted(found) == sorted(load_facts().species_names)


def test_chapters_hold_every_value_once() -> None:
    known = sheet("Gramma loreto")
    placed = [row for chapter in chapters(known) for row in chapter.rows]
    assert len(placed) == len(known.rows)
    assert set(placed) == set(known.rows)
    assert next(iter(chapters(known))).title != REST


def test_a_page_tells_every_value_and_who_says_so(client: TestClient) -> None:
    text = client.get("/species/Gramma_loreto").text
    known = sheet("Gramma loreto")
    assert known.mark.replace("'", "&#39;") in text
    for source in known.sources:
        assert f'id="{source.key}"' in text
    assert "said of Grammatidae" in text
    assert "common practice" in text


@pytest.mark.parametrize("said", ["royal gramma", "gramma loreto", "Royal Grama"])
def test_a_name_without_doubt_leads_to_its_page(client: TestClient, said: str) -> None:
    told = client.get("/species", params={"said": said})
    assert told.url.path == "/species/Gramma_loreto"


def test_a_name_of_several_is_asked_back_with_marks(client: TestClient) -> None:
    text = client.get("/species/find", params={"said": "blue tang"}).text
    assert "Paracanthurus_hepatus" in text
    assert "Acanthurus_coeruleus" in text
    assert "palette mark" in text


def test_a_coral_is_no_fish(client: TestClient) -> None:
    assert "That is no fish" in client.get("/species/find", params={"said": "torch coral"}).text


def test_a_family_shows_its_species(client: TestClient) -> None:
    text = client.get("/species", params={"family": "Grammatidae"}).text
    assert "Gramma_loreto" in text
    assert "Zebrasoma_flavescens" not in text


def test_nobody_is_not_found(client: TestClient) -> None:
    assert client.get("/species/Nobody_here").status_code == 404
    assert "<main" in client.get("/species/Nobody_here").text
