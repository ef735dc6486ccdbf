"""Normal force along a slender body from the growth of its added mass."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange


def base_slope(base_added_mass_m2: ArrayLike, reference_area_m2: float) -> NDArray[np.float64]:
    r"""Return the normal force slope of a slender body that ends in a blunt base.

    .. math::  C_{N\alpha} = 2 A_{base} / S

    Parameters
    ----------
    base_added_mass_m2 : array_like, shape (2, 2)
        Added mass per density of the base section, :math:`A` [m^2].
    reference_area_m2 : float
        Reference area, :math:`S` [m^2].

    Returns
    -------
    slope_per_rad : ndarray, shape (2, 2)
        Slope tensor in body axes y and z [1/rad].

    Raises
    ------
    OutsideRange
        If the reference area is not positive.

    Notes
    -----
    Holds for slender bodies at small angles and attached flow, whatever the section.
    Against three-dimensional potential flow the slope is a few per cent high for
    bodies less than four widths long.

    References
    ----------
    .. [1] M. M. Munk, The aerodynamic forces on airship hulls, NACA R-184, 1924.
    .. [2] R. T. Jones, Properties of low-aspect-ratio pointed wings, NACA R-835, 1946.

    Examples
    --------
    >>> base_slope(np.pi * np.eye(2), np.pi)[0, 0].item()
    2.0
    """
    if not reference_area_m2 > 0:
        raise OutsideRange(f"the reference area must be positive: got {reference_area_m2}")
    return 2.0 * np.asarray(base_added_mass_m2, dtype=float) / reference_area_m2


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


def nose_pressure_centre_m(volume_m3: float, base_area_m2: float, length_m: float) -> float:
    r"""Slender-body centre of pressure of a pointed nose from its volume.

    .. math::  x / L = 1 - V / (A_{base} L)

    Parameters
    ----------
    volume_m3, base_area_m2, length_m : float
        Volume :math:`V` [m^3], base area :math:`A_{base}` [m^2] and length :math:`L` [m].

    Returns
    -------
    station_m : float
        Distance aft of the tip [m].

    Raises
    ------
    OutsideRange
        If any of the three is not positive.

    Notes
    -----
    Holds for sections that keep their shape. Three-dimensional flow moves the centre
    of a cone of fineness 3 aft by a quarter of its base width.

    References
    ----------
    .. [1] M. M. Munk, NACA R-184, 1924; arithmetic of the area curve.

    Examples
    --------
    >>> round(nose_pressure_centre_m(1 / 3, 1.0, 1.0), 4)
    0.6667
    """
    if not min(volume_m3, base_area_m2, length_m) > 0:
        raise OutsideRange("a nose needs a positive volume, base area and length")
    return length_m - volume_m3 / base_area_m2


def slender_moment_area(
    stations_m: NDArray[np.float64], tensors_m2: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Moment of the slender-body normal force about the tip, nose-down positive.

    .. math::  M / (q \alpha) = 2 \int x \, dA = 2 \left( x A |_0^L - \int A \, dx \right)

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations, :math:`x` [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass per density of each section, :math:`A` [m^2].

    Returns
    -------
    moment_m3 : ndarray, shape (2, 2)
        Over dynamic pressure and angle [m^3].

    Notes
    -----
    Slender bodies at small angles, attached flow. A body closed at both ends keeps :math:`-2 \int A dx`: the
    nose-up moment of Munk.

    References
    ----------
    .. [1] M. M. Munk, The aerodynamic forces on airship hulls, NACA R-184, 1924.

    Examples
    --------
    >>> tensors = np.array([0.0, 1.0, 0.0])[:, None, None] * np.eye(2)
    >>> slender_moment_area(np.array([0.0, 1.0, 2.0]), tensors)[0, 0].round(3).item()
    -1.333
    """
    sizes = np.sqrt(np.maximum(np.trace(tensors_m2, axis1=1, axis2=2) / 2, 0.0))
    arms = growth_stations(stations_m, sizes)
    growth = np.diff(tensors_m2, axis=0)
    return 2.0 * (np.einsum("n,nij->ij", arms, growth) + stations_m[0] * tensors_m2[0])
