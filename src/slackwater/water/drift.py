"""What slowly drifts: nitrate, phosphate and alkalinity, and what water changes do about it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.errors import InputError
from slackwater.water.basis import CACO3_MG_PER_DKH, CACO3_PER_N, NO3_PER_N, OXYGEN_PER_N, PO4_PER_P
from slackwater.water.computed import CONCENTRATION_MG_L, SHARE, VOLUME_L, Bounds
from slackwater.water.parameters import number

_LOAD = Bounds(0.0, 1e9, "Enter milligrams of nitrogen a day, for example 200.")
_FEED = Bounds(0.0, 1e6, "Enter grams of food a day, for example 5.")
_SAND = Bounds(0.0, 1e5, "Enter square metres of sand, for example 0.5, or 0.")
_COUNT = Bounds(0, 10_000, "Enter how many changes, for example 4.")
_N_MG_PER_MMOL = 14.0067


@dataclass(frozen=True)
class Settled:
    """Where a level settles under regular changes: before and after each. [mg/L]"""

    before_mg_l: float
    after_mg_l: float


def nitrate_mg_l_d(tan_mg_d: float, volume_l: float, sand_m2: float = 0.0) -> float:
    """Return how nitrate, counted as NO3, rises in a day once all ammonia is oxidised.

    Parameters
    ----------
    tan_mg_d
        Ammonia made. [mg N/d]
    volume_l
        Water. [L]
    sand_m2
        Sand deep enough to turn nitrate to gas. [m2]

    Returns
    -------
    float
        Rise; below zero where sand takes more than is made. [mg NO3/(L d)]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    4.4268 (load - taken) / V, the sand by `denitrified_mg_d_weizhou`. Check value: 21.4 mg/L a week from
    207 mg N/d in 300 L, own arithmetic.

    Examples
    --------
    >>> round(7.0 * nitrate_mg_l_d(207.0, 300.0), 1)
    21.4
    """
    _LOAD.check("tan_mg_d", tan_mg_d)
    VOLUME_L.check("volume_l", volume_l)
    return NO3_PER_N * (tan_mg_d - denitrified_mg_d_weizhou(sand_m2)) / volume_l


def denitrified_mg_d_weizhou(sand_m2: float) -> float:
    """Return the nitrogen that reef sand turns to gas in a day, 0.18 mmol/(m2 h). [mg N/d]

    Measured in sand of a reef with water flowing through, 0.11 to 0.25, source `weizhou`.

    Examples
    --------
    >>> round(denitrified_mg_d_weizhou(1.0))
    61
    """
    _SAND.check("sand_m2", sand_m2)
    return 24.0 * _N_MG_PER_MMOL * number("sand_denitrification") * sand_m2


def alkalinity_loss_dkh_d(nitrified_mg_l_d: float) -> float:
    """Return the alkalinity that nitrification takes in a day, two equivalents a mole of nitrogen.

    Parameters
    ----------
    nitrified_mg_l_d
        Ammonia oxidised to nitrate. [mg N/(L d)]

    Returns
    -------
    float
        Loss; sand that turns nitrate to gas gives half of it back, which is not counted. [dKH/d]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    NH4+ + 2 O2 -> NO3- + 2 H+ + H2O: 7.146 g CaCO3/g N [wieser2006]; with cell growth 6.3 to 7.4 are
    measured. Corals take far more. Check value: own arithmetic.

    Examples
    --------
    >>> round(alkalinity_loss_dkh_d(0.69), 3)
    0.276
    """
    CONCENTRATION_MG_L.check("nitrified_mg_l_d", nitrified_mg_l_d)
    return CACO3_PER_N * nitrified_mg_l_d / CACO3_MG_PER_DKH


def oxygen_for_nitrification_mg_d(tan_mg_d: float) -> float:
    """Return the oxygen that a day's ammonia takes, 4.569 g/g without cell growth [wieser2006]. [mg/d]

    Examples
    --------
    >>> round(oxygen_for_nitrification_mg_d(207.0))
    946
    """
    _LOAD.check("tan_mg_d", tan_mg_d)
    return OXYGEN_PER_N * tan_mg_d


def phosphate_mg_l_d_yellowtail2009(feed_g_d: float, volume_l: float) -> float:
    """Return how phosphate, counted as PO4, rises in a day if nothing binds it [yellowtail2009]. [mg/(L d)]

    Examples
    --------
    >>> round(7.0 * phosphate_mg_l_d_yellowtail2009(5.0, 300.0), 2)
    1.97
    """
    _FEED.check("feed_g_d", feed_g_d)
    VOLUME_L.check("volume_l", volume_l)
    return PO4_PER_P * number("phosphorus_g_kg") * feed_g_d / volume_l


def after_changes_mg_l(mg_l: float, changed_share: float, count: int) -> float:
    """Return what is left after some changes of water with nothing added, C (1 - f)^n. [mg/L]

    Examples
    --------
    >>> round(after_changes_mg_l(40.0, 0.2, 4), 3)
    16.384
    """
    CONCENTRATION_MG_L.check("mg_l", mg_l)
    SHARE.check("changed_share", changed_share)
    _COUNT.check("count", count)
    return float(mg_l * (1.0 - changed_share) ** count)


def after_exchange_mg_l(mg_l: float, exchanged_l: float, volume_l: float) -> float:
    """Return what is left when new water flows in as old flows out, C exp(-v / V). [mg/L]

    Examples
    --------
    >>> round(after_exchange_mg_l(40.0, 240.0, 300.0), 2)
    17.97
    """
    CONCENTRATION_MG_L.check("mg_l", mg_l)
    VOLUME_L.check("volume_l", volume_l)
    _FEED.check("exchanged_l", exchanged_l)
    return mg_l * math.exp(-exchanged_l / volume_l)


def settled_mg_l(gain_mg_l: float, changed_share: float, new_mg_l: float = 0.0) -> Settled:
    """Return where a level settles that rises between changes and falls with each.

    Parameters
    ----------
    gain_mg_l
        Rise from one change to the next, dC. [mg/L]
    changed_share
        Share of the water changed each time, f; above zero. [-]
    new_mg_l
        Level of the new water. [mg/L]

    Returns
    -------
    Settled
        Before dC / f, after dC (1 - f) / f, both above the new water. [mg/L]

    Raises
    ------
    InputError
        If nothing is changed, or a value is beyond all sense.

    Examples
    --------
    >>> round(settled_mg_l(21.38, 0.15).before_mg_l, 1)
    142.5
    """
    CONCENTRATION_MG_L.check("new_mg_l", new_mg_l)
    _above_zero(changed_share)
    before = gain_mg_l / changed_share
    return Settled(new_mg_l + before, new_mg_l + before * (1.0 - changed_share))


def changes_needed(mg_l: float, wanted_mg_l: float, changed_share: float) -> int:
    """Return how many changes bring a level down to another, with nothing added between.

    Parameters
    ----------
    mg_l
        Level now, C0. [mg/L]
    wanted_mg_l
        Level wanted, C; above zero. [mg/L]
    changed_share
        Share of the water changed each time, f; above zero. [-]

    Returns
    -------
    int
        ln(C / C0) / ln(1 - f), rounded up; 0 if it is there already. [-]

    Raises
    ------
    InputError
        If nothing is changed, or a value is beyond all sense.

    Examples
    --------
    >>> changes_needed(40.0, 10.0, 0.2)
    7
    """
    CONCENTRATION_MG_L.check("mg_l", mg_l)
    _above_zero(changed_share)
    if not wanted_mg_l > 0.0:
        raise InputError(
            field="wanted_mg_l",
            given=f"{wanted_mg_l:g}",
            limit="changes of water never bring a level to nothing",
            remedy="Enter a level above zero, for example 10.",
        )
    if wanted_mg_l >= mg_l:
        return 0
    if changed_share == 1.0:
        return 1
    return math.ceil(math.log(wanted_mg_l / mg_l) / math.log1p(-changed_share) - 1e-9)


def _above_zero(changed_share: float) -> None:
    SHARE.check("changed_share", changed_share)
    if changed_share == 0.0:
        raise InputError(
            field="changed_share",
            given="0",
            limit="without a change the level never settles",
            remedy="Enter the share of the water changed each time, for example 0.15.",
        )
