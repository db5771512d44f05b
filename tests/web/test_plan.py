"""A tank file in, a plan out; the work in a process of its own."""

from __future__ import annotations

import time
from typing import Any

import pytest
from icalendar import Calendar
from starlette.testclient import TestClient

TANK = """slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
company:
  - {animal: ocellaris, sex: pair, length: 6 cm}
wishes:
  - royal gramma
"""
_PATIENCE_S = 120.0


@pytest.fixture(scope="module")
def plan(client: TestClient) -> str:
    """Return the address of a plan that is done."""
    began = client.post("/plan", data={"tank_file": TANK, "title": "<b>An invented tank</b>"})
    assert began.status_code == 200, began.text
    path = began.url.path
    _follow(client, f"{path}/step")
    return path


def _follow(client: TestClient, path: str) -> list[str]:
    steps: list[str] = []
    end = time.monotonic() + _PATIENCE_S
    while time.monotonic() < end:
        told = client.get(path, params={"seen": steps[-1] if steps else ""}).json()
        steps.append(told["step"])
        if told["over"]:
            return steps
    raise AssertionError(steps)


@pytest.mark.slow
def test_the_plan_is_a_page(client: TestClient, plan: str) -> None:
    text = client.get(plan).text
    assert "royal gramma" in text
    assert "Releases, in order" in text
    assert "&lt;b&gt;An invented tank&lt;/b&gt;" in text
    assert "<b>An invented tank" not in text


@pytest.mark.slow
def test_the_files_of_a_plan_are_what_they_say(client: TestClient, plan: str) -> None:
    assert client.get(f"{plan}/plan.pdf").content.startswith(b"%PDF")
    assert client.get(f"{plan}/plan.pdf", params={"paper": "us-letter"}).content.startswith(b"%PDF")
    calendar = Calendar.from_ical(client.get(f"{plan}/plan.ics").content)
    assert calendar.walk("VEVENT")
    record = client.get(f"{plan}/plan.json").json()
    assert record["question"]["wishes"][0]["animal"] == "royal gramma"
    assert client.get(f"{plan}/passwd").status_code == 404
    assert client.get(f"{plan}/plan.pdf", params={"paper": "papyrus"}).status_code == 422


@pytest.mark.slow
def test_the_api_tells_the_same_plan(client: TestClient, plan: str) -> None:
    key = plan.rpartition("/")[2]
    assert client.get(f"/api/plans/{key}").json()["state"] == "done"
    assert client.get(f"/api/plans/{key}/plan").json() == client.get(f"{plan}/plan.json").json()


@pytest.mark.slow
def test_work_can_be_stopped_and_gives_its_text_back(client: TestClient) -> None:
    began: dict[str, Any] = client.post("/api/plans", json={"tank_file": TANK}).json()
    path = f"/plan/{began['key']}"
    assert "Planning" in client.get(path).text
    back = client.post(f"{path}/stop")
    assert back.status_code == 200
    assert "royal gramma" in back.text
    assert client.get(f"{path}/step").json()["state"] == "stopped"
    assert client.get(f"/api/plans/{began['key']}/plan").status_code == 404


def test_a_faulty_file_comes_back_with_all_its_faults(client: TestClient) -> None:
    told = client.post(
        "/plan", data={"tank_file": "slackwater: 1\ntank: {length: -3 cm}\nwishes: [x]\nrok: 1"}
    )
    assert told.status_code == 422
    assert "tank.length" in told.text
    assert "rok" in told.text
    assert "slackwater: 1" in told.text


@pytest.mark.parametrize("text", ["/etc/hostname", "demo.yaml", ""])
def test_a_path_is_no_tank_file(client: TestClient, text: str) -> None:
    told = client.post("/api/plans", json={"tank_file": text})
    assert told.status_code == 422
    assert "to be found" not in told.text


def test_no_file_of_the_machine_is_read(client: TestClient) -> None:
    told = client.post("/api/plans", json={"tank_file": f"{TANK}stock: /etc/hostname\n"})
    assert told.status_code == 422
    assert "only its text was sent" in told.text


def test_a_plan_that_is_not_kept_is_not_found(client: TestClient) -> None:
    assert client.get("/plan/nothing").status_code == 404
    assert client.get("/api/plans/nothing").status_code == 404


def test_an_unknown_animal_is_a_fault_of_the_file_not_of_ours(client: TestClient) -> None:
    began = client.post("/api/plans", json={"tank_file": TANK.replace("royal gramma", "qqqzzz")}).json()
    _follow(client, f"/plan/{began['key']}/step")
    told = client.get(f"/plan/{began['key']}")
    assert told.status_code == 422
    assert "qqqzzz" in told.text
    assert client.get(f"/api/plans/{began['key']}").json()["error"] == "InputErrors"
