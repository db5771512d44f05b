"""A fact overruled from its page holds with the next answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    settings = Settings(None, tmp_path / "own", store=str(tmp_path / "kept.db"), who="livestock desk")
    app = create_app(WebOptions(hosts={"testserver"}, warm=False, settings=settings))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as found:
        yield found


def test_a_note_is_written_and_shown(client: TestClient) -> None:
    note = {"trait": "adult_length_cm", "value": "7 cm", "who": "livestock desk", "why": "measured"}
    page = client.post("/species/Gramma_loreto/overrule", data=note)
    assert page.status_code == 200
    assert "House notes" in page.text
    assert "measured" in page.text


def test_a_note_that_cannot_be_is_told(client: TestClient) -> None:
    note = {"trait": "adult_length_cm", "value": "very long", "who": "desk", "why": "measured"}
    assert client.post("/species/Gramma_loreto/overrule", data=note).status_code == 422
    assert "House notes</h2>" not in client.get("/species/Gramma_loreto").text


def test_the_reasons_of_an_arrow_lead_there(client: TestClient) -> None:
    text = "slackwater: 1\ntank: {length: 90 cm}\ncompany: [{animal: six line}, {animal: royal gramma}]\n"
    told = {"tank": text, "attacker": "pseudocheilinus-hexataenia", "victim": "gramma-loreto"}
    assert "/species/Pseudocheilinus_hexataenia#overrule" in client.post("/company/why", json=told).text
