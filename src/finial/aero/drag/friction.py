"""Skin friction of smooth and rough surfaces."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """How the outside was made."""

    layer_height_m: float = 0.2e-3
    smooth: bool = False
    """Sanded and painted: no roughness from layers."""

    @property
    def roughness_m(self) -> float:
        """Sand-grain height [m]: a fifth of the layer height, common practice 20 to 60 um."""
        return 0.0 if self.smooth else self.layer_height_m / 5


def laminar_friction(reynolds: ArrayLike) -> NDArray[np.float64]:
    r"""Mean friction coefficient of one side of a smooth plate, laminar.

    .. math::  C_f = 1.328 / \sqrt{Re}

    Parameters
    ----------
    reynolds : array_like, shape (...)
        Reynolds number on the plate's length [-].

    Returns
    -------
    friction : ndarray
        [-], on the wetted area.

    Raises
    ------
    OutsideRange
        If a Reynolds number is not above 1000.

    Notes
    -----
    Holds from 1e3 to about 5e5 on a smooth plate; printed layers trip earlier.

    References
    ----------
    .. [1] H. Blasius, 1908; H. Schlichting, Boundary-Layer Theory, 7th ed. 1979.

    Examples
    --------
    >>> laminar_friction(1e6).round(6).item()
    0.001328
    """
    return 1.328 / np.sqrt(_checked(reynolds))


def turbulent_friction(reynolds: ArrayLike) -> NDArray[np.float64]:
    r"""Mean friction coefficient of one side of a smooth plate, turbulent.

    .. math::  C_f = 0.455 / (\log_{10} Re)^{2.58}

    Parameters
    ----------
    reynolds : array_like, shape (...)
        Reynolds number on the plate's length [-].

    Returns
    -------
    friction : ndarray
        [-], on the wetted area.

    Raises
    ------
    OutsideRange
        If a Reynolds number is not above 1000.

    Notes
    -----
    Holds from 1e5 to 1e9, within 5 %.

    References
    ----------
    .. [1] H. Schlichting, Boundary-Layer Theory, 7th ed. 1979 (from memory, not re-read).

    Examples
    --------
    >>> turbulent_friction(1e6).round(6).item()
    0.004471
    """
    return 0.455 / np.log10(_checked(reynolds)) ** 2.58


def rough_friction(length_over_roughness: ArrayLike) -> NDArray[np.float64]:
    r"""Mean friction coefficient of one side of a fully rough plate.

    .. math::  C_f = (1.89 + 1.62 \log_{10}(L / \epsilon))^{-2.5}

    Parameters
    ----------
    length_over_roughness : array_like, shape (...)
        Plate length over sand-grain height, :math:`L / \epsilon` [-].

    Returns
    -------
    friction : ndarray
        [-], on the wetted area.

    Raises
    ------
    OutsideRange
        If the ratio is not above 100.

    Notes
    -----
    Holds from 1e2 to 1e6 in fully rough flow, within 10 %.

    References
    ----------
    .. [1] H. Schlichting, Boundary-Layer Theory, 7th ed. 1979 (from memory, not re-read).

    Examples
    --------
    >>> rough_friction(1e4).round(6).item()
    0.004934
    """
    ratio = np.asarray(length_over_roughness, dtype=float)
    if not np.all((ratio >= 100) & np.isfinite(ratio)):
        raise OutsideRange(f"length over roughness must be at least 100: got {length_over_roughness}")
    return (1.89 + 1.62 * np.log10(ratio)) ** -2.5


def surface_friction(reynolds: ArrayLike, length_m: float, roughness_m: float) -> NDArray[np.float64]:
    """Friction of a turbulent surface: the larger of the smooth and the fully rough value.

    Parameters
    ----------
    reynolds : array_like, shape (...)
        Reynolds number on the surface's length [-].
    length_m, roughness_m : float
        Length of the surface and sand-grain height [m]; 0 or less is smooth.

    Returns
    -------
    coefficient : ndarray, shape (...)
        Mean over one side, on its area [-].

    Raises
    ------
    OutsideRange
        If a Reynolds number is below 1000 or not a number.

    Notes
    -----
    Holds where one of the two does; the passage between them is left out. A length below 100 roughness
    heights counts as 100.

    References
    ----------
    .. [1] As ``turbulent_friction`` and ``rough_friction``; taking the larger is common practice.

    Examples
    --------
    >>> surface_friction(1e6, 1.0, 40e-6).round(6).item()
    0.004471
    """
    smooth = turbulent_friction(reynolds)
    if roughness_m <= 0:
        return smooth
    return np.maximum(smooth, rough_friction(max(length_m / roughness_m, 100.0)))


def _checked(reynolds: ArrayLike) -> NDArray[np.float64]:
    values = np.asarray(reynolds, dtype=float)
    if not np.all((values >= 1e3) & np.isfinite(values)):
        raise OutsideRange(f"friction needs a Reynolds number of at least 1000: got {reynolds}")
    return values
