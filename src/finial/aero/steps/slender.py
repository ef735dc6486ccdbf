"""Normal force along a slender body from the growth of its added mass."""

import numpy as np
from numpy.typing import NDArray


def growth_stations(stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Stations where the growth between neighbouring sections acts.

    .. math::  x = x_1 + (x_2 - x_1) \frac{2 r_2 + r_1}{3 (r_1 + r_2)}

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations, :math:`x` [m].
    sizes_m : ndarray, shape (n,)
        Square root of the added mass, :math:`r` [m].

    Returns
    -------
    stations_m : ndarray, shape (n - 1,)
        Centroid of the growth over each space [m].

    Notes
    -----
    Exact for a size that is linear between sections.

    References
    ----------
    .. [1] Centroid of :math:`d(r^2)/dx` for linear r: any text on calculus.

    Examples
    --------
    A cone's growth acts at two thirds of its length.

    >>> growth_stations(np.array([0.0, 3.0]), np.array([0.0, 1.0])).tolist()
    [2.0]
    """
    first, second = sizes_m[:-1], sizes_m[1:]
    both = np.maximum(first + second, 1e-300)
    return stations_m[:-1] + np.diff(stations_m) * (2 * second + first) / (3 * both)
