"""The angle from which vortices on the lee of a body stand lopsided and push it aside."""

import math

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy

_TIP = (0.1, 0.5)
"""A tip is taken as a cone between these shares of the largest radius: a needle on a roof is none of it."""
_LONG_BODY = 4.2
_SPREAD = 0.2
"""Angles seen on bodies of one shape lie so far apart: roughness and the Reynolds number (judgement)."""


def lopsided_from(half_angle_rad: float, slenderness: float) -> Estimate:
    r"""Angle of attack from which a pointed body may be pushed aside.

    .. math::  \alpha_0 = \min\left( 2 \theta, \arctan \frac{4.2\, d}{l} \right)

    Parameters
    ----------
    half_angle_rad : float
        Angle between the axis and the wall of the tip, :math:`\theta` [rad].
    slenderness : float
        Length over width, :math:`l / d` [-].

    Returns
    -------
    angle_rad : Estimate
        Between 80 and 120 % of the smaller of the two, at most a right angle [rad].

    Raises
    ------
    OutsideRange
        If one of them is not positive.

    Notes
    -----
    From there on the side force comes up to half and more of the normal force, to either side by chance of
    the surface, up to 60 degrees or so. Measured on round cones and ogives; on a body with sharp edges
    along it the vortices are held and the force is smaller. A tangent ogive 3.5 widths long with a tube
    behind it was seen to begin at 25 to 30 degrees.

    References
    ----------
    .. [1] E. R. Keener, G. T. Chapman, AIAA Journal 15, 1977: twice the half angle of the tip (from memory).
    .. [2] L. E. Ericsson, J. P. Reding, Asymmetric Vortex Shedding from Bodies of Revolution, Progress in
       Astronautics and Aeronautics 104, 1986: 4.2 widths over the length (from memory, not re-read).

    Examples
    --------
    A cone of 10 degrees half angle, and a long tube with a blunt tip.

    >>> [round(math.degrees(lopsided_from(math.radians(h), s).value), 1) for h, s in ((10, 3), (90, 10))]
    [20.0, 22.8]
    """
    require_positive(half_angle_rad=half_angle_rad, slenderness=slenderness)
    angle = min(2.0 * half_angle_rad, math.atan(_LONG_BODY / slenderness))
    ends = [min(share * angle, math.pi / 2.0) for share in (1.0 - _SPREAD, 1.0, 1.0 + _SPREAD)]
    return Estimate(
        low=ends[0],
        value=ends[1],
        high=ends[2],
        known_by=KnownBy.HANDBOOK,
        method="twice the half angle of the tip, or 4.2 widths over the length",
        source="Keener and Chapman 1977; Ericsson and Reding 1986 (from memory)",
    )


def tip_half_angle(body: BodyAir) -> float:
    r"""Half angle of the cone that a tip is like.

    .. math::  \theta = \arctan \frac{0.4\, r}{x_{0.5} - x_{0.1}}

    Parameters
    ----------
    body : BodyAir
        Its sections give the radius of the circle of the same area, at most :math:`r`; :math:`x_{0.1}` and
        :math:`x_{0.5}` are where that first is a tenth and half of it [m].

    Returns
    -------
    half_angle_rad : float
        A right angle for a flat front [rad].

    Notes
    -----
    Exact on a cone; on an ogive some way between the angle at the tip and that of the chord. A hemisphere
    has 72 degrees, a needle on a flat roof a right angle: what counts is where the width comes.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> round(math.degrees(tip_half_angle(cone)), 1)
    9.5
    """
    radii = np.sqrt(body.skin.areas_m2 / np.pi)
    begin, end = (_first_station(body, radii, share * float(radii.max())) for share in _TIP)
    return math.atan2((_TIP[1] - _TIP[0]) * float(radii.max()), end - begin)


def _first_station(body: BodyAir, radii: NDArray[np.float64], radius: float) -> float:
    """Where the body first is so wide [m]."""
    first = int(np.argmax(radii >= radius))
    if first == 0:
        return float(body.stations_m[0])
    pair = slice(first - 1, first + 1)
    return float(np.interp(radius, radii[pair], body.stations_m[pair]))
