"""Advice on stones, sought in the background."""

from __future__ import annotations

import time

from starlette.testclient import TestClient

from slackwater.web.pages.tank import invented


def test_what_is_no_stone_is_told_at_once(client: TestClient) -> None:
    answer = client.post("/tank/advice", json={"tank": invented(), "stones": [{"form": "castle"}]})
    assert answer.status_code == 422
    assert "stones[1]" in answer.json()["message"]


def test_a_search_begins_tells_its_steps_and_is_stopped(client: TestClient) -> None:
    begun = client.post("/tank/advice", json={"tank": invented(), "stones": []})
    assert begun.status_code == 202
    key = begun.json()["key"]
    assert client.get(f"/tank/advice/{key}").json()["state"] in {"waiting", "working", "done"}
    assert client.post(f"/tank/advice/{key}/stop", json={}).json()["state"] in {"stopped", "done"}


def test_a_fault_in_the_tank_file_is_told(client: TestClient) -> None:
    key = client.post("/tank/advice", json={"tank": "slackwater: 1", "stones": []}).json()["key"]
    for _ in range(200):
        told = client.get(f"/tank/advice/{key}").json()
        if told["state"] == "failed":
            break
        time.sleep(0.1)
    assert "Add a company or wishes" in told["message"]


def test_a_search_that_is_not_kept_is_told(client: TestClient) -> None:
    assert client.get("/tank/advice/none").status_code == 404
