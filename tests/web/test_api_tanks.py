"""Kept tanks for programs: the same answers as the pages, in JSON."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app

TANK = "slackwater: 1\ntank: {length: 90 cm}\ncompany: [{animal: six line}, {animal: royal gramma}]\n"
CHASE = {"who": "six line", "whom": "royal gramma", "count": 9}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    settings = Settings(None, None, store=str(tmp_path / "kept.db"), who="a program")
    app = create_app(WebOptions(hosts={"testserver"}, warm=False, settings=settings))
    with TestClient(app) as found:
        made = found.post("/api/tanks", json={"name": "Long tank", "tank_file": TANK})
        assert made.status_code == 201
        yield found


def test_a_tank_is_kept_listed_and_read(client: TestClient) -> None:
    assert [one["name"] for one in client.get("/api/tanks").json()] == ["Long tank"]
    told = client.get("/api/tanks/1").json()
    assert told["tank_file"] == TANK
    assert told["labels"] == ["six line", "royal gramma"]


def test_an_edit_is_saved_and_a_stale_one_is_told(client: TestClient) -> None:
    longer = {"tank_file": TANK.replace("90", "120"), "revision": 1, "why": "a longer tank"}
    assert client.put("/api/tanks/1", json=longer).json()["revision"] == 2
    stale = client.put("/api/tanks/1", json={"tank_file": TANK.replace("90", "100"), "revision": 1})
    assert stale.status_code == 409
    assert stale.json()["error"] == "StaleEditError"
    assert client.get("/api/tanks/1/revisions").json()[0]["why"] == "a longer tank"


def test_entries_lead_to_rank_and_remedy(client: TestClient) -> None:
    written = client.post("/api/tanks/1/diary", json={"entries": [{"chases": [CHASE], "minutes": 10}]})
    assert written.status_code == 201
    assert client.get("/api/tanks/1/diary").json()[0]["kind"] == "watch"
    assert len(client.get("/api/tanks/1/diary/all").json()) == 1
    assert client.get("/api/tanks/1/rank").json()["names"] == ["royal gramma", "six line"]
    assert client.get("/api/tanks/1/remedy").json()["who"] == "six line"


def test_a_quiet_diary_has_no_remedy(client: TestClient) -> None:
    answer = client.get("/api/tanks/1/remedy")
    assert answer.status_code == 422
    assert answer.json()["error"] == "InputError"


def test_a_company_is_judged(client: TestClient) -> None:
    told = client.post("/api/company", json={"tank_file": TANK}).json()
    assert {one["name"] for one in told["fares"]} == {"sixline wrasse", "royal gramma"}
    assert told["mood"] in {"settled", "uneasy", "in trouble"}


def test_no_plan_is_an_empty_list(client: TestClient) -> None:
    assert client.get("/api/tanks/1/plans").json() == []


def test_what_is_not_kept_is_told(client: TestClient) -> None:
    assert client.get("/api/tanks/9").status_code == 422


def test_all_of_it_is_described(client: TestClient) -> None:
    paths = client.get("/api/openapi.json").json()["paths"]
    assert {"/api/tanks", "/api/tanks/{number}/diary", "/api/company"} <= set(paths)
