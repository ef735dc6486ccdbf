"""A day's wind with gusts laid over it."""

from dataclasses import replace

import numpy as np

from finial.atmosphere.turbulence import GustColumn
from finial.flight.inputs import Air


def with_gusts(air: Air, gusts: GustColumn) -> Air:
    """Add a frozen column of gusts to the mean wind, on the heights of both.

    Parameters
    ----------
    air : Air
        The day's air and mean wind.
    gusts : GustColumn
        Gusts [m/s] at heights [m]; beyond their ends the end values hold, so let them reach
        above the expected apogee.

    Returns
    -------
    air : Air
        The same day, with the sum of both winds and an updraught.

    Notes
    -----
    The gusts stand still while the vehicle passes: holds for a vehicle much faster than the wind,
    less so under a canopy. The spacing of the gusts sets how many steps a flight takes.

    References
    ----------
    .. [1] MIL-F-8785C, 1980, section 3.7 (frozen turbulence).

    Examples
    --------
    >>> from finial.atmosphere.turbulence import gust_column
    >>> from finial.flight.example import example_air
    >>> column = gust_column(np.arange(0.0, 400.0, 10.0), 6.0, np.random.default_rng(5))
    >>> with_gusts(example_air(), column).wind_heights_m.size
    43
    """
    heights = np.union1d(air.wind_heights_m, gusts.heights_m)
    up = np.zeros_like(air.wind_heights_m) if air.wind_up_m_s is None else air.wind_up_m_s
    parts = (
        (air.wind_east_m_s, gusts.east_m_s),
        (air.wind_north_m_s, gusts.north_m_s),
        (up, gusts.up_m_s),
    )
    east, north, rising = (
        np.interp(heights, air.wind_heights_m, mean) + np.interp(heights, gusts.heights_m, gust)
        for mean, gust in parts
    )
    return replace(air, wind_heights_m=heights, wind_east_m_s=east, wind_north_m_s=north, wind_up_m_s=rising)
