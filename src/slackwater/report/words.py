"""Figures as people read them: metric first with inches or gallons in brackets, dates as ranges."""

from __future__ import annotations

import datetime as dt

from slackwater.units import CM_PER_INCH, KG_PER_POUND, L_PER_US_GALLON

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DASH = "\N{EN DASH}"
_TIMES = "\N{MULTIPLICATION SIGN}"
_LEAST_SHARE = 0.005
_TENTHS_BELOW = 20.0
_GAP = "\N{NO-BREAK SPACE}"


def length(length_cm: float) -> str:
    """Return a length such as `6 cm (2.4 in)`."""
    return f"{_short(length_cm)}{_GAP}cm ({_short(length_cm / CM_PER_INCH)}{_GAP}in)"


def inner_size(length_cm: float, width_cm: float, height_cm: float) -> str:
    """Return the inner size of a tank in cm and inches."""
    sizes = (length_cm, width_cm, height_cm)
    metric = f" {_TIMES} ".join(f"{size:.0f}" for size in sizes)
    imperial = f" {_TIMES} ".join(f"{size / CM_PER_INCH:.0f}" for size in sizes)
    return f"{metric}{_GAP}cm ({imperial}{_GAP}in)"


def volume(net_l: float) -> str:
    """Return a volume in litres and US gallons."""
    return f"{net_l:.0f}{_GAP}L ({net_l / L_PER_US_GALLON:.0f}{_GAP}US{_GAP}gal)"


def mass(mass_kg: float) -> str:
    """Return a mass in kilograms and pounds."""
    return f"{mass_kg:.0f}{_GAP}kg ({mass_kg / KG_PER_POUND:.0f}{_GAP}lb)"


def day(date: dt.date) -> str:
    """Return a date such as `9 Jan 2027`, the same in every locale."""
    return f"{date.day}{_GAP}{_MONTHS[date.month - 1]}{_GAP}{date.year}"


def days(first: dt.date, last: dt.date) -> str:
    """Return a range of dates, saying month and year once where they are the same."""
    if first == last:
        return day(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}{_DASH}{day(last)}"
    opening = day(first) if first.year != last.year else f"{first.day}{_GAP}{_MONTHS[first.month - 1]}"
    return f"{opening} {_DASH} {day(last)}"


def week_from(date: dt.date) -> str:
    """Return the week that begins on a date."""
    return days(date, date + dt.timedelta(days=6))


def hours(low: float, high: float) -> str:
    """Return a span of hours such as `3 hours` or from 3 to 6."""
    span = _short(low) if _short(low) == _short(high) else f"{_short(low)}{_DASH}{_short(high)}"
    return f"{span} hours"


def share(value: float) -> str:
    """Return a share as a percentage with the digits it deserves."""
    if value < _LEAST_SHARE:
        return f"under 1{_GAP}%"
    return f"{value * 100:.0f}{_GAP}%"


def span(low: float, high: float) -> str:
    """Return a range of shares in percent, from the lowest to the highest."""
    lowest, highest = round(low * 100), round(high * 100)
    return share(high) if lowest == highest else f"{lowest}{_DASH}{highest}{_GAP}%"


def horizon(months: int) -> str:
    """Return a time ahead in whole years where it is so many, else in months."""
    years, rest = divmod(months, 12)
    count, unit = (months, "month") if rest else (years, "year")
    return f"{count} {unit}" + ("" if count == 1 else "s")


def listed(names: list[str]) -> str:
    """Return names with commas and a last "and"."""
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def sentence(text: str) -> str:
    """Return text that ends with a stop and begins with a capital."""
    text = text.strip()
    if not text:
        return text
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?:" else ".")


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0") if value < _TENTHS_BELOW else f"{value:.0f}"
