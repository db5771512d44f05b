"""The diary page: written in taps and words, taken back, and what follows from it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app

TANK = """slackwater: 1
tank: {length: 100 cm, width: 45 cm, height: 45 cm, lid: true}
rock: {layout: moderate}
company:
  - {animal: six line, length: 7 cm, since: 2026-06-01}
  - {animal: royal gramma, length: 5 cm, since: 2026-11-20}
"""


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    settings = Settings(None, None, store=str(tmp_path / "kept.db"), who="livestock desk")
    app = create_app(WebOptions(hosts={"testserver"}, warm=False, settings=settings))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as found:
        found.post("/tanks", data={"name": "Long tank", "tank": TANK})
        yield found


def write(client: TestClient, *entries: dict[str, object]) -> int:
    return client.post("/tanks/1/diary", json={"entries": list(entries)}).status_code


def chase(count: int = 1) -> dict[str, object]:
    return {"who": "six line", "whom": "royal gramma", "how": "chase", "count": count}


def test_an_empty_diary_is_an_invitation(client: TestClient) -> None:
    page = client.get("/tanks/1/diary?wait=yes")
    assert page.status_code == 200
    assert "Nothing is written yet" in page.text
    assert 'data-label="six line"' in page.text


def test_a_chase_in_passing_is_written(client: TestClient) -> None:
    assert write(client, {"chases": [chase()]}) == 200
    assert "Six line chases royal gramma" in client.get("/tanks/1/diary/part").text


def test_a_watch_leads_to_trend_causes_ladder_and_rank(client: TestClient) -> None:
    assert write(client, {"chases": [chase(9)], "minutes": 10}) == 200
    told = client.get("/tanks/1/diary/part").text
    for heading in ("Is it settling?", "What lies behind it", "The ladder", "Who is above whom"):
        assert heading in told
    assert "<svg" in told


def test_words_are_read_as_in_the_terminal(client: TestClient) -> None:
    assert write(client, {"words": "refused gramma"}) == 200
    assert "refuses food" in client.get("/tanks/1/diary/part").text


def test_words_that_tell_of_nothing_are_answered(client: TestClient) -> None:
    answer = client.post("/tanks/1/diary", json={"entries": [{"words": "jumped about"}]})
    assert answer.status_code == 422
    assert "Begin with one of" in answer.json()["message"] or "Did you mean" in answer.json()["message"]


def test_all_or_nothing_is_written(client: TestClient) -> None:
    stranger = {"who": "six line", "whom": "nobody here"}
    assert write(client, {"chases": [chase()]}, {"chases": [stranger]}) == 422
    assert "Nothing is written yet" in client.get("/tanks/1/diary?wait=yes").text


@pytest.mark.parametrize("minutes", [-1, 1e9, "many"])
def test_impossible_minutes_are_refused(client: TestClient, minutes: object) -> None:
    assert write(client, {"chases": [chase()], "minutes": minutes}) == 422


def test_an_entry_is_taken_back(client: TestClient) -> None:
    write(client, {"chases": [chase()]})
    assert client.post("/tanks/1/diary/1/back", json={}).status_code == 200
    assert "chases royal gramma" not in client.get("/tanks/1/diary/part").text.split("Written so far")[1]


def test_a_sign_of_danger_comes_first(client: TestClient) -> None:
    write(client, {"chases": [{**chase(), "how": "locked"}], "minutes": 5})
    assert "Act now" in client.get("/tanks/1/diary/part").text


def test_another_page_hears_of_an_entry(client: TestClient) -> None:
    boot = client.get("/tanks/1/diary?wait=yes").text.split('id="boot">')[1].split("</script>")[0]
    with client.websocket_connect("/tanks/1/live") as line:
        line.send_text(str(json.loads(boot)["change"]))
        write(client, {"chases": [chase()]})
        assert json.loads(line.receive_text())["entries"] == 1


def test_what_takes_long_is_asked_for_by_the_page_that_is_shown(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert write(client, {"chases": [chase(9)], "minutes": 10.0}) == 200
    monkeypatch.setattr("slackwater.web.pages.diary.PATIENCE_S", 0.0)
    page = client.get("/tanks/1/diary").text
    assert "data-pending" in page
    assert "Written so far" in page
    assert "The ladder" not in page
    part = client.get("/tanks/1/diary/part").text
    assert "data-pending" not in part
    assert "The ladder" in part
