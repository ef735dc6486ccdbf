"""The exact ellipsoid: what three-dimensional flow adds to the moment in each plane of a flat body."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange

_EVEN = 1e-3
"""Mean squared sizes of two planes that differ by less than this share are equal."""


def ellipsoid_relief(length_m: float, half_widths_m: tuple[float, float]) -> tuple[float, float]:
    r"""How far attached flow round half an ellipsoid falls short of its slender moment, in both planes.

    .. math::  \Delta_i = \tfrac43 \pi L b_j^2 - V (k_i - k_x), \qquad k = \frac{\alpha}{2 - \alpha}, \quad
               \alpha_i = L b_1 b_2 \int_0^\infty \frac{d\lambda}{(a_i^2 + \lambda) \, p(\lambda)}

    with :math:`p^2 = (L^2 + \lambda)(b_1^2 + \lambda)(b_2^2 + \lambda)` and :math:`V` the
    volume of the whole ellipsoid.

    Parameters
    ----------
    length_m : float
        From the tip to the flat base at the widest section, :math:`L` [m].
    half_widths_m : tuple of float
        Half widths :math:`b_1` along the first axis across and :math:`b_2` along the second [m].

    Returns
    -------
    relief_m3 : tuple of float
        Moment area to add for motion along the first and the second axis [m^3], as
        ``moment_relief`` gives it for a body of revolution.

    Raises
    ------
    OutsideRange
        If a size is not positive.

    Notes
    -----
    Exact, attached flow; no limit on the proportions.

    References
    ----------
    .. [1] H. Lamb, Hydrodynamics, 6th ed. 1932, article 114: added masses of the ellipsoid (from memory).
    .. [2] M. M. Munk, NACA R-184, 1924: the moment from them.

    Examples
    --------
    Half a sphere: added masses across and along are equal.

    >>> [round(each / (4 / 3 * np.pi), 9) for each in ellipsoid_relief(1.0, (1.0, 1.0))]
    [1.0, 1.0]
    """
    from scipy.special import elliprd

    length, (first, second) = length_m, half_widths_m
    if not min(length, first, second) > 0:
        raise OutsideRange("an ellipsoid needs three positive sizes")
    volume = 4 / 3 * np.pi * length * first * second
    squares = length**2, first**2, second**2

    def added(axis: int) -> float:
        others = [square for number, square in enumerate(squares) if number != axis]
        share = 2 / 3 * length * first * second * float(elliprd(*others, squares[axis]))
        return share / (2 - share)

    slender = 4 / 3 * np.pi * length
    along = added(0)
    return (
        slender * second**2 - volume * (added(1) - along),
        slender * first**2 - volume * (added(2) - along),
    )


def relief_by_plane(stations_m: NDArray[np.float64], tensors_m2: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Relief in each plane over that of a body of revolution of the same mean size, shape (2, 2) [-].

    .. math::  F = \sum_i e_i \frac{\Delta_i(L_e, b_1, b_2)}{\Delta(L_e, b)} e_i^T, \qquad
               b_j = b \sqrt{\overline{A_i} / \overline{A}}

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Section stations, rising [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass of each section [m^2]; :math:`e_i` are the axes of their integral.

    Returns
    -------
    factor : ndarray, shape (2, 2)
        A share in each plane [-]: the unit matrix for a body alike in both planes.

    Raises
    ------
    OutsideRange
        If no section has an added mass.

    Notes
    -----
    Exact for half an ellipsoid; for other bodies it takes theirs of the same volume of added
    mass: :math:`L_e` is one and a half times the integral of the mean added mass over its
    largest.

    References
    ----------
    .. [1] H. Lamb, Hydrodynamics, 6th ed. 1932, article 114 (from memory).

    Examples
    --------
    >>> flat = np.repeat(np.diag([1.0, 4.0])[None], 2, axis=0)
    >>> relief_by_plane(np.array([0.0, 3.0]), flat).round(2).tolist()
    [[0.46, 0.0], [0.0, 1.27]]
    """
    step = np.diff(stations_m)[:, None, None]
    whole = np.sum(step * (tensors_m2[1:] + tensors_m2[:-1]) / 2, axis=0)
    mean = float(whole.trace()) / 2
    if not mean > 0:
        raise OutsideRange("no section has an added mass")
    planes, axes = np.linalg.eigh((whole + whole.T) / 2)
    if planes[1] - planes[0] < _EVEN * mean:
        return np.eye(2)
    widest = float(tensors_m2.trace(axis1=1, axis2=2).max()) / 2
    length, size = 1.5 * mean / widest, np.sqrt(widest / np.pi)
    # Motion along one axis feels the width along the other.
    across = np.sqrt(np.maximum(planes, 1e-6 * mean) / mean)[::-1] * size
    each = ellipsoid_relief(length, (float(across[0]), float(across[1])))
    even, _ = ellipsoid_relief(length, (float(size), float(size)))
    return (axes * (np.array(each) / even)) @ axes.T
