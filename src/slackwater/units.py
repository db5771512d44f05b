"""Quantities as people write them, turned into the units the program counts in.

`48 in`, `75 gal`, `79 F`, `30 kg`, `60 EUR`, `4 weeks`: one function for each quantity, and a
bare number is taken in the program's own unit. The units met every day are in a table here;
any other is looked up with pint, which is slow to start and so imported only then.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from slackwater.errors import InputError, shown

CM_PER_INCH = 2.54
CM_PER_FOOT = 30.48
L_PER_US_GALLON = 3.785411784
L_PER_IMPERIAL_GALLON = 4.54609
KG_PER_POUND = 0.45359237
DAYS_PER_YEAR = 365.25

_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"
_QUANTITY = re.compile(rf"\s*({_NUMBER})\s*([^\d\s.,+/-][^\d.,+/-]*3?)?")
_FEET_AND_INCHES = re.compile(
    r"\s*(\d+)\s*(?:ft|feet|foot|')\s*(\d+(?:\.\d+)?)\s*(?:in|inch|inches|\"|'')\s*"
)
_MONEY = re.compile(rf"\s*([^\d\s.,+-]*)\s*({_NUMBER})\s*([^\d\s.,+-]*)\s*")
_CURRENCY_OF_SIGN = {"€": "EUR", "£": "GBP", "$": "$", "¥": "¥", "": ""}
_LARGEST_PRICE = 1_000_000
_ENDLESS = 1e100


@dataclass(frozen=True)
class _Kind:
    """A kind of quantity: own unit = scale * given + shift for each unit known by heart."""

    noun: str
    unit: str
    pint_unit: str
    scales: Mapping[str, float]
    smallest: float
    largest: float
    examples: str
    shifts: Mapping[str, float] | None = None


def _named(*groups: tuple[str, float]) -> dict[str, float]:
    """Spread `"in inch inches"` and its factor over the three names."""
    return {name: factor for names, factor in groups for name in names.split("|")}


_LENGTH = _Kind(
    noun="length",
    unit="cm",
    pint_unit="centimeter",
    scales=_named(
        ("cm|centimetre|centimetres|centimeter|centimeters", 1.0),
        ("mm|millimetre|millimetres|millimeter|millimeters", 0.1),
        ("m|metre|metres|meter|meters", 100.0),
        ("in|inch|inches|\"|''", CM_PER_INCH),
        ("ft|foot|feet|'", CM_PER_FOOT),
    ),
    smallest=0.0,
    largest=10_000.0,
    examples="120 cm, 1.2 m, 48 in or 4 ft",
)
_VOLUME = _Kind(
    noun="volume",
    unit="L",
    pint_unit="liter",
    scales=_named(
        ("l|litre|litres|liter|liters", 1.0),
        ("ml", 0.001),
        ("m3|m³", 1000.0),
        ("ft3|cu ft|cubic foot|cubic feet", CM_PER_FOOT**3 / 1000.0),
        ("gal|gallon|gallons|us gal|us gallon|us gallons", L_PER_US_GALLON),
        ("imp gal|imperial gal|imperial gallon|imperial gallons|uk gal|uk gallons", L_PER_IMPERIAL_GALLON),
    ),
    smallest=0.0,
    largest=10_000_000.0,
    examples="300 L or 75 gal",
)
_MASS = _Kind(
    noun="mass",
    unit="kg",
    pint_unit="kilogram",
    scales=_named(
        ("kg|kilo|kilos|kilogram|kilograms", 1.0),
        ("g|gram|grams", 0.001),
        ("lb|lbs|pound|pounds", KG_PER_POUND),
    ),
    smallest=0.0,
    largest=100_000.0,
    examples="30 kg or 66 lb",
)
_TEMPERATURE = _Kind(
    noun="temperature",
    unit="C",
    pint_unit="degree_Celsius",
    scales=_named(("c|°c|deg c|celsius|k|kelvin", 1.0), ("f|°f|deg f|fahrenheit", 5.0 / 9.0)),
    shifts=_named(("f|°f|deg f|fahrenheit", -160.0 / 9.0), ("k|kelvin", -273.15)),
    smallest=-3.0,
    largest=45.0,
    examples="26 C or 79 F",
)
_DURATION = _Kind(
    noun="duration",
    unit="days",
    pint_unit="day",
    scales=_named(
        ("d|day|days", 1.0),
        ("h|hour|hours", 1.0 / 24.0),
        ("week|weeks|wk|wks", 7.0),
        ("month|months", DAYS_PER_YEAR / 12.0),
        ("year|years", DAYS_PER_YEAR),
    ),
    smallest=0.0,
    largest=100.0 * DAYS_PER_YEAR,
    examples="30 days, 4 weeks or 6 months",
)


@dataclass(frozen=True)
class Money:
    """An amount of money; `currency` is a code or sign, and empty where none was said."""

    amount: Decimal
    currency: str

    def __str__(self) -> str:
        """Return the amount as it is printed: `60 EUR`, `59.50 EUR`."""
        whole = self.amount == self.amount.to_integral_value()
        return f"{self.amount:.{0 if whole else 2}f} {self.currency}".rstrip()


def length_cm(given: str | float, field: str = "length", *, zero: bool = False) -> float:
    """Return a length in centimetres; a bare number is in centimetres.

    Parameters
    ----------
    given
        Such as `120 cm`, `48 in`, `4 ft` or `4'6"`.
    field
        What the value is, for the message.
    zero
        Whether nothing at all is allowed, as for sand.

    Returns
    -------
    float
        The length. [cm]

    Raises
    ------
    InputError
        If it is no length, not above zero, or longer than 100 m.

    Notes
    -----
    1 in = 2.54 cm and 1 ft = 30.48 cm exactly, appendix B.8 of [sp811].

    Examples
    --------
    >>> length_cm("48 in")
    121.92
    """
    if isinstance(given, str) and (parts := _FEET_AND_INCHES.fullmatch(given)):
        given = int(parts[1]) * CM_PER_FOOT + float(parts[2]) * CM_PER_INCH
    return _read(given, _LENGTH, field, zero=zero)


def volume_l(given: str | float, field: str = "volume", *, zero: bool = False) -> float:
    """Return a volume in litres; a bare number is in litres, a bare gallon is the US gallon.

    Parameters
    ----------
    given
        Such as `300 L`, `75 gal` or `60 imp gal`.
    field, zero
        As for `length_cm`.

    Returns
    -------
    float
        The volume. [L]

    Raises
    ------
    InputError
        If it is no volume, not above zero, or more than ten thousand cubic metres.

    Notes
    -----
    US gallon 3.785 412 L, imperial gallon 4.546 09 L, appendix B.8 of [sp811].

    Examples
    --------
    >>> round(volume_l("75 gal"), 1)
    283.9
    """
    return _read(given, _VOLUME, field, zero=zero)


def mass_kg(given: str | float, field: str = "mass", *, zero: bool = False) -> float:
    """Return a mass in kilograms; a bare number is in kilograms.

    Parameters
    ----------
    given
        Such as `30 kg` or `66 lb`.
    field, zero
        As for `length_cm`.

    Returns
    -------
    float
        The mass. [kg]

    Raises
    ------
    InputError
        If it is no mass, not above zero, or more than a hundred tonnes.

    Notes
    -----
    1 lb = 0.453 592 37 kg exactly, appendix B.8 of [sp811].

    Examples
    --------
    >>> round(mass_kg("66 lb"), 2)
    29.94
    """
    return _read(given, _MASS, field, zero=zero)


def temperature_c(given: str | float, field: str = "temperature") -> float:
    """Return a temperature in degrees Celsius; a bare number is in degrees Celsius.

    Parameters
    ----------
    given
        Such as `26 C` or `79 F`.
    field
        As for `length_cm`.

    Returns
    -------
    float
        The temperature. [C]

    Raises
    ------
    InputError
        If it is no temperature, or one at which no sea holds life.

    Notes
    -----
    t(C) = (t(F) - 32) / 1.8, appendix B.8 of [sp811].

    Examples
    --------
    >>> round(temperature_c("79 F"), 2)
    26.11
    """
    return _read(given, _TEMPERATURE, field, zero=True)


def duration_days(given: str | float, field: str = "duration", *, zero: bool = False) -> float:
    """Return a duration in days; a bare number is in days.

    Parameters
    ----------
    given
        Such as `30 days`, `4 weeks` or `6 months`.
    field, zero
        As for `length_cm`.

    Returns
    -------
    float
        The duration; a year is 365.25 days and a month a twelfth of it. [d]

    Raises
    ------
    InputError
        If it is no duration, not above zero, or longer than a century.

    Examples
    --------
    >>> duration_days("4 weeks")
    28.0
    """
    return _read(given, _DURATION, field, zero=zero)


def money(given: str | float, field: str = "price") -> Money:
    """Return an amount of money; nothing is converted between currencies.

    Parameters
    ----------
    given
        Such as `60 EUR`, `EUR 60`, `60` or an amount with a currency sign.
    field
        As for `length_cm`.

    Returns
    -------
    Money
        The amount and its currency.

    Raises
    ------
    InputError
        If it is no amount of money, below zero, or above a million.

    Examples
    --------
    >>> str(money("59,50 eur"))
    '59.50 EUR'
    """
    match = _MONEY.fullmatch(_text_of(given, "money", field, "60 EUR"))
    before, number, after = match.groups() if match else ("", "nan", "")
    amount = Decimal(_plain_number(number, field, given))
    currency = _currency(before or after)
    if currency is None or (before and after) or not amount.is_finite():
        raise _fault(field, given, "it is not an amount of money", "Write an amount such as 60 EUR.")
    if not 0 <= amount <= _LARGEST_PRICE:
        limit = f"it must lie between 0 and {_LARGEST_PRICE}"
        raise _fault(field, given, limit, "Write an amount such as 60 EUR.")
    return Money(amount=amount, currency=currency)


def _currency(word: str) -> str | None:
    """Return the currency for a sign or a code of three letters, or None for anything else."""
    if re.fullmatch("[A-Za-z]{3}", word):
        return word.upper()
    return _CURRENCY_OF_SIGN.get(word)


def _read(given: str | float, kind: _Kind, field: str, *, zero: bool) -> float:
    """Turn what was given into the kind's own unit, or say what is wrong with it."""
    match = _QUANTITY.fullmatch(_text_of(given, kind.noun, field, kind.examples))
    if match is None:
        raise _fault(field, given, f"it is not a {kind.noun}", f"Write {kind.examples}.")
    number = float(_plain_number(match[1], field, given))
    value = _in_own_unit(number, (match[2] or kind.unit).strip(), kind)
    if value is None:
        limit = f"`{shown(match[2])}` is not a unit of {kind.noun}"
        raise _fault(field, given, limit, f"Write {kind.examples}.")
    _refuse_outside(value, given, kind, field, zero=zero)
    return value


def _refuse_outside(value: float, given: str | float, kind: _Kind, field: str, *, zero: bool) -> None:
    """Refuse what is not finite, beyond all sense, or not above zero where it has to be."""
    if not math.isfinite(value) or not kind.smallest <= value <= kind.largest:
        limit = f"it must lie between {kind.smallest:g} and {kind.largest:g} {kind.unit}"
        raise _fault(field, given, limit, f"Write {kind.examples}.")
    if value == 0 and not zero:
        raise _fault(field, given, "it must be above zero", f"Write {kind.examples}.")


def _in_own_unit(number: float, unit: str, kind: _Kind) -> float | None:
    """Return the number in the kind's own unit, or None if the unit does not fit."""
    name = " ".join(unit.lower().split())
    if name not in kind.scales:
        return _by_pint(number, unit, kind)
    shift = kind.shifts.get(name, 0.0) if kind.shifts else 0.0
    return kind.scales[name] * number + shift


def _by_pint(number: float, unit: str, kind: _Kind) -> float | None:
    """Look the unit up with pint: the one place that knows it."""
    if not re.fullmatch(r"[A-Za-z_ ]{2,40}", unit):
        return None
    import pint

    try:
        return float(pint.Quantity(number, "_".join(unit.split())).to(kind.pint_unit).magnitude)
    except (pint.PintError, AttributeError, ArithmeticError):
        return None


def _text_of(given: str | float, noun: str, field: str, examples: str) -> str:
    """Return what was given as text; true, false, nan and infinity are no quantities."""
    if isinstance(given, str):
        return given
    if type(given) not in {int, float} or not abs(given) < _ENDLESS:
        raise _fault(field, given, f"it is not a {noun}", f"Write {examples}.")
    return repr(given)


def _plain_number(text: str, field: str, given: object) -> str:
    """Return the number with a decimal point; refuse `1,200`, which is read in two ways."""
    if re.search(r",\d{3}(\D|$)", text):
        limit = "the comma could part decimals or thousands"
        raise _fault(field, given, limit, "Write it with a point or without the comma.")
    return text.replace(",", ".")


def _fault(field: str, given: object, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
