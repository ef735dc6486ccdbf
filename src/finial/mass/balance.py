"""Balance point of many bodies whose masses and stations are intervals."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One body's mass [kg] and station [m]."""

    mass: Estimate
    station: Estimate


def balance_point(shares: Sequence[Share]) -> Estimate:
    r"""Station of the balance point [m] with the extremes that the intervals allow.

    .. math::  x = \sum m_i s_i / \sum m_i, \qquad
               x_{max} = \max_{m_i \in \{m_i^-, m_i^+\}} \sum m_i s_i^+ / \sum m_i

    At the aft extreme every body aft of the point is as heavy as it may be and every body
    forward of it as light: three or four rounds find it exactly.

    Parameters
    ----------
    shares : sequence of Share
        Masses [kg] and stations [m] with their intervals.

    Returns
    -------
    station : Estimate
        Balance point [m], known as well as the weakest mass.

    Raises
    ------
    OutsideRange
        If there are no bodies, or a mass is negative, or all may be zero.

    Notes
    -----
    Exact: no station inside the intervals is left out, none outside is let in. Masses and
    stations are taken as free of one another; where they are not, the ends are too far apart.

    References
    ----------
    .. [1] Dinkelbach, On nonlinear fractional programming, Management Science 13 (1967) 492;
       from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy, exact, spread
    >>> light = Share(mass=spread(1.0, 0.5, known_by=KnownBy.ASSUMED), station=exact(0.0))
    >>> heavy = Share(mass=exact(1.0), station=exact(1.0))
    >>> found = balance_point([light, heavy])
    >>> round(found.low, 6), found.value, round(found.high, 6)
    (0.4, 0.5, 0.666667)
    """
    light = np.array([share.mass.low for share in shares])
    heavy = np.array([share.mass.high for share in shares])
    if not len(shares) or (light < 0.0).any() or not light.sum() > 0.0:
        raise OutsideRange("a balance point needs bodies with masses of zero or more and a sum above zero")
    masses = np.array([share.mass.value for share in shares])
    middle = float(masses @ [share.station.value for share in shares] / masses.sum())
    aft = _farthest_aft(np.array([share.station.high for share in shares]), light, heavy)
    fore = -_farthest_aft(np.array([-share.station.low for share in shares]), light, heavy)
    parts = [part for share in shares for part in (share.mass, share.station)]
    return Estimate(
        value=middle,
        low=min(fore, middle),
        high=max(aft, middle),
        known_by=max(part.known_by for part in parts),
        method="masses and stations at their worst ends",
        inside_range=all(part.inside_range for part in parts),
    )


def _farthest_aft(
    stations_m: NDArray[np.float64], light: NDArray[np.float64], heavy: NDArray[np.float64]
) -> float:
    point = float(light @ stations_m / light.sum())
    while True:
        masses = np.where(stations_m > point, heavy, light)
        further = float(masses @ stations_m / masses.sum())
        if further <= point + 1e-12:
            return further
        point = further
