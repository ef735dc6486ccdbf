"""How long a battery keeps its computers awake on the pad, warm or cold."""

import math
from collections.abc import Callable

import numpy as np

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows

COLD_SCATTER = 0.10
"""How far batteries of one kind differ in the cold, as a share of the warm capacity [-]."""
HOTTEST_CELL_K = 60.0 + ZERO_CELSIUS_K
"""Above this lithium cells are damaged or vent [K]; makers' data sheets, from memory, not re-read."""
SUN_SHARE = Estimate(
    value=1 / math.pi,
    low=0.0,
    high=0.5,
    known_by=KnownBy.ASSUMED,
    method="share of the sunlit wall's rise that a battery inside sees",
    source="mean of the sun over the round of an upright body, 1 / pi; up to half assumed",
)
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
    coldest = knots_k[0]
    inside = coldest <= temperature_k.low and temperature_k.high <= HOTTEST_CELL_K
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


def cold_resistance(temperature_k: Estimate) -> Estimate:
    r"""How many times its warm resistance a battery has at a temperature.

    .. math::  \ln r(T) \text{ linear between } 1 \ (27\,^\circ\mathrm{C}),\ 2.5 \ (0\,^\circ\mathrm{C}),
               \ 8 \ (-20\,^\circ\mathrm{C})

    Parameters
    ----------
    temperature_k : Estimate
        Temperature of the battery itself [K].

    Returns
    -------
    times : Estimate
        Resistance over that at 27 degC [-]; at 0 degC 1.3 to 8, at -20 degC 2.3 to 50: kinds differ
        that much. ``inside_range`` is false below -20 and above 60 degC.

    Raises
    ------
    OutsideRange
        If the temperature is not positive.

    Notes
    -----
    Range: -20 to 60 degC, small lithium cells; below, the last slope runs on. A cell that fires warms
    itself only in seconds. Measure: voltage before and under a known load, in the cold box.

    References
    ----------
    .. [1] Studies on rate capability of lithium-ion cells at low temperatures, 1999, abstract; a chart of
       large cells, second-hand; table ``cold_resistance.csv``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> cold = cold_resistance(exact(273.15))
    >>> round(cold.low, 2), round(cold.value, 2), round(cold.high, 2)
    (1.3, 2.5, 8.0)
    """
    require_positive(temperature_k=temperature_k.low)
    rows = table_rows("finial.electronics", "cold_resistance.csv")
    rows = sorted(rows, key=lambda row: float(row["celsius"]))
    knots_k = [float(row["celsius"]) + ZERO_CELSIUS_K for row in rows]

    def times(column: str) -> Callable[[float], float]:
        values = [float(row[column]) for row in rows]
        return lambda kelvin: _through(kelvin, knots_k, values)

    low, value, high = (times(column) for column in ("times_low", "times", "times_high"))
    ends = (temperature_k.low, temperature_k.high)
    return Estimate(
        value=value(temperature_k.value),
        low=min(low(end) for end in ends),
        high=max(high(end) for end in ends),
        known_by=KnownBy.ASSUMED,
        method="resistance against temperature",
        source="table cold_resistance.csv; second-hand and assumed",
        inside_range=knots_k[0] <= ends[0] and ends[1] <= knots_k[-1],
    )


def cell_temperature(air_k: Estimate, wall_k: Estimate) -> Estimate:
    r"""Temperature of a battery inside a body that stands in the sun.

    .. math::  T = T_{air} + s \, (T_{wall} - T_{air}), \qquad s = 1 / \pi \ (0 \text{ to } 0.5)

    Parameters
    ----------
    air_k : Estimate
        Air at the pad, :math:`T_{air}` [K].
    wall_k : Estimate
        Sunlit side of the body, :math:`T_{wall}` [K].

    Returns
    -------
    temperature : Estimate
        Temperature :math:`T` [K]; the low end is the air's, early in the wait.

    Raises
    ------
    OutsideRange
        If a temperature is not positive.

    Notes
    -----
    Range: a closed body, one side in the sun, the other in its own shade; a battery against the sunlit wall
    itself gets as hot as that. Leaves out what the electronics warm. A thermometer on the pad knows better.

    References
    ----------
    .. [1] Sun from the side, averaged over the round of a cylinder, is 1 / pi of what meets its middle; that
       a battery sees up to half of the rise is assumed.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> hot = cell_temperature(exact(303.15), exact(343.15))
    >>> round(hot.low - 273.15, 1), round(hot.value - 273.15, 1), round(hot.high - 273.15, 1)
    (30.0, 42.7, 50.0)
    """
    require_positive(air_k=air_k.low, wall_k=wall_k.low)
    return over_corners(
        lambda air, wall, share: air + share * max(wall - air, 0.0),
        {"air": air_k, "wall": wall_k, "share": SUN_SHARE},
        method="between the air and the sunlit wall",
        source=SUN_SHARE.source,
    )


def voltage_after(full: float, left: float) -> Estimate:
    r"""Voltage at rest of a battery after a wait, over what it was before.

    .. math::  k = s(c - \Delta c) / s(c)

    Parameters
    ----------
    full : float
        How full it was when its voltage was told, :math:`c`, 0 to 1 [-].
    left : float
        How full it is now, :math:`c - \Delta c`; below 0 counts as empty [-].

    Returns
    -------
    share : Estimate
        Ratio :math:`k`, 1 at the high end: what is drawn may be less [-].

    Raises
    ------
    OutsideRange
        If it was not full at all, or more than full.

    Notes
    -----
    Range: lithium cells at rest and warm. ``inside_range`` is false where nothing is left.

    References
    ----------
    .. [1] Table ``charge_voltage.csv``: discharge curves from memory, not re-read.

    Examples
    --------
    >>> half = voltage_after(1.0, 0.5)
    >>> round(half.low, 3), round(half.value, 3), half.high
    (0.89, 0.915, 1.0)
    """
    if not 0.0 < full <= 1.0:
        raise OutsideRange(f"full = {full}: give how full it was as a fraction, above 0 up to 1")
    rows = sorted(table_rows("finial.electronics", "charge_voltage.csv"), key=lambda row: float(row["full"]))
    knots = [float(row["full"]) for row in rows]

    def share(column: str) -> float:
        values = [float(row[column]) for row in rows]
        return float(np.interp(left, knots, values) / np.interp(full, knots, values))

    now = min(left, full)
    return Estimate(
        value=1.0 if now == full else share("share"),
        low=1.0 if now == full else share("share_low"),
        high=1.0,
        known_by=KnownBy.ASSUMED,
        method="voltage at rest by how full a cell is",
        source="table charge_voltage.csv; from memory",
        inside_range=left > 0.0,
    )


def _through(kelvin: float, knots_k: list[float], times: list[float]) -> float:
    """Interpolate logarithms; below the first knot the first slope runs on."""
    logs = np.log(times)
    if kelvin < knots_k[0]:
        slope = (logs[1] - logs[0]) / (knots_k[1] - knots_k[0])
        return float(np.exp(logs[0] + slope * (kelvin - knots_k[0])))
    return float(np.exp(np.interp(kelvin, knots_k, logs)))


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
