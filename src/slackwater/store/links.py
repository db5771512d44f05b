"""Links by which keepers read about their tank."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, RowMapping, func, insert, select, update

from slackwater.store import tables as t
from slackwater.store.records import KeeperLink, Signed
from slackwater.store.types import may_be_kept


class Links:
    """The links of tanks."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, tank_id: int, link: KeeperLink) -> int:
        """Keep a link and return its number; the one it carries does not count."""
        highest = select(func.max(t.link.c.number)).where(t.link.c.tank_id == tank_id)
        number = (self._connection.execute(highest).scalar() or 0) + 1
        values = {
            "tank_id": tank_id,
            "number": number,
            "secret": link.secret,
            "shows_diary": link.shows_diary,
            "expires_at": link.expires_at,
            "written_at": link.signed.at,
            "written_by": link.signed.by,
            "change": link.signed.change,
        }
        self._connection.execute(insert(t.link), values)
        return number

    def all(self, tank_id: int) -> tuple[KeeperLink, ...]:
        """Return all links of a tank, oldest first."""
        asked = select(t.link).where(t.link.c.tank_id == tank_id).order_by(t.link.c.number)
        return tuple(_link(row) for row in self._connection.execute(asked).mappings())

    def find(self, tank_id: int, number: int) -> KeeperLink | None:
        """Return one link, or None."""
        if not may_be_kept(number):
            return None
        asked = select(t.link).where(t.link.c.tank_id == tank_id, t.link.c.number == number)
        row = self._connection.execute(asked).mappings().first()
        return _link(row) if row else None

    def withdraw(self, tank_id: int, number: int, now: dt.datetime) -> None:
        """Make a link hold no more; one that was withdrawn before keeps its day."""
        mine = (t.link.c.tank_id == tank_id, t.link.c.number == number, t.link.c.withdrawn_at.is_(None))
        self._connection.execute(update(t.link).where(*mine).values(withdrawn_at=now))


def _link(row: RowMapping) -> KeeperLink:
    return KeeperLink(
        number=row["number"],
        secret=row["secret"],
        shows_diary=row["shows_diary"],
        expires_at=row["expires_at"],
        signed=Signed(row["written_at"], row["written_by"], row["change"]),
        withdrawn_at=row["withdrawn_at"],
    )
