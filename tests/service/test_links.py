"""Links for keepers: what they open, and when they open nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from slackwater.errors import InputError
from slackwater.service.diary_page import write_entries
from slackwater.service.keeping import rests_on
from slackwater.service.kept_plans import keep_plan
from slackwater.service.links import links_of, make_link, opened, withdraw_link
from slackwater.service.tanks import By, add_tank, changes_since
from slackwater.store import Store, open_store

NOW = dt.datetime(2026, 11, 25, 12, tzinfo=dt.UTC)
BY = By("livestock desk", NOW)
TANK = "slackwater: 1\ntank: {length: 90 cm}\ncompany: [{animal: six line}, {animal: royal gramma}]\n"
PLAN = {"slackwater": 1, "plan": {"verdict": "Yes, in this order.", "releases": []}}


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    found = open_store(str(tmp_path / "kept.db"))
    add_tank(found, "Long tank", TANK, BY, keeper="An invented keeper")
    yield found
    found.close()


def test_a_link_opens_the_last_plan_without_names(store: Store) -> None:
    keep_plan(store, "Long tank", PLAN, rests_on(), BY)
    view = opened(store, make_link(store, "Long tank", 30, BY).token, NOW)
    assert view is not None
    assert view.plan == PLAN["plan"]
    assert view.entries is None
    assert "keeper" not in repr(view).replace("KeeperView", "").lower()


def test_the_diary_is_read_only_where_it_is_allowed(store: Store) -> None:
    write_entries(store, "Long tank", {"entries": [{"words": "ate gramma mysis"}]}, BY)
    shown = opened(store, make_link(store, "Long tank", 30, BY, shows_diary=True).token, NOW)
    assert shown is not None
    assert shown.entries is not None
    assert "gramma" in shown.entries[0][1]
    assert "livestock desk" not in repr(shown)


def test_a_link_ends_on_its_day(store: Store) -> None:
    token = make_link(store, "Long tank", 30, BY).token
    assert opened(store, token, NOW + dt.timedelta(days=29, hours=23)) is not None
    assert opened(store, token, NOW + dt.timedelta(days=30)) is None


def test_a_withdrawn_link_opens_nothing_and_the_others_do(store: Store) -> None:
    first, second = (make_link(store, "Long tank", 30, BY) for _ in range(2))
    withdraw_link(store, "Long tank", first.link.number, BY)
    assert opened(store, first.token, NOW) is None
    assert opened(store, second.token, NOW) is not None
    assert [link.withdrawn_at for link in links_of(store, "Long tank")] == [NOW, None]


def test_no_other_token_opens(store: Store) -> None:
    token = make_link(store, "Long tank", 30, BY).token
    tank, number, end, signature = token.split(".")
    later = f"{tank}.{number}.{int(end) + 86400}.{signature}"
    flipped = f"{token[:-1]}{'0' if token[-1] != '0' else '1'}"
    for false in (later, flipped, f"{tank}.2.{end}.{signature}", "", "x" * 500, token.upper() + "A"):
        assert opened(store, false, NOW) is None


@pytest.mark.parametrize("days", [0, -1, 367, 10**9])
def test_no_link_holds_so_long(store: Store, days: int) -> None:
    with pytest.raises(InputError, match="days"):
        make_link(store, "Long tank", days, BY)


def test_a_link_that_is_not_there_cannot_be_withdrawn(store: Store) -> None:
    with pytest.raises(InputError, match="there is none"):
        withdraw_link(store, "Long tank", 7, BY)


def test_who_looks_on_is_told_that_a_link_was_withdrawn(store: Store) -> None:
    number = make_link(store, "Long tank", 30, BY).link.number
    before = changes_since(store, "Long tank", 0).until
    withdraw_link(store, "Long tank", number, BY)
    assert changes_since(store, "Long tank", before).until == before + 1
