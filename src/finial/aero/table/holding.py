"""At what angle a vehicle holds that does not fly straight."""

import numpy as np
from numpy.typing import NDArray

from finial.aero.table.record import AirTable
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept

_STEPS = 721


def holding_angle(table: AirTable, balance_m: float) -> float:
    r"""Smallest angle of attack from which on the air turns the tip back, at the worst roll.

    .. math::  x_p(\alpha) \ge x_c \quad \mathrm{first\ from\ } \alpha_h \mathrm{\ on}

    Parameters
    ----------
    table : AirTable
        Air loads; those at its first Mach number are used.
    balance_m : float
        Station of the balance point, :math:`x_c` [m].

    Returns
    -------
    angle_rad : float
        0 for a vehicle that flies straight; pi for one that flies base first or tumbles [rad].

    Raises
    ------
    OutsideRange
        If the balance point is not a number.

    Notes
    -----
    Central guesses, without the motor, without turning; the angle at which no moment is left and a
    little more is righted. A vehicle at rest in it swings about it.

    References
    ----------
    .. [1] Sign of the moment, no source.

    Examples
    --------
    A cone balanced ahead of its centre of pressure flies straight, one balanced at its base does not.

    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.table.build import TableInputs, air_table
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> table = air_table(cone, (), TableInputs(damping_centre_m=0.2))
    >>> holding_angle(table, 0.15)
    0.0
    >>> holding_angle(table, 0.29) > 1.0
    True
    """
    if not np.isfinite(balance_m):
        raise OutsideRange(f"the balance point must be finite: got {balance_m}")
    fine = np.linspace(0.0, np.pi, _STEPS)
    along, moment = (
        _finely(fine, table.alpha_rad, each[:, :, 0]) for each in (table.along, table.along_moment)
    )
    rights = (moment * table.width_m - balance_m * along)[:-1] >= 0.0
    first = np.where(rights.any(axis=0), fine[rights.argmax(axis=0)], np.pi)
    return float(first.max())


# The balance point moves on the page, and the loads about it stay.
@kept(8)
def _finely(
    fine_rad: NDArray[np.float64], alpha_rad: NDArray[np.float64], loads: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Interpolate loads between the nodes of the angle, shape (fine, roll)."""
    after = np.searchsorted(alpha_rad, fine_rad, side="right")
    row = np.minimum(after, len(alpha_rad) - 1) - 1
    slopes = np.diff(loads, axis=0) / np.diff(alpha_rad)[:, None]
    found = slopes[row] * (fine_rad - alpha_rad[row])[:, None] + loads[row]
    found[after == len(alpha_rad)] = loads[-1]
    return found
