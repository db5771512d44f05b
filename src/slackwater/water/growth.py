"""How long a fish grows: numbers in, numbers out; the figures of a species stand in `taxa`."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.errors import InputError


@dataclass(frozen=True)
class Growth:
    """How a species grows.

    Parameters
    ----------
    final_cm
        Mean length of the full-grown, Linf; not the record. [cm]
    pace_per_year
        How fast it gets there, K. [1/yr]
    birth_yr
        Age at which the curve has no length, t0. [yr]

    Raises
    ------
    InputError
        If a length or pace is not above zero.
    """

    final_cm: float
    pace_per_year: float
    birth_yr: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no fish does."""
        for field in ("final_cm", "pace_per_year"):
            value = getattr(self, field)
            if not 0.0 < value < math.inf:
                raise InputError(
                    field=field,
                    given=f"{value:g}",
                    limit="it must be above zero",
                    remedy="Enter a published mean length in centimetres and a pace by the year.",
                )


def length_cm_bertalanffy1938(growth: Growth, age_yr: float) -> float:
    """Return the length at an age, Linf (1 - exp(-K (t - t0))) [bertalanffy1938]. [cm]

    Examples
    --------
    >>> round(length_cm_bertalanffy1938(Growth(10.64, 1.14, -0.3), 1.0), 2)
    8.22
    """
    return max(growth.final_cm * -math.expm1(-growth.pace_per_year * (age_yr - growth.birth_yr)), 0.0)


def length_cm_later(growth: Growth, length_cm: float, months: float) -> float:
    """Return the length some months on, of a fish of any age, which never shrinks [bertalanffy1938]. [cm]

    Examples
    --------
    >>> round(length_cm_later(Growth(13.319, 1.1539), 7.0, 12.0), 2)
    11.33
    """
    left = max(growth.final_cm - length_cm, 0.0)
    return length_cm - left * math.expm1(-growth.pace_per_year * months / 12.0)
