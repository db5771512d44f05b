"""Links for keepers: a signed token opens what concerns one tank, until it expires or is withdrawn."""

from __future__ import annotations

import datetime as dt
import hashlib
import hmac
import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace

from slackwater.errors import InputError
from slackwater.service.diary import page
from slackwater.service.diary_sentences import sentence
from slackwater.service.tanks import By, find_tank
from slackwater.store import KeeperLink, Signed, Store

LONGEST_DAYS = 366
MOST_ENTRIES = 60
_TOKEN = re.compile(r"(\d{1,9})\.(\d{1,6})\.(\d{1,12})\.([0-9a-f]{64})")
_SECRET_BYTES = 32


@dataclass(frozen=True)
class KeeperView:
    """What a keeper reads: the tank's name, its last plan as plain values, and the diary if allowed.

    Nothing of other tanks and nobody's name is in it. `entries` are the day and the sentence of each,
    newest first, None where the link does not show the diary.
    """

    tank: str
    expires_at: dt.datetime
    plan: Mapping[str, object] | None
    entries: tuple[tuple[dt.datetime, str], ...] | None


@dataclass(frozen=True)
class MadeLink:
    """A link that was just made, and its token, which is shown this once."""

    link: KeeperLink
    token: str


def make_link(store: Store, said: str, days: int, by: By, *, shows_diary: bool = False) -> MadeLink:
    """Make a link by which a keeper reads about a tank.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    days
        Days for which it holds. [d]
    by
        Who makes it, and when.
    shows_diary
        Whether the diary is read too.

    Raises
    ------
    InputError
        If no tank goes by the name, or the days cannot be.
    """
    if not 1 <= days <= LONGEST_DAYS:
        limit = f"a link holds for 1 to {LONGEST_DAYS} days"
        raise InputError(field="days", given=f"{days}", limit=limit, remedy="Enter the days, such as 60.")
    expires = (by.now + dt.timedelta(days=days)).replace(microsecond=0)
    secret = secrets.token_hex(_SECRET_BYTES)
    with store.writing() as work:
        tank = find_tank(work, said)
        signed = Signed(by.now, by.who, int(work.tanks.count_on(tank.id)["change"]))
        link = KeeperLink(0, secret, shows_diary, expires, signed)
        link = replace(link, number=work.links.add(tank.id, link))
    return MadeLink(link, _token(tank.id, link))


def links_of(store: Store, said: str) -> tuple[KeeperLink, ...]:
    """Return the links of a tank, oldest first.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        return work.links.all(find_tank(work, said).id)


def withdraw_link(store: Store, said: str, number: int, by: By) -> None:
    """Make a link hold no more, at once.

    Raises
    ------
    InputError
        If there is no such tank or link.
    """
    with store.writing() as work:
        tank = find_tank(work, said)
        if work.links.find(tank.id, number) is None:
            remedy = "See the links of the tank."
            raise InputError(field="the link", given=f"{number}", limit="there is none", remedy=remedy)
        work.tanks.count_on(tank.id)
        work.links.withdraw(tank.id, number, by.now)


def opened(store: Store, token: str, now: dt.datetime) -> KeeperView | None:
    """Return what a token opens; None where it is false, expired, withdrawn, or its tank is gone.

    Why it opens nothing is not told: whoever guesses learns nothing.

    Parameters
    ----------
    store
        The store.
    token
        As it stands in the address.
    now
        The moment, with its clock.
    """
    told = _TOKEN.fullmatch(token)
    if told is None:
        return None
    tank_id, number = int(told[1]), int(told[2])
    with store.reading() as work:
        tank, link = work.tanks.find(tank_id), work.links.find(tank_id, number)
        if tank is None or link is None or not link.holds(now):
            return None
        if not hmac.compare_digest(token, _token(tank_id, link)):
            return None
        kept = work.plans.all(tank_id)
    plan = kept[-1].plan.get("plan") if kept else None
    return KeeperView(
        tank=tank.name,
        expires_at=link.expires_at,
        plan=plan if isinstance(plan, Mapping) else None,
        entries=_entries(store, tank_id) if link.shows_diary else None,
    )


def _entries(store: Store, tank_id: int) -> tuple[tuple[dt.datetime, str], ...]:
    found = page(store, str(tank_id), size=MOST_ENTRIES).entries
    return tuple((entry.at, sentence(entry.seen)) for entry in found)


def _token(tank_id: int, link: KeeperLink) -> str:
    """Return the token of a link: tank, number and end, signed with its own secret."""
    told = f"{tank_id}.{link.number}.{int(link.expires_at.timestamp())}"
    signature = hmac.new(link.secret.encode(), told.encode(), hashlib.sha256).hexdigest()
    return f"{told}.{signature}"
