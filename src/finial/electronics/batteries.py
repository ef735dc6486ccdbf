"""How long a battery keeps its computers awake on the pad, warm or cold."""

from dataclasses import replace

import numpy as np

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows

COLD_SCATTER = 0.10
"""How far batteries of one kind differ in the cold, as a share of the warm capacity [-]."""
_USABLE_SHARE = Estimate(
    value=0.9,
    low=0.8,
    high=1.0,
    known_by=KnownBy.ASSUMED,
    method="share of the printed capacity left in a battery that is not new",
    source="common practice",
)


def cold_share(temperature_k: Estimate) -> Estimate:
    r"""Share of its capacity that a battery gives at a temperature.

    .. math::  s(T) \text{ linear between } 1 \ (27\,^\circ\mathrm{C}),\ 0.8 \ (0\,^\circ\mathrm{C}),
               \ 0.5 \ (-18\,^\circ\mathrm{C})

    Parameters
    ----------
    temperature_k : Estimate
        Temperature of the battery itself [K].

    Returns
    -------
    Estimate
        Share [-], give or take ten points. ``inside_range`` is false below -18 degC and
        above 60 degC, where the table says nothing.

    Raises
    ------
    OutsideRange
        If the temperature is not positive.

    Notes
    -----
    Holds for small lithium and alkaline batteries at light load; kinds differ. A battery in
    the sun on a black pad gets hot, and lithium cells are damaged or catch fire above 60 degC.

    References
    ----------
    .. [1] Battery handbooks, from memory, not re-read; table ``cold.csv``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(cold_share(exact(273.15)).value, 3)
    0.8
    """
    require_positive(temperature_k=temperature_k.low)
    rows = sorted(table_rows("finial.electronics", "cold.csv"), key=lambda row: float(row["celsius"]))
    knots_k = [float(row["celsius"]) + ZERO_CELSIUS_K for row in rows]
    shares = [float(row["keeps"]) for row in rows]
    share = temperature_k.mapped(lambda kelvin: float(np.interp(kelvin, knots_k, shares)))
    warm = temperature_k.low >= knots_k[-1]
    coldest, hottest = knots_k[0], 60 + ZERO_CELSIUS_K
    inside = coldest <= temperature_k.low and temperature_k.high <= hottest
    return Estimate(
        value=share.value,
        # Below the table the share may be anything down to nothing.
        low=0.0 if temperature_k.low < coldest else share.low - (0.0 if warm else COLD_SCATTER),
        high=min(share.high + COLD_SCATTER, 1.0),
        known_by=KnownBy.HANDBOOK,
        method="capacity against temperature",
        source="battery handbooks, from memory, not re-read",
        inside_range=share.inside_range and inside,
    )


def pad_hours(capacity_a_h: Estimate, current_a: Estimate, temperature_k: Estimate) -> Estimate:
    r"""Hours a battery feeds its computers.

    .. math::  t = u \, s(T) \, Q / I

    Parameters
    ----------
    capacity_a_h : Estimate
        Printed capacity, :math:`Q` [A h].
    current_a : Estimate
        Current of everything on this battery while waiting, :math:`I` [A].
    temperature_k : Estimate
        Temperature of the battery [K].

    Returns
    -------
    Estimate
        Time :math:`t` [h].

    Raises
    ------
    OutsideRange
        If capacity, current or temperature is not positive.

    Notes
    -----
    Counts 80 to 100 % of the printed capacity as there. Leaves nothing aside for sirens,
    transmitters or firing; firing takes under 0.1 % of a usual battery. A battery that lasts
    the wait may still be too weak to fire at its end.

    References
    ----------
    .. [1] Capacity over current; cold from battery handbooks, from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(pad_hours(exact(0.5), exact(0.025), exact(300.15)).value, 1)
    18.0
    """
    require_positive(capacity_a_h=capacity_a_h.low, current_a=current_a.low)
    return over_corners(
        lambda capacity, current, cold, usable: usable * cold * capacity / current,
        {
            "capacity": capacity_a_h,
            "current": current_a,
            "cold": cold_share(temperature_k),
            "usable": _USABLE_SHARE,
        },
        method="usable capacity over current",
        source="battery handbooks for the cold, from memory, not re-read",
    )


def hours_over_wait(hours: Estimate, wait_s: float) -> Estimate:
    r"""How many times the planned wait a battery lasts.

    .. math::  r = t / t_{wait}

    Parameters
    ----------
    hours : Estimate
        Time the battery lasts [h].
    wait_s : float
        Planned wait on the pad [s].

    Returns
    -------
    Estimate
        Ratio [-]; 1 just lasts.

    Raises
    ------
    OutsideRange
        If the time is negative or the wait is not positive.

    Notes
    -----
    Waits on a busy range grow; common practice is a ratio of 2 at the bad end.

    References
    ----------
    .. [1] Definition; the ratio wanted is common practice.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> hours_over_wait(exact(4.0), 7200.0).value
    2.0
    """
    require_not_negative(hours=hours.low)
    require_positive(wait_s=wait_s)
    return replace(hours.scaled(3600 / wait_s), method="time the battery lasts over the wait")
