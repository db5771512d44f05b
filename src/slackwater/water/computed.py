"""What every equation of the water shares: an answer that knows its range, and bounds on input."""

from __future__ import annotations

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
class Bounds(Range):
    """What a quantity can be at all, wider than the range of any equation."""

    remedy: str

    def check(self, field: str, value: float) -> None:
        """Refuse a value that lies outside, or is no number.

        Raises
        ------
        InputError
            If it does.
        """
        if value not in self:
            limit = f"it must lie between {self.low:g} and {self.high:g}"
            raise InputError(field=field, given=f"{value:g}", limit=limit, remedy=self.remedy)


TEMPERATURE_C = Bounds(-3.0, 45.0, "Enter the temperature of the water in degrees Celsius, for example 26.")
SALINITY = Bounds(0.0, 100.0, "Enter the refractometer's reading, for example 35.")
MASS_G = Bounds(1e-6, 1e6, "Enter the mass of one animal in grams, for example 10.")
