"""What flats across the wind add to a swing instead of taking it away: galloping."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir, integral_along
from finial.core.doors import require_not_negative

STEEPER = (1.0, 1.6, 2.35)
"""Least, usual and most slope of the side force over the section's own [-]: a square has 2.0 per radian
here, 3.3 in EN 1991-1-4 (galloping factor 1.2 over its drag) and 4.7 in a calm tunnel (2.7)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Galloping:
    """What drives a swing across the wind, by the direction of that wind; each shape (roll,)."""

    areas_m2: NDArray[np.float64]
    """Driving width summed along the body; below zero where the wind damps."""
    moments_m3: NDArray[np.float64]
    """First moments of the same about the tip."""
    inertias_m4: NDArray[np.float64]
    """Second moments of the same about the tip."""


def galloping(body: BodyAir, steeper: float = STEEPER[1]) -> Galloping:
    r"""Width that drives a swing across the wind, over drag width that damps it.

    .. math::  g(x, \phi) = -\kappa \, \frac{\partial c_{side}}{\partial \phi} - c(x, \phi), \qquad
               G_n(\phi) = \int x^n g \, dx

    Parameters
    ----------
    body : BodyAir
        Drag and side-force widths of every section, :math:`c, c_{side}` [m].
    steeper : float
        Slope of the side force over the section's own, :math:`\kappa`, 0 or more [-].

    Returns
    -------
    galloping : Galloping
        :math:`G_0` to :math:`G_2` in each direction of the wind.

    Raises
    ------
    OutsideRange
        If the slope is below zero.

    Notes
    -----
    A section that moves across the wind meets it from a little ahead; a flat then pushes on the way it
    goes. It drives where the slope is larger than the drag (den Hartog). Square edges: 1.2 of their width by
    EN 1991-1-4, up to 2.7 in a calm tunnel, none where corners are round. Slopes are differences over five
    degrees: 4 % low on a square.

    References
    ----------
    .. [1] J. P. den Hartog, Mechanical Vibrations, 1956, section 7.5 (from memory).
    .. [2] EN 1991-1-4, annex E.2 and table E.7: galloping factor 1.2 of a square (from memory, not re-read).
    .. [3] G. V. Parkinson, J. D. Smith, Quarterly Journal of Mechanics and Applied Mathematics 17, 1964:
       2.69 on a square in smooth flow (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
    >>> square, tube = (
    ...     galloping(body_air(tapered_skin(outline, [(0.0, 0.1), (0.5, 0.1)])))
    ...     for outline in (lambda s: regular_polygon(4, s), lambda d: ellipse(d / 2, d / 2))
    ... )
    >>> bool(square.areas_m2.max() > 0.0 > tube.areas_m2.max())
    True
    """
    require_not_negative(steeper=steeper)
    rolls, stations = body.rolls_rad, body.stations_m
    driving = -steeper * _slope_round(body.side_widths_m, rolls) - body.drag_widths_m
    return Galloping(
        areas_m2=integral_along(stations, driving),
        moments_m3=integral_along(stations, driving * stations[:, None]),
        inertias_m4=integral_along(stations, driving * stations[:, None] ** 2),
    )


def _slope_round(widths_m: NDArray[np.float64], rolls_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slope over roll, whose last row is the first again."""
    once = widths_m[:, :-1]
    slope = (np.roll(once, -1, axis=1) - np.roll(once, 1, axis=1)) / (2.0 * (rolls_rad[1] - rolls_rad[0]))
    return np.hstack([slope, slope[:, :1]])
