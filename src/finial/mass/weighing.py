# pyright: reportUnknownVariableType=false, reportUnknownMemberType=false
# scipy leaves the types of its solvers open.
"""The whole on a scale: what two scales say together, and the mass table made to agree with it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, total
from finial.mass.balance import Share

_SCALE_COUNTS = 1000.0
"""How much more what was weighed counts than a row of the table, in widths of either [-]."""


def two_scales(first: Share, second: Share) -> Share:
    r"""Mass and balance point of what lies level on two scales.

    .. math::  m = m_1 + m_2, \qquad x = \frac{m_1 x_1 + m_2 x_2}{m_1 + m_2}

    Parameters
    ----------
    first, second : Share
        What each scale shows [kg], and the station that bears on it [m].

    Returns
    -------
    Share
        Mass [kg] and balance point [m].

    Raises
    ------
    OutsideRange
        If a scale shows nothing, or both stand at one station.

    Notes
    -----
    Range: two bearings and nothing else, each bearing at one station. A vehicle that does not
    lie level shifts both readings by its height over the scales times the slope.

    References
    ----------
    .. [1] Balance of forces and moments: any text on statics.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> found = two_scales(
    ...     Share(mass=exact(3.0), station=exact(0.2)), Share(mass=exact(1.0), station=exact(1.0))
    ... )
    >>> found.mass.value, round(found.station.value, 9)
    (4.0, 0.4)
    """
    require_positive(first_kg=first.mass.low, second_kg=second.mass.low)
    if not abs(first.station.value - second.station.value) > 0.0:
        raise OutsideRange("two scales at one station say nothing of the balance point")
    station = over_corners(
        lambda m, n, x, y: (m * x + n * y) / (m + n),
        {"m": first.mass, "n": second.mass, "x": first.station, "y": second.station},
        method="moments of two scales",
    )
    return Share(mass=total((first.mass, second.mass), method="sum of two scales"), station=station)


def without(whole: Share, taken: Share) -> Share:
    r"""Mass and balance point of what is left when a body is taken out.

    .. math::  m = M - m_1, \qquad x = \frac{M X - m_1 x_1}{M - m_1}

    Parameters
    ----------
    whole, taken : Share
        Masses [kg] and balance points [m] of the whole and of what is taken out of it.

    Returns
    -------
    Share
        Mass [kg] and balance point [m] of the rest.

    Raises
    ------
    OutsideRange
        If what is taken out may weigh as much as the whole.

    Notes
    -----
    Exact at the corners of all four intervals.

    References
    ----------
    .. [1] Balance of forces and moments: any text on statics.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> left = without(
    ...     Share(mass=exact(4.0), station=exact(0.4)), Share(mass=exact(1.0), station=exact(1.0))
    ... )
    >>> left.mass.value, round(left.station.value, 9)
    (3.0, 0.2)
    """
    if not whole.mass.low > taken.mass.high:
        raise OutsideRange("the whole weighs no more than what is taken out of it")
    parts = {"m": whole.mass, "n": taken.mass, "x": whole.station, "y": taken.station}
    return Share(
        mass=over_corners(
            lambda m, n: m - n, {"m": whole.mass, "n": taken.mass}, method="the whole less what is taken out"
        ),
        station=over_corners(
            lambda m, n, x, y: (m * x - n * y) / (m - n), parts, method="moments less what is taken out"
        ),
    )


def agreeing_masses(
    shares: Sequence[Share], mass: Estimate, station: Estimate | None = None
) -> NDArray[np.float64]:
    r"""Masses of the table that agree best with the whole as weighed, each within its own interval.

    .. math::  \min_{m_i^- \le m_i \le m_i^+} \; \sum_i \left(\frac{m_i - m_i^0}{h_i}\right)^2
               + k^2 \left(\frac{\sum m_i - M}{h_M}\right)^2
               + k^2 \left(\frac{\sum m_i (s_i - X)}{M h_X}\right)^2, \qquad k = 1000

    Parameters
    ----------
    shares : sequence of Share
        Masses :math:`m_i^0` [kg] with half widths :math:`h_i`, and stations :math:`s_i` [m].
    mass : Estimate
        Of the whole, as weighed, :math:`M` [kg].
    station : Estimate, optional
        Where the whole balances, :math:`X` [m]; the mass alone counts without it.

    Returns
    -------
    masses_kg : ndarray, shape (n,)
        One for each share [kg]. What is weighed well hardly moves; what is guessed moves most.

    Raises
    ------
    OutsideRange
        If there is no share, or the mass or a width of what was weighed is not above zero.

    Notes
    -----
    Range: any. The scale counts so much more than the table that the masses add up to it wherever
    they can. Where the table's intervals cannot reach what was weighed, the nearest they can
    reach comes back: compare the sums.

    References
    ----------
    .. [1] Bounded least squares: Stark and Parker, Computational Statistics 10 (1995) 129, as in
       the numerical library that solves it; from memory, not re-read.

    Examples
    --------
    A guess of 1 kg beside 2 kg as weighed; the whole weighs 3.2 kg:

    >>> from finial.core.estimates import KnownBy, exact, spread
    >>> guess = Share(mass=spread(1.0, 0.5, known_by=KnownBy.ASSUMED), station=exact(0.0))
    >>> known = Share(mass=spread(2.0, 0.001, known_by=KnownBy.WEIGHED), station=exact(1.0))
    >>> agreeing_masses([guess, known], spread(3.2, 0.001, known_by=KnownBy.WEIGHED)).round(2).tolist()
    [1.2, 2.0]
    """
    if not shares:
        raise OutsideRange("a mass table needs at least one row")
    require_positive(mass_kg=mass.low, mass_width_kg=mass.half_width)
    told = np.array([share.mass.value for share in shares])
    widths = np.array([share.mass.half_width for share in shares])
    free = widths > 0.0
    if not free.any():
        return told
    ways = [(np.ones(told.size), mass.value, mass.half_width)]
    if station is not None:
        require_positive(station_width_m=station.half_width)
        arms = np.array([share.station.value for share in shares]) - station.value
        ways.append((arms, 0.0, mass.value * station.half_width))
    light = np.array([share.mass.low for share in shares])
    heavy = np.array([share.mass.high for share in shares])
    # In steps of each row's own half width: all rows then count alike.
    ends = tuple((end - told)[free] / widths[free] for end in (light, heavy))
    whole = [_SCALE_COUNTS * (arms * widths)[free] / width for arms, _, width in ways]
    asked = np.vstack([np.eye(int(free.sum())), *whole])
    short = [_SCALE_COUNTS * (wanted - arms @ told) / width for arms, wanted, width in ways]
    # Its import costs a fifth of a second: only where the whole was weighed.
    from scipy.optimize import lsq_linear

    found = lsq_linear(asked, np.concatenate([np.zeros(int(free.sum())), short]), ends, method="bvls")
    moved = told.copy()
    moved[free] += found.x * widths[free]
    return np.clip(moved, light, heavy)
