"""The plans of a kept tank: made, kept over a restart, put off, and the ways to yes."""

from __future__ import annotations

import datetime as dt
import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from icalendar import Calendar
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app

pytestmark = pytest.mark.slow

TANK = """slackwater: 1
tank: {length: 150 cm, width: 60 cm, height: 55 cm, lid: true}
company: [{animal: ocellaris, sex: pair, length: 7 cm, since: 2026-05-10}]
wishes: [{animal: royal gramma}, {animal: banggai cardinal}]
keeping: {quarantine: {tanks: 1, volume: 60 L, days: 30}}
limits: {start: 2047-01-10, away: [2047-02-20/2047-03-02]}
"""
_PATIENCE_S = 240.0


@pytest.fixture(scope="module")
def options(tmp_path_factory: pytest.TempPathFactory) -> WebOptions:
    store: Path = tmp_path_factory.mktemp("store") / "kept.db"
    settings = Settings(None, None, store=str(store), who="livestock desk")
    return WebOptions(hosts={"testserver"}, warm=False, settings=settings)


@pytest.fixture(scope="module")
def client(options: WebOptions) -> Iterator[TestClient]:
    with TestClient(create_app(options), headers={"sec-fetch-site": "same-origin"}) as found:
        yield found


@pytest.fixture(scope="module")
def tank(client: TestClient) -> str:
    kept = client.post("/tanks", data={"name": "Long <b>tank", "tank": TANK}, follow_redirects=False)
    return str(kept.headers["location"])


@pytest.fixture(scope="module")
def plan(client: TestClient, tank: str) -> str:
    """Return the address of a plan that is made and kept."""
    assert "No plan is kept yet" in client.get(f"{tank}/plan").text
    return followed(client, f"{tank}/plan", {"why": "before the winter"})


def followed(client: TestClient, path: str, form: dict[str, str]) -> str:
    """Return where long work leads that a form begins."""
    began = client.post(path, data=form)
    assert began.status_code == 200, began.text
    work = str(began.url.path)
    assert "/making/" in work
    seen, end = "", time.monotonic() + _PATIENCE_S
    while time.monotonic() < end:
        told = client.get(f"{work}/step", params={"seen": seen}).json()
        if told["over"]:
            return str(client.get(work).url.path)
        seen = told["step"]
    raise AssertionError(seen)


def days_in(html: str) -> dict[str, dt.date]:
    """Return the days of release on the strip, by key."""
    found = re.findall(r'data-keys="([^"]+)" data-day="([^"]+)"', html)
    return {keys: dt.date.fromisoformat(day) for keys, day in found}


def test_the_plan_is_kept_with_its_tank(client: TestClient, tank: str, plan: str) -> None:
    assert plan == f"{tank}/plan/1"
    text = client.get(plan).text
    assert "Releases, in order" in text
    assert "before the winter" in text
    assert '<td data-head="changed since"><span>nothing</span>' in text
    assert "Long <b>" not in text
    assert f'href="{tank}/plan" aria-current="page"' in text
    assert client.get(f"{tank}/plan/9").status_code == 422


def test_the_strip_shows_what_the_plan_says(client: TestClient, plan: str) -> None:
    text = client.get(plan).text
    record = client.get(f"{plan}/plan.json").json()["plan"]
    assert sorted(days_in(text).values()) == [
        dt.date.fromisoformat(release["date"]) for release in record["releases"]
    ]
    assert text.count('role="slider"') == len(record["releases"]) == 2
    assert text.count('class="quarantine"') == 2
    assert text.count('class="away"') == 1
    assert "The years ahead to scale" in text


def test_the_files_of_a_kept_plan(client: TestClient, plan: str) -> None:
    assert client.get(f"{plan}/plan.pdf", params={"paper": "us-letter"}).content.startswith(b"%PDF")
    assert Calendar.from_ical(client.get(f"{plan}/plan.ics").content).walk("VEVENT")
    record = client.get(f"{plan}/plan.json").json()
    assert record["question"]["wishes"][0]["animal"] == "royal gramma"
    assert "asked" not in record
    assert client.get(f"{plan}/passwd").status_code == 404


def test_a_server_begun_anew_still_shows_it(options: WebOptions, plan: str) -> None:
    with TestClient(create_app(options), headers={"sec-fetch-site": "same-origin"}) as again:
        assert "Releases, in order" in again.get(plan).text


def test_the_days_that_would_follow_are_told_at_once(client: TestClient, plan: str) -> None:
    before = days_in(client.get(plan).text)
    first = min(before, key=lambda keys: before[keys])
    told = client.post(f"{plan}/dates", data={"keys": first, "weeks": "2"}).json()
    assert set(told) == set(before)
    assert dt.date.fromisoformat(told[first]) >= before[first] + dt.timedelta(weeks=2)
    assert all(dt.date.fromisoformat(told[keys]) >= day for keys, day in before.items())
    assert client.post(f"{plan}/dates", data={"keys": first, "weeks": "-2"}).status_code == 422
    assert client.post(f"{plan}/dates", data={"keys": "nobody", "weeks": "2"}).status_code == 422


def test_a_release_put_off_is_a_new_plan_that_says_what_changed(
    client: TestClient, tank: str, plan: str
) -> None:
    before = days_in(client.get(plan).text)
    last = max(before, key=lambda keys: before[keys])
    new = followed(client, f"{plan}/move", {"keys": last, "weeks": "3"})
    assert new == f"{tank}/plan/2"
    text = client.get(new).text
    after = days_in(text)
    assert after[last] >= before[last] + dt.timedelta(weeks=3)
    assert {k: d for k, d in after.items() if k != last} == {k: d for k, d in before.items() if k != last}
    assert "What changed" in text
    assert f"becomes {after[last]:%-d %B %Y}" in text
    assert "days later" in text
    assert "put off by 3 weeks" in text
    assert days_in(client.get(plan).text) == before


def test_a_stopped_plan_is_not_kept(client: TestClient, tank: str, plan: str) -> None:
    began = client.post(f"{tank}/plan", data={})
    work = began.url.path
    assert "Planning" in began.text
    assert client.post(f"{work}/stop").url.path == f"{tank}/plan"
    assert client.get(f"{work}/step").json()["state"] == "stopped"
    assert client.get(f"/plan/{work.rpartition('/')[2]}").status_code == 404
    assert "plan/9" not in client.get(plan).text


def test_ways_to_yes_stand_side_by_side_and_one_is_taken(client: TestClient) -> None:
    text = "slackwater: 1\ntank: {length: 60 cm}\nwishes: [{animal: clown trigger}, {animal: royal gramma}]\n"
    kept = client.post("/tanks", data={"name": "Short tank", "tank": text}, follow_redirects=False)
    tank = str(kept.headers["location"])
    plan = followed(client, f"{tank}/plan", {})
    ways = followed(client, f"{plan}/ways", {})
    page = client.get(ways).text
    assert "Take this way" in page
    assert "effort" in page
    assert "given up" in page
    assert client.post(f"{ways}/take", data={"way": "99"}).status_code == 422
    taken = followed(client, f"{ways}/take", {"way": "1"})
    assert taken == f"{tank}/plan/2"
    assert "What changed" in client.get(taken).text
    told = {"tank": text.replace("60 cm", "90 cm"), "revision": 1}
    assert client.post(tank, json=told).status_code == 200
    assert "Changed since: the tank." in client.get(plan).text
