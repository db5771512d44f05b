"""From fish and food to the ammonia that a tank bears in a day."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.water.computed import VOLUME_L, Bounds, Computed, Mistake
from slackwater.water.parameters import number
from slackwater.water.rations import dry_feed_g_d

_FEED = Bounds(0.0, 1e6, "Enter grams of food a day, for example 5.")
_FEEDS = Bounds(0.0, 48.0, "Enter how many times a day they are fed, for example 2.")
_FACTOR = Bounds(0.0, 20.0, "Enter how many times as much as usual the animal eats, for example 1.")
_PERCENT = Mistake(
    1.0 + 1e-9,
    100.0,
    "it reads like a percentage",
    "Enter a share, for example 0.45 for 45 %.",
)
_PROTEIN = Bounds(
    0.0, 1.0, "Enter protein as a share of the food as it is fed, for example 0.45.", (_PERCENT,)
)


@dataclass(frozen=True)
class Ration:
    """How a tank is fed.

    Parameters
    ----------
    feeds_per_day
        Feeds a day; 0 while it fasts. [1/d]
    protein_share
        Protein in the dry food. [-]

    Raises
    ------
    InputError
        If a value is beyond all sense, or the share reads like a percentage.
    """

    feeds_per_day: float = 2.0
    protein_share: float = 0.45

    def __post_init__(self) -> None:
        """Check every value."""
        _FEEDS.check("feeds_per_day", self.feeds_per_day)
        _PROTEIN.check("protein_share", self.protein_share)


@dataclass(frozen=True)
class AmmoniaLoad:
    """What a company eats and gives off in a day.

    Parameters
    ----------
    feed_g_d
        Dry food. [g/d]
    tan_mg_d
        Ammonia that the fish give off. [mg N/d]
    ceiling_mg_d
        Ammonia if all the protein fed decays. [mg N/d]
    wave_swing
        Swing of its daily wave as a share of the mean. [-]
    in_range
        Whether the budget was measured for fish of these sizes.
    """

    feed_g_d: float
    tan_mg_d: float
    ceiling_mg_d: float
    wave_swing: float
    in_range: bool

    def per_litre(self, volume_l: float) -> float:
        """Return the ammonia that each litre bears. [mg N/(L d)]

        Raises
        ------
        InputError
            If no tank has such a volume.
        """
        VOLUME_L.check("volume_l", volume_l)
        return self.tan_mg_d / volume_l


def ammonia_load(fish_g: Sequence[tuple[float, float]], ration: Ration) -> AmmoniaLoad:
    """Return what a company eats and gives off in a day.

    Parameters
    ----------
    fish_g
        Of each fish its mass [g], and what it eats over a calm picker of plankton as heavy: 1.5 to 3 for
        grazers and fish that swim all day, common practice [-].
    ration
        How they are fed.

    Returns
    -------
    AmmoniaLoad
        Food, ammonia, and the swing of the daily wave.

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    Food by `dry_feed_g_d` [lupatsch2013] times the factor, ammonia by `tan_g_d_timmons2007`. A company
    that fasts gives off what `wave_swing` leaves at the bottom. Food nobody eats is not counted: the
    ceiling is.
    Range: 0.2 to 1.3 g. Check value: 3.0 mg N/d for 10 g, inside 1.7 to 6.2 measured in [roopin2008].

    Examples
    --------
    >>> round(ammonia_load([(10.0, 1.0)], Ration(1.0, 0.45)).tan_mg_d, 2)
    3.01
    """
    for _, factor in fish_g:
        _FACTOR.check("factor", factor)
    rations = [dry_feed_g_d(mass_g) for mass_g, _ in fish_g]
    full_g_d = math.fsum(one.value * factor for one, (_, factor) in zip(rations, fish_g, strict=True))
    fed = ration.feeds_per_day > 0.0
    feed_g_d = full_g_d if fed else 0.0
    share = 1.0 if fed else 1.0 - wave_swing_roopin2008(1.0)
    return AmmoniaLoad(
        feed_g_d=feed_g_d,
        tan_mg_d=1000.0 * share * tan_g_d_timmons2007(full_g_d, ration.protein_share),
        ceiling_mg_d=1000.0 * ceiling_g_d_timmons2007(feed_g_d, ration.protein_share),
        wave_swing=wave_swing_roopin2008(ration.feeds_per_day),
        in_range=all(one.in_range for one in rations),
    )


def tan_g_d_timmons2007(feed_g_d: float, protein_share: float) -> float:
    """Return the ammonia nitrogen that food makes fish give off.

    Parameters
    ----------
    feed_g_d
        Food, F. [g/d]
    protein_share
        Protein in it as it is fed, PC. [-]

    Returns
    -------
    float
        F PC 0.092. [g N/d]

    Raises
    ------
    InputError
        If a value is beyond all sense, or the share reads like a percentage.

    Notes
    -----
    0.092 = 0.16 N in protein x 57.5 % given off; [timmons2007], from memory; farmed fish that grow.
    Range: not stated. Check value: 0.2070 at 5 g/d of 45 %, own arithmetic.

    Examples
    --------
    >>> round(tan_g_d_timmons2007(5.0, 0.45), 4)
    0.207
    """
    _FEED.check("feed_g_d", feed_g_d)
    _PROTEIN.check("protein_share", protein_share)
    return feed_g_d * protein_share * number("tan_per_protein")


def ceiling_g_d_timmons2007(feed_g_d: float, protein_share: float) -> float:
    """Return the ammonia nitrogen if all the food decays, F PC 0.16 [timmons2007]. [g N/d]

    Examples
    --------
    >>> round(ceiling_g_d_timmons2007(5.0, 0.45), 3)
    0.36
    """
    _FEED.check("feed_g_d", feed_g_d)
    _PROTEIN.check("protein_share", protein_share)
    return feed_g_d * protein_share * number("nitrogen_per_protein")


def wave_swing_roopin2008(feeds_per_day: float) -> float:
    """Return the swing of the daily wave of excretion as a share of its mean.

    Parameters
    ----------
    feeds_per_day
        Feeds a day. [1/d]

    Returns
    -------
    float
        (r - 1) / (r + 1) for one feed a day, r the rate after a meal over that of a fasting fish. [-]

    Raises
    ------
    InputError
        If nobody feeds so often.

    Notes
    -----
    r = 1.84 / 0.50 [roopin2008]; divided by the number of feeds (assumed). No feed, no wave.

    Examples
    --------
    >>> round(wave_swing_roopin2008(1.0), 3)
    0.573
    """
    _FEEDS.check("feeds_per_day", feeds_per_day)
    if feeds_per_day == 0.0:
        return 0.0
    fed, fasting = number("excretion_fed"), number("excretion_unfed")
    return (fed - fasting) / (fed + fasting) / max(feeds_per_day, 1.0)


def excretion_mg_d_roopin2008(mass_g: float) -> tuple[Computed, Computed]:
    """Return what an anemonefish gives off when fasting and after a meal [roopin2008]. [mg N/d]

    Measured by mass; not to be drawn out to large fish.

    Examples
    --------
    >>> [round(rate.value, 1) for rate in excretion_mg_d_roopin2008(10.0)]
    [1.7, 6.2]
    """
    mg_per_umol_h = 24.0 * 14.0067e-3
    fasting, fed = (mg_per_umol_h * number(name) * mass_g for name in ("excretion_unfed", "excretion_fed"))
    return Computed(fasting, in_range=True), Computed(fed, in_range=True)
