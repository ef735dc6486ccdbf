"""The air that a vehicle meets at a moment of its flight: how fast, and at what angle in a gust."""

import numpy as np

from finial.core.doors import require_not_negative
from finial.flight.trace import Trace


def air_met(trace: Trace, time_s: float, gust_m_s: float) -> tuple[float, float]:
    r"""Airspeed at a time, and the angle of attack when the whole wind is met at once.

    .. math::  \alpha = \max(\alpha_{\mathrm{flown}},\ \arctan(w / v))

    Parameters
    ----------
    trace : Trace
        One flight.
    time_s : float
        From the firing signal [s].
    gust_m_s : float
        Wind met across, :math:`w` [m/s].

    Returns
    -------
    airspeed_m_s : float
        Speed through the air, :math:`v` [m/s].
    alpha_rad : float
        The flight's own angle of attack, or that of the gust if it is larger [rad].

    Raises
    ------
    OutsideRange
        If the gust is below zero.

    Notes
    -----
    A sharp gust of the whole wind is the worst that a mean wind of that strength gives; gusts of
    the day may be stronger.

    References
    ----------
    .. [1] Sharp-edged gust: plain trigonometry.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> speed, angle = air_met(fly(example_inputs()), 1.5, 5.0)
    >>> bool(angle >= np.arctan2(5.0, speed))
    True
    """
    require_not_negative(gust_m_s=gust_m_s)
    speed = float(np.interp(time_s, trace.times_s, trace.airspeeds_m_s))
    flown = float(np.interp(time_s, trace.times_s, trace.alphas_rad))
    return speed, max(flown, float(np.arctan2(gust_m_s, max(speed, 1e-6))))
