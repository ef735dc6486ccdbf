"""Turbulence near the ground: lengths, intensities, spectra, and a frozen column of gusts."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange

_FOOT_M: Final = 0.3048
_LOWEST_M: Final = 10.0 * _FOOT_M
_HIGHEST_M: Final = 1000.0 * _FOOT_M
_ALOFT_M: Final = 2000.0 * _FOOT_M
_LENGTH_ALOFT_M: Final = 1750.0 * _FOOT_M
"""Scale length of every component from 2000 ft up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turbulence:
    """Scale lengths and intensities at one or more heights, arrays of one shape."""

    along_length_m: NDArray[np.float64]
    """Of the two horizontal components."""
    vertical_length_m: NDArray[np.float64]
    along_intensity_m_s: NDArray[np.float64]
    """Root mean square of each horizontal component."""
    vertical_intensity_m_s: NDArray[np.float64]


def low_level_turbulence(height_agl_m: ArrayLike, wind_20ft_m_s: float) -> Turbulence:
    r"""Dryden turbulence over the pad: of the ground below 1000 ft, longer above.

    .. math::

       L_w = h, \quad L_u = \frac{h}{(0.177 + 0.000823 h)^{1.2}}, \quad
       \sigma_w = 0.1 W_{20}, \quad \sigma_u = \frac{\sigma_w}{(0.177 + 0.000823 h)^{0.4}}

    with :math:`h` and :math:`L` in **feet**; from 2000 ft up :math:`L_u = L_w = 1750`, straight in between.

    Parameters
    ----------
    height_agl_m : array_like, shape (...)
        Height above ground [m]; below 10 ft taken as 10 ft.
    wind_20ft_m_s : float
        Mean wind 20 ft above ground, :math:`W_{20}` [m/s].

    Returns
    -------
    turbulence : Turbulence
        Scale lengths [m] and intensities [m/s].

    Raises
    ------
    OutsideRange
        If a height or the wind is negative or not finite.

    Notes
    -----
    Holds from 10 to 1000 ft over open ground in a wind that makes its own turbulence; thermals on
    a calm sunny day add some that this does not see. Above 1000 ft the intensity is that of 1000 ft, as
    strong up and down as across: how rough it is there no wind near the ground tells.

    References
    ----------
    .. [1] MIL-F-8785C, 1980, sections 3.7.2 (lengths above 2000 ft) and 3.7.3.4 (low-altitude disturbance
       model).

    Examples
    --------
    >>> level = low_level_turbulence(1000 * 0.3048, 10.0)
    >>> round(float(level.along_intensity_m_s), 6)
    1.0
    """
    height = np.asarray(height_agl_m, dtype=float)
    if not np.all((height >= 0.0) & np.isfinite(height)) or not 0.0 <= wind_20ft_m_s < np.inf:
        raise OutsideRange(f"height {height} m, wind {wind_20ft_m_s} m/s: accepted are 0 and more")
    feet = np.clip(height, _LOWEST_M, _HIGHEST_M) / _FOOT_M
    bracket = 0.177 + 0.000823 * feet
    vertical = np.full(height.shape, 0.1 * wind_20ft_m_s)
    return Turbulence(
        along_length_m=_longer_aloft(feet / bracket**1.2 * _FOOT_M, height),
        vertical_length_m=_longer_aloft(feet * _FOOT_M, height),
        along_intensity_m_s=vertical / bracket**0.4,
        vertical_intensity_m_s=vertical,
    )


def _longer_aloft(length_m: NDArray[np.float64], height_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Length near the ground as it goes over into that of the free air."""
    share = np.clip((height_m - _HIGHEST_M) / (_ALOFT_M - _HIGHEST_M), 0.0, 1.0)
    return length_m + share * (_LENGTH_ALOFT_M - length_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class GustColumn:
    """One frozen realisation of gusts over height; add it to the mean wind. Arrays of shape (n,)."""

    heights_m: NDArray[np.float64]
    east_m_s: NDArray[np.float64]
    north_m_s: NDArray[np.float64]
    up_m_s: NDArray[np.float64]


def gust_column(
    heights_m: NDArray[np.float64], wind_20ft_m_s: float, generator: np.random.Generator
) -> GustColumn:
    r"""Frozen gusts on a grid of heights, for a flight that goes mostly up and down.

    Each component is a first-order chain whose correlation over a step :math:`\Delta z` is
    :math:`e^{-\Delta z / L}`, scaled by the intensity at each height:

    .. math::  g_{k+1} = a g_k + \sqrt{1 - a^2}\, \xi_k, \quad a = e^{-\Delta z / L}

    Parameters
    ----------
    heights_m : ndarray, shape (n,)
        Heights above ground, rising strictly [m]; 5 to 10 m apart: closer costs steps, wider
        loses gusts shorter than that.
    wind_20ft_m_s : float
        Mean wind 20 ft above ground [m/s].
    generator : numpy.random.Generator
        The flight's own random stream; 3 n normal numbers are drawn.

    Returns
    -------
    gusts : GustColumn
        Gusts on the same heights [m/s].

    Raises
    ------
    OutsideRange
        If the heights do not rise strictly from 0 or above, or the wind is negative.

    Notes
    -----
    The exponential correlation is that of the Dryden spectrum along the path, with the local length and
    intensity. It is used for all three components although a vertical path crosses the horizontal
    ones, whose correlation falls a little faster.

    References
    ----------
    .. [1] MIL-F-8785C, 1980, section 3.7.3.4, lengths and intensities.

    Examples
    --------
    >>> column = gust_column(np.arange(0.0, 300.0, 5.0), 0.0, np.random.default_rng(1))
    >>> bool(np.all(column.east_m_s == 0.0))
    True
    """
    heights = np.asarray(heights_m, dtype=float)
    if heights.ndim != 1 or heights.size < 2 or np.any(np.diff(heights) <= 0.0):
        raise OutsideRange("gusts need two heights or more that rise strictly")
    low_level_turbulence(heights, wind_20ft_m_s)
    noise = generator.standard_normal((3, heights.size))
    keep, keep_up, along, vertical = gust_shares(heights).T
    return GustColumn(
        heights_m=heights,
        east_m_s=wind_20ft_m_s * along * _chain(noise[0], keep),
        north_m_s=wind_20ft_m_s * along * _chain(noise[1], keep),
        up_m_s=wind_20ft_m_s * vertical * _chain(noise[2], keep_up),
    )


def gust_shares(heights_m: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Shares that a chain of gusts keeps from the height below, and its intensities.

    .. math::  a_k = e^{-(z_k - z_{k-1}) / L}, \quad a_0 = 0, \qquad \sigma(z_k) / W_{20}

    Parameters
    ----------
    heights_m : ndarray, shape (n,)
        Heights above ground, rising strictly [m].

    Returns
    -------
    shares : ndarray, shape (n, 4)
        Share kept [-] along and vertical; intensity per wind at 20 ft [-] along and vertical.

    Raises
    ------
    OutsideRange
        If a height is negative or not finite.

    Notes
    -----
    The length over a step is the mean of its ends'.

    References
    ----------
    .. [1] MIL-F-8785C, 1980, section 3.7.3.4, lengths and intensities.

    Examples
    --------
    >>> gust_shares(np.array([0.0, 304.8]))[0].round(3).tolist()
    [0.0, 0.0, 0.196, 0.1]
    """
    level = low_level_turbulence(heights_m, 1.0)
    columns = [_kept(heights_m, length) for length in (level.along_length_m, level.vertical_length_m)]
    return np.column_stack([*columns, level.along_intensity_m_s, level.vertical_intensity_m_s])


def _kept(heights: NDArray[np.float64], lengths: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.concatenate([[0.0], np.exp(-np.diff(heights) / (0.5 * (lengths[1:] + lengths[:-1])))])


def _chain(noise: NDArray[np.float64], keep: NDArray[np.float64]) -> NDArray[np.float64]:
    values = np.empty_like(noise)
    value = 0.0
    for index, share in enumerate(keep):
        value = share * value + np.sqrt(1.0 - share**2) * noise[index]
        values[index] = value
    return values
