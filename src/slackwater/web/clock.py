"""The day on which a page is asked for: the one place where pages look at a clock."""

from __future__ import annotations

import datetime as dt


def today() -> dt.date:
    """Return the day here."""
    return dt.datetime.now().astimezone().date()


def now() -> dt.datetime:
    """Return the moment, with the clock of this place."""
    return dt.datetime.now().astimezone()
