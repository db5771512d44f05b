"""Moments as people tell them: `18:30`, `yesterday 18:30`, `2027-01-10 18:30`, with or without a zone."""

from __future__ import annotations

import datetime as dt
import re

from slackwater.errors import InputError, shown

_CLOCK = re.compile(r"(?:(today|yesterday)\s+)?(\d{1,2}):(\d{2})(?::(\d{2}))?", re.IGNORECASE)
_AGO = re.compile(r"(\d{1,4})\s*(min|h|d)(?:\w*)\s+ago", re.IGNORECASE)
_UNITS = {"min": dt.timedelta(minutes=1), "h": dt.timedelta(hours=1), "d": dt.timedelta(days=1)}


def moment(told: str, now: dt.datetime, zone: dt.tzinfo | None = None) -> dt.datetime:
    """Return the moment that some words tell of, in UTC.

    Parameters
    ----------
    told
        An hour of today, an hour of yesterday, `20 min ago`, or a date with an hour.
    now
        The present moment.
    zone
        The zone of hours told without one; that of this computer if left out.

    Raises
    ------
    InputError
        If it is no moment.

    Examples
    --------
    >>> noon = dt.datetime(2027, 1, 10, 12, tzinfo=dt.UTC)
    >>> moment("yesterday 18:30", noon, dt.UTC).isoformat()
    '2027-01-09T18:30:00+00:00'
    """
    text = " ".join(told.split())
    try:
        if match := _CLOCK.fullmatch(text):
            return _clock(match, now, zone)
        if match := _AGO.fullmatch(text):
            return now.astimezone(dt.UTC) - int(match[1]) * _UNITS[match[2].lower()]
        if len(text) > len("2027-01-10"):
            return placed(dt.datetime.fromisoformat(text), zone)
    except (ValueError, OverflowError) as fault:
        raise _no_moment(told) from fault
    raise _no_moment(told)


def placed(when: dt.datetime, zone: dt.tzinfo | None = None) -> dt.datetime:
    """Return a moment in UTC; one without its zone is taken in the zone given, or in this computer's."""
    if when.tzinfo is None and zone is not None:
        when = when.replace(tzinfo=zone)
    return when.astimezone(dt.UTC)


def _clock(match: re.Match[str], now: dt.datetime, zone: dt.tzinfo | None) -> dt.datetime:
    day = now.astimezone(zone).date()
    if (match[1] or "").lower() == "yesterday":
        day -= dt.timedelta(days=1)
    hour = dt.time(int(match[2]), int(match[3]), int(match[4] or 0))
    return placed(dt.datetime.combine(day, hour), zone)


def _no_moment(told: str) -> InputError:
    return InputError(
        field="the time",
        given=shown(told),
        limit="it is not a moment",
        remedy="Write 18:30, yesterday 18:30, 20 min ago, or 2027-01-10 18:30.",
    )
