"""The pressure band at its worst: up to an angle, at any roll."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_not_negative
from finial.core.estimates import Estimate, KnownBy

LEAST_FORCE = 0.5
"""A force of less than this per unit of sin(alpha), on the largest section, has no centre worth the
name: a slender nose has 2. The moment over this much stands in its place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BandGrid:
    """Centre of pressure over angle of attack and roll, with both ends of its band."""

    angles_rad: NDArray[np.float64]
    """(a,), from 0 up."""
    rolls_rad: NDArray[np.float64]
    """(r,)."""
    central_m: NDArray[np.float64]
    """Station [m], (a, r)."""
    forward_m: NDArray[np.float64]
    aft_m: NDArray[np.float64]


def worst_up_to(band: BandGrid, alpha_rad: float) -> tuple[Estimate, float]:
    r"""Band where its forward end lies furthest forward, up to an angle and at any roll.

    .. math::  \min_{\phi,\ 0 \le a \le \alpha} x_{\mathrm{forward}}(a, \phi)

    Parameters
    ----------
    band : BandGrid
        Centres of pressure and their ends.
    alpha_rad : float
        Largest angle that is met, :math:`\alpha` [rad].

    Returns
    -------
    pressure : Estimate
        Station of the centre of pressure there [m]; outside its range where the angle is beyond
        the band's last.
    roll_rad : float
        Roll angle of the cross wind there [rad].

    Raises
    ------
    OutsideRange
        If the angle is below zero.

    Notes
    -----
    Linear between the band's angles; beyond the last of them the last stands.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> rows = np.array([[0.5, 0.6], [0.7, 0.4]])
    >>> grid = BandGrid(
    ...     angles_rad=np.array([0.0, 0.2]),
    ...     rolls_rad=np.array([0.0, 1.0]),
    ...     central_m=rows,
    ...     forward_m=rows - 0.1,
    ...     aft_m=rows + 0.1,
    ... )
    >>> pressure, roll = worst_up_to(grid, 0.1)
    >>> round(pressure.low, 6), roll
    (0.4, 0.0)
    """
    require_not_negative(alpha_rad=alpha_rad)
    grid = band.angles_rad
    angles: NDArray[np.float64] = np.append(grid[grid < alpha_rad], min(alpha_rad, grid[-1]))
    forward = np.vstack([band.forward_m[grid < alpha_rad], _row_at(grid, band.forward_m, angles[-1])])
    lowest = int(forward.argmin())
    angle, roll = divmod(lowest, forward.shape[1])
    at = float(angles[angle])
    central = float(np.interp(at, grid, band.central_m[:, roll]))
    aft = float(np.interp(at, grid, band.aft_m[:, roll]))
    pressure = Estimate(
        value=central,
        low=float(forward[angle, roll]),
        high=aft,
        known_by=KnownBy.COMPUTED,
        method="pressure band at the worst roll angle",
        inside_range=bool(alpha_rad <= grid[-1]),
    )
    return pressure, float(band.rolls_rad[roll])


def _row_at(
    grid_rad: NDArray[np.float64], values: NDArray[np.float64], angle_rad: float
) -> NDArray[np.float64]:
    """Values over roll at an angle within the grid, linear between its angles."""
    before = max(int(np.searchsorted(grid_rad, angle_rad, side="right")) - 1, 0)
    if before == len(grid_rad) - 1:
        return values[before]
    slopes = (values[before + 1] - values[before]) / (grid_rad[before + 1] - grid_rad[before])
    return slopes * (angle_rad - grid_rad[before]) + values[before]


def margin_between(pressure: Estimate, balance: Estimate) -> Estimate:
    r"""Room between balance point and centre of pressure.

    .. math::  m = x_p - x_c, \qquad m^- = x_p^- - x_c^+

    Parameters
    ----------
    pressure : Estimate
        Station of the centre of pressure, :math:`x_p` [m].
    balance : Estimate
        Station of the balance point, :math:`x_c` [m].

    Returns
    -------
    margin : Estimate
        Positive when the pressure acts aft of the balance point [m]; a guess only where the balance
        point's own guess is the wider interval.

    Raises
    ------
    OutsideRange
        If a number is not finite.

    Notes
    -----
    Both ends at their worst at once.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> from finial.core.estimates import exact, spread
    >>> round(margin_between(exact(1.0), spread(0.5, 0.1, known_by=KnownBy.ASSUMED)).low, 6)
    0.45
    """
    guessed = balance.known_by is KnownBy.ASSUMED and balance.half_width > pressure.half_width
    return Estimate(
        value=pressure.value - balance.value,
        low=pressure.low - balance.high,
        high=pressure.high - balance.low,
        known_by=KnownBy.ASSUMED if guessed else KnownBy.COMPUTED,
        method="pressure band less balance point",
        inside_range=pressure.inside_range,
    )
