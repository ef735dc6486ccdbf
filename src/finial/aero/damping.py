"""How strongly the air resists turning: pitch, yaw and roll."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.body import BodyAir
from finial.aero.fins import FinAir


def pitch_damping(
    body: BodyAir, fins: Sequence[FinAir], centre_m: float, mach: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Moment coefficient per turning rate about a centre, mean over roll.

    .. math::  C_{mq} = -\frac{2}{d^2} \left( \sum_i C_{N\alpha,i} (x_i - x_c)^2
               + \frac{2}{S} \int A (x - x_c) \, dx \right)

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    centre_m : float
        Station of the centre of turning, :math:`x_c` [m].
    mach : array_like
        Mach numbers, 0 to 0.9 [-].

    Returns
    -------
    damping : ndarray
        d(moment coefficient) / d(rate width / (2 V)), negative when it damps [-].

    Raises
    ------
    OutsideRange
        Above Mach 0.9.

    Notes
    -----
    Small rates and angles; growth of the section in separated flow, so that a boat-tail
    does not pull it down. Jet damping is not part of it.

    References
    ----------
    .. [1] J. N. Nielsen, Missile Aerodynamics, McGraw-Hill 1960, chapter 10 (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> bool(pitch_damping(cone, (), 0.2) < 0.0)
    True
    """
    mach = np.asarray(mach, dtype=float)
    arms = body.growth.stations_m - centre_m
    growth = np.maximum(body.growth.separated_m2.trace(axis1=1, axis2=2), 0.0)
    mean = body.tensors_m2.trace(axis1=1, axis2=2) / 2
    lever = mean * (body.stations_m - centre_m)
    carried = float(np.sum(np.diff(body.stations_m) * (lever[1:] + lever[:-1]) / 2))
    own = (float(np.sum(growth * arms**2)) + 2 * carried) / body.reference_area_m2
    damping = np.full(mach.shape, max(own, 0.0))
    for fin in fins:
        slope = np.trace(fin.slope_per_rad) / 2 * fin.factor[1]
        damping = damping + slope * fin.mach_factor(mach) * (fin.centre_m - centre_m) ** 2
    return -2.0 * damping / body.width_m**2


def roll_damping(fins: Sequence[FinAir], mach: ArrayLike = 0.0) -> NDArray[np.float64]:
    """Roll moment coefficient per ``rate width / (2 V)`` from all fins [-], negative.

    The body's own roll damping is left out: small on round bodies, a help on square ones.
    """
    mach = np.asarray(mach, dtype=float)
    return np.asarray(sum((fin.roll_damping * fin.mach_factor(mach) for fin in fins), np.zeros(mach.shape)))
