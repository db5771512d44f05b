"""The one type for moments: aware, in UTC, the same on every database; and what a number of a row may be."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import DateTime, Dialect
from sqlalchemy.types import TypeDecorator

_LARGEST_NUMBER = 2**31 - 1


def may_be_kept(number: int) -> bool:
    """Say whether a row could go by a number; a database refuses to look for any other."""
    return 0 <= number <= _LARGEST_NUMBER


class UtcTime(TypeDecorator[dt.datetime]):
    """A moment: refused without its time zone, kept in UTC, and read back aware."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> dt.datetime | None:
        """Turn a moment to UTC; SQLite keeps no zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            message = f"{value.isoformat()} has no time zone"
            raise ValueError(message)
        moment = value.astimezone(dt.UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: dt.datetime | None, dialect: Dialect) -> dt.datetime | None:
        """Give a moment back in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=dt.UTC) if dialect.name == "sqlite" else value.astimezone(dt.UTC)
