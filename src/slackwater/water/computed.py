"""What every equation of the water shares: an answer that knows its range, and bounds on input."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slackwater.errors import InputError


@dataclass(frozen=True)
class Computed:
    """A value, and whether its equation was fitted for what was asked."""

    value: float
    in_range: bool


@dataclass(frozen=True)
class Range:
    """Where an equation was fitted, ends included."""

    low: float
    high: float

    def __contains__(self, value: float) -> bool:
        """Return whether a value lies in it; what is no number does not."""
        return self.low <= value <= self.high


@dataclass(frozen=True)
class Mistake(Range):
    """Values that are most likely another quantity, with what to ask then."""

    limit: str
    remedy: str


@dataclass(frozen=True)
class Bounds(Range):
    """What a quantity can be at all, wider than the range of any equation."""

    remedy: str
    mistakes: tuple[Mistake, ...] = ()

    def check(self, field: str, value: float) -> None:
        """Refuse a value that lies outside, is no number, or is likely another quantity.

        Raises
        ------
        InputError
            If it is so.
        """
        for mistake in self.mistakes:
            if value in mistake:
                raise InputError(field=field, given=f"{value:g}", limit=mistake.limit, remedy=mistake.remedy)
        if value not in self:
            limit = f"it must lie between {self.low:g} and {self.high:g}"
            raise InputError(field=field, given=f"{value:g}", limit=limit, remedy=self.remedy)


# No tank is kept between 1 and 1.06 parts in a thousand of salt, but many a gravity lies there.
_GRAVITY_AS_SALINITY = Mistake(
    1.001,
    1.06,
    "it reads like a specific gravity, not like a salinity",
    "Is it a specific gravity? Then say so, with the temperatures its scale is marked for; "
    "as salinity enter parts in a thousand, for example 35.",
)
_SALINITY_AS_GRAVITY = Mistake(
    1.06,
    60.0,
    "it reads like a salinity, not like a specific gravity",
    "Is it a salinity in parts in a thousand? Then enter it as salinity; "
    "as specific gravity enter the whole number, for example 1.0264.",
)
_DENSITY_AS_GRAVITY = Mistake(
    990.0,
    1060.0,
    "it reads like a density in kg/m3, or like a gravity without its point",
    "Enter it with the point, for example 1.0264.",
)
_MICROSIEMENS = Mistake(
    1000.0,
    120_000.0,
    "it reads like microsiemens",
    "Enter millisiemens a centimetre, for example 53.",
)

TEMPERATURE_C = Bounds(-3.0, 45.0, "Enter the temperature of the water in degrees Celsius, for example 26.")
SALINITY = Bounds(0.0, 100.0, "Enter the refractometer's reading, for example 35.", (_GRAVITY_AS_SALINITY,))
GRAVITY = Bounds(
    0.99,
    1.06,
    "Enter the reading of the hydrometer, for example 1.0264.",
    (_SALINITY_AS_GRAVITY, _DENSITY_AS_GRAVITY),
)
CONDUCTIVITY_MS_CM = Bounds(0.0, 120.0, "Enter millisiemens a centimetre, for example 53.", (_MICROSIEMENS,))
PH = Bounds(5.0, 10.5, "Enter the pH of the tank, for example 8.1.")
MASS_G = Bounds(1e-6, 1e6, "Enter the mass of one animal in grams, for example 10.")
VOLUME_L = Bounds(1e-3, 1e7, "Enter the water in the tank in litres, for example 300.")
CONCENTRATION_MG_L = Bounds(0.0, 1e5, "Enter milligrams a litre, for example 0.5.")
SHARE = Bounds(0.0, 1.0, "Enter a share between 0 and 1, for example 0.2.")
DAYS = Bounds(0.0, 1e5, "Enter a number of days, for example 7.")


def root(rising: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Return where a rising function reaches a target, halving the span until nothing is left of it."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if rising(middle) < target else (low, middle)
    return 0.5 * (low + high)
