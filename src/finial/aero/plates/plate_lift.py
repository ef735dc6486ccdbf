"""Lift slope of a flat plate wing in closed form."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange

LARGEST_MACH = 0.9


def subsonic_beta(mach: ArrayLike) -> NDArray[np.float64]:
    r"""Prandtl-Glauert factor.

    .. math::  \beta = \sqrt{1 - M^2}

    Parameters
    ----------
    mach : array_like, shape (...)
        Free-stream Mach number [-].

    Returns
    -------
    beta : ndarray, shape (...)
        Factor [-].

    Raises
    ------
    OutsideRange
        Below Mach 0, above Mach 0.9, or not a number.

    Notes
    -----
    Linear theory of thin bodies; from about Mach 0.8 on shocks make it optimistic.

    References
    ----------
    .. [1] H. Glauert, Proc. Royal Society A 118 (1928) 113; from memory, not re-read.

    Examples
    --------
    >>> subsonic_beta(0.6).item()
    0.8
    """
    mach = np.asarray(mach, dtype=float)
    if not np.all((mach >= 0) & (mach <= LARGEST_MACH)):
        raise OutsideRange(
            f"Mach number {mach.max() if mach.size else mach}: air loads are known from 0 to {LARGEST_MACH}"
        )
    return np.sqrt(1.0 - mach**2)


def diederich_slope(
    aspect_ratio: ArrayLike, mid_chord_sweep_rad: ArrayLike, mach: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Lift slope of a swept tapered plate, per its area.

    .. math::  C_{L\alpha} = \frac{2 \pi AR}{2 + \sqrt{4 + AR^2 (\beta^2 + \tan^2 \Lambda)}}

    Parameters
    ----------
    aspect_ratio : array_like, shape (...)
        Span squared over area of both halves [-].
    mid_chord_sweep_rad : array_like, shape (...)
        Sweep of the mid-chord line, :math:`\Lambda` [rad].
    mach : array_like, shape (...)
        Free-stream Mach number [-].

    Returns
    -------
    slope_per_rad : ndarray
        [1/rad].

    Raises
    ------
    OutsideRange
        If an aspect ratio is not positive, or the Mach number is outside 0 to 0.9.

    Notes
    -----
    Within 5 % of a vortex lattice from aspect ratio 0.5 to 4 at small angles.

    References
    ----------
    .. [1] F. W. Diederich, A plan-form parameter for correlating certain aerodynamic
       characteristics of swept wings, NACA TN 2335, 1951 (from memory, not re-read).

    Examples
    --------
    >>> diederich_slope(2.0, np.radians(30.0)).round(3).item()
    2.486
    """
    ratio = np.asarray(aspect_ratio, dtype=float)
    if not np.all(ratio > 0):
        raise OutsideRange(f"aspect ratio must be positive: got {aspect_ratio}")
    beta = subsonic_beta(mach)
    tangent = np.tan(np.asarray(mid_chord_sweep_rad, dtype=float))
    return 2 * np.pi * ratio / (2 + np.sqrt(4 + ratio**2 * (beta**2 + tangent**2)))
