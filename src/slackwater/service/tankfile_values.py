"""The kinds of value in a tank file, each read from the word or number a person wrote."""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from slackwater import units
from slackwater.errors import InputError, shown

SHORTEST_TANK_CM, LONGEST_TANK_CM = 20.0, 1500.0
SHORTEST_ANIMAL_CM, LONGEST_ANIMAL_CM = 0.5, 400.0
FIRST_YEAR, LAST_YEAR = 1950, 2200
FRESHEST_SALINITY, SALTIEST_SALINITY = 2.0, 45.0
LIGHTEST_GRAVITY, HEAVIEST_GRAVITY = 1.002, 1.036

_SALINITY = re.compile(r"(\d+(?:\.\d+)?)\s*(?:ppt|psu|‰)?")
_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)")


@dataclass(frozen=True)
class Away:
    """Days on which nobody looks after the tank, both counted."""

    start: dt.date
    end: dt.date


def one_of(words: Sequence[str], also: Mapping[str, str] | None = None) -> BeforeValidator:
    """Read one of some words, whatever the case, one or many: `Snail` is `snails`."""
    known = {_stem(word): word for word in words} | dict(also or {})

    def read(given: object) -> object:
        stem = _stem(given) if isinstance(given, str) else ""
        if stem in known:
            return known[stem]
        near = difflib.get_close_matches(stem, known, n=1)
        hint = f"Did you mean {known[near[0]]}?" if near else f"Write one of: {', '.join(words)}."
        raise fault(given, "it is none of the words known here", hint)

    return BeforeValidator(read)


def suggestion(word: str, known: Sequence[str]) -> str:
    """Return the remedy for an unknown word: the nearest known one, or all of them."""
    near = difflib.get_close_matches(word, known, n=1)
    return f"Did you mean {near[0]}?" if near else f"Write one of: {', '.join(known)}."


def fault(given: object, limit: str, remedy: str, field: str = "") -> InputError:
    """Return a fault; where in the file it lies is added by who knows the place."""
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)


def _stem(word: str) -> str:
    return " ".join(word.split()).casefold().removesuffix("s")


def _within(read: Callable[[str | float, str], float], low: float, high: float, unit: str) -> BeforeValidator:
    """Read a quantity and keep it between two limits."""

    def check(given: str | float) -> float:
        value = read(given, "")
        if not low <= value <= high:
            limit = f"it must lie between {low:g} and {high:g} {unit}"
            raise fault(given, limit, "Check the number and its unit.")
        return value

    return BeforeValidator(check)


def _depth_cm(given: str | float, field: str) -> float:
    return units.length_cm(given, field, zero=True)


def _days(given: str | float, field: str) -> float:
    return units.duration_days(given, field, zero=True)


def _salinity(given: object) -> float:
    match = _SALINITY.fullmatch(str(given).strip())
    value = float(match[1]) if match else -1.0
    if 1.0 <= value < 1.1:  # noqa: PLR2004 - no sea is as fresh as a hydrometer's reading
        raise fault(given, "it looks like a specific gravity", _ask_for_gravity(value))
    if not FRESHEST_SALINITY <= value <= SALTIEST_SALINITY:
        limit = f"it must lie between {FRESHEST_SALINITY:g} and {SALTIEST_SALINITY:g}"
        raise fault(given, limit, "Write the refractometer's reading, for example 35.")
    return value


def gravity_meanings(specific_gravity: float, temperature_c: float = 25.0) -> dict[str, float]:
    """Return the salinity that a hydrometer's reading may mean, by the marking of its scale.

    Raises
    ------
    InputError
        If the reading is none that seawater has.
    """
    from slackwater.water.salinity import Marking, salinity_from_glass

    return {
        marking.value: salinity_from_glass(specific_gravity, temperature_c, marking).value
        for marking in Marking
    }


def _ask_for_gravity(value: float) -> str:
    """Return the question that settles what a reading means."""
    try:
        meant = gravity_meanings(value)
    except InputError:
        return "Write the salinity, for example 35."
    told = ", ".join(f"{salinity:.0f} on a {marking} scale" for marking, salinity in meant.items())
    return (
        f"In water of 25 C it means a salinity of {told}: write that, for example 35, or "
        f"specific_gravity: {value:g} with hydrometer: 25/25 C or what its scale says."
    )


def _gravity(given: object) -> float:
    match = _SALINITY.fullmatch(str(given).strip())
    value = float(match[1]) if match else -1.0
    if FRESHEST_SALINITY <= value <= SALTIEST_SALINITY:
        raise fault(
            given, "it looks like a salinity", f"Write salinity: {value:g}, or the gravity as 1.0264."
        )
    if not LIGHTEST_GRAVITY <= value <= HEAVIEST_GRAVITY:
        limit = f"it must lie between {LIGHTEST_GRAVITY:g} and {HEAVIEST_GRAVITY:g}"
        raise fault(given, limit, "Write the hydrometer's reading, for example 1.0264.")
    return value


def _date(given: object) -> dt.date:
    try:
        date = dt.date.fromisoformat(given if isinstance(given, str) else "")
    except ValueError:
        raise fault(given, "it is no day of the calendar", "Write it as 2027-01-31.") from None
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise fault(given, f"its year must lie between {FIRST_YEAR} and {LAST_YEAR}", "Check the year.")
    return date


def _clock(given: object) -> dt.time:
    match = _CLOCK.fullmatch(given.strip()) if isinstance(given, str) else None
    if match is None:
        raise fault(given, "it is no hour of the day", 'Write it as "21:00".')
    return dt.time(int(match[1]), int(match[2]))


def _away(given: object) -> Away:
    parts = given.split("/") if isinstance(given, str) else []
    if len(parts) != 2:  # noqa: PLR2004 - a start and an end
        raise fault(given, "it is no period", "Write the first and the last day, 2027-02-06/2027-02-20.")
    period = Away(start=_date(parts[0].strip()), end=_date(parts[1].strip()))
    if period.end < period.start:
        raise fault(given, "it ends before it starts", "Write the first day first.")
    return period


def _money(given: str | float) -> units.Money:
    return units.money(given, "")


def _quantity(*examples: str) -> WithJsonSchema:
    return WithJsonSchema({"type": ["string", "number"], "examples": list(examples)})


def _text(pattern: str, example: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": [example]})


TankCm = Annotated[
    float,
    _within(units.length_cm, SHORTEST_TANK_CM, LONGEST_TANK_CM, "cm"),
    _quantity("120 cm", "48 in"),
]
AnimalCm = Annotated[
    float,
    _within(units.length_cm, SHORTEST_ANIMAL_CM, LONGEST_ANIMAL_CM, "cm"),
    _quantity("6 cm", "3 in"),
]
RockCm = Annotated[float, _within(units.length_cm, 1.0, LONGEST_TANK_CM, "cm"), _quantity("30 cm", "12 in")]
PlaceCm = Annotated[float, _within(_depth_cm, 0.0, LONGEST_TANK_CM, "cm"), _quantity("40 cm", "16 in")]
BoxCm = Annotated[float, _within(units.length_cm, 1.0, LONGEST_TANK_CM, "cm"), _quantity("20 cm", "8 in")]
HoleCm = Annotated[float, _within(units.length_cm, 0.5, 100.0, "cm"), _quantity("4 cm", "1.5 in")]
GlassCm = Annotated[float, _within(units.length_cm, 0.2, 10.0, "cm"), _quantity("10 mm", "0.5 in")]
FreeboardCm = Annotated[float, _within(_depth_cm, 0.0, 50.0, "cm"), _quantity("4 cm", "1.5 in")]
SandCm = Annotated[float, _within(_depth_cm, 0.0, 60.0, "cm"), _quantity("5 cm", "2 in")]
Litres = Annotated[float, _within(units.volume_l, 1.0, 1_000_000.0, "L"), _quantity("300 L", "75 gal")]
Kilograms = Annotated[float, _within(units.mass_kg, 0.1, 50_000.0, "kg"), _quantity("30 kg", "66 lb")]
Celsius = Annotated[float, _within(units.temperature_c, 5.0, 35.0, "C"), _quantity("26 C", "79 F")]
Days = Annotated[float, _within(_days, 0.0, 365.0, "days"), _quantity("30 days", "4 weeks")]
Price = Annotated[units.Money, BeforeValidator(_money), _quantity("60 EUR")]
Salinity = Annotated[float, BeforeValidator(_salinity), _quantity("35")]
Gravity = Annotated[float, BeforeValidator(_gravity), _quantity("1.0264")]
Day = Annotated[dt.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]
Clock = Annotated[dt.time, BeforeValidator(_clock), _text(f"^{_CLOCK.pattern}$", "21:00")]
Period = Annotated[Away, BeforeValidator(_away), _text("^[0-9-]+/[0-9-]+$", "2027-02-06/2027-02-20")]
