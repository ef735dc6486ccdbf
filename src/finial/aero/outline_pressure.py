"""Pressure on the side of a body in straight flow, and how far from ledges a place lies."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.aero.steps.ledges import Face
from finial.core.errors import OutsideRange

AHEAD_OF_FRONT, BEHIND_FRONT = 2.0, 4.0
"""How far a front that stands out is felt before it and behind its edge, in its heights [-]: a flat end's
bubble closes about 1.6 diameters behind it; from memory, not re-read."""
AHEAD_OF_BACK, BEHIND_BACK = 1.0, 6.0
"""The same of a ledge that the air falls off, measured from its lip; behind it as ``envelope``."""

GENTLE = math.sin(math.radians(10.0)) ** 2
"""Steepness of a taper that the air follows as it follows a wall [-]: ten degrees, a judgement."""
FAR = 10.0
"""Stands for every place that nothing spoils, in reaches [-]."""


def outline_pressure(stations_m: NDArray[np.float64], areas_m2: NDArray[np.float64], at_m: float) -> float:
    r"""Pressure coefficient on the side of a body in straight attached flow, by sources along its axis.

    .. math::

        u = \frac{1}{4 \pi} \int S'(\xi) \, \frac{x - \xi}{\left( (x - \xi)^2 + R^2 \right)^{3/2}} \, d\xi,
        \qquad C_p = 1 - (1 + u)^2 (1 + R'^2)

    Parameters
    ----------
    stations_m, areas_m2 : ndarray, shape (n,)
        Rising stations from the tip, and the section areas :math:`S` there [m], [m^2]; a step is two
        sections at one station.
    at_m : float
        Station asked for, :math:`x` [m].

    Returns
    -------
    coefficient : float
        :math:`C_p`, mean round the section [-].

    Raises
    ------
    OutsideRange
        If the station lies before the tip or behind the base, or there are fewer than two sections.

    Notes
    -----
    Holds for slender bodies away from blunt ends, below Mach 0.5, at no angle of attack; the wake carries the
    base's section on. In the middle of spheroids of fineness 4 to 8 within 0.03 of the exact value; beside a
    half body, from two radii behind its tip on, within 0.02.

    References
    ----------
    .. [1] T. von Karman, Berechnung der Druckverteilung an Luftschiffkoerpern, 1927 (sources along the axis);
       from memory, not re-read.

    Examples
    --------
    Far along a cylinder the air is as it was:

    >>> round(outline_pressure(np.array([0.0, 2.0]), np.array([0.01, 0.01]), 1.9), 4)
    -0.0004
    """
    if len(stations_m) < 2 or not stations_m[0] <= at_m <= stations_m[-1]:
        raise OutsideRange(
            f"station {at_m:g} m: the body reaches from {stations_m[0]:g} to {stations_m[-1]:g} m"
        )
    grows = np.diff(areas_m2, prepend=0.0)
    middles = np.concatenate([stations_m[:1], (stations_m[1:] + stations_m[:-1]) / 2])
    radii = np.sqrt(areas_m2 / math.pi)
    radius = float(np.interp(at_m, stations_m, radii))
    away = at_m - middles
    along = float((grows * away / (away**2 + radius**2) ** 1.5).sum()) / (4 * math.pi)
    return 1.0 - (1.0 + along) ** 2 * (1.0 + outline_slope(stations_m, radii, at_m) ** 2)


def outline_slope(stations_m: NDArray[np.float64], radii_m: NDArray[np.float64], at_m: float) -> float:
    r"""Slope of the outline, over a tenth of a radius to both sides: no step is a slope without end.

    .. math::  r'(x) = \frac{r(b) - r(a)}{b - a}, \quad a, b = x \mp 0.1 \, r_{\max}

    Parameters
    ----------
    stations_m : (n,) array
        Stations from the tip [m], rising.
    radii_m : (n,) array
        Radius of the outline at each [m]; straight between them.
    at_m : float
        Station that is asked for [m]; beyond either end nothing is looked at.

    Returns
    -------
    slope : float
        How fast the outline widens [-].

    Notes
    -----
    Any outline; a step counts as a slope over its stretch.

    References
    ----------
    .. [1] A difference over a stretch; how long a stretch is judgement.

    Examples
    --------
    >>> round(outline_slope(np.array([0.0, 0.5, 1.0]), np.array([0.0, 0.05, 0.05]), 0.25), 6)
    0.1
    """
    reach = 0.1 * float(radii_m.max())
    low, high = max(at_m - reach, stations_m[0]), min(at_m + reach, stations_m[-1])
    rise = np.diff(np.interp([low, high], stations_m, radii_m))[0]
    return float(rise / (high - low))


def clear_of_ledges(faces: Sequence[Face], at_m: float) -> float:
    r"""How far a place lies from what spoils its air, over how far that reaches.

    .. math::  c = \min_f \frac{|x - x_f|}{k_f \, h_f \sin\theta_f}

    Parameters
    ----------
    faces : sequence of Face
        Fronts and backs of the outline; heights :math:`h` [m], slopes by :math:`\sin^2\theta`.
    at_m : float
        Station of the place [m].

    Returns
    -------
    ratio : float
        1 where the place lies just clear, 0 on a face, never more than 10 [-].

    Notes
    -----
    Reaches in heights of the step: 2 ahead of a front and 4 behind its edge, 1 ahead of a back and 6 behind
    its lip; a slope counts as the sine of its angle, one below ten degrees not at all. Judgement, range give
    or take half.

    References
    ----------
    .. [1] J. K. Eaton, J. P. Johnston, AIAA Journal 19, 1981, for the way behind a step (from memory); the
       others from memory of forward-facing steps and blunt cylinders.

    Examples
    --------
    >>> nose = Face(start_m=0.0, end_m=0.0, area_m2=0.01, steepness=1.0, front=True, height_m=0.05)
    >>> clear_of_ledges([nose], 0.1), clear_of_ledges([nose], 0.4)
    (0.5, 2.0)
    """
    ledges = (face for face in faces if face.steepness > GENTLE)
    return min(min((_clear_of(face, at_m) for face in ledges), default=FAR), FAR)


def _clear_of(face: Face, at_m: float) -> float:
    height = max(face.height_m * math.sqrt(face.steepness), 1e-9)
    ahead, behind = (AHEAD_OF_FRONT, BEHIND_FRONT) if face.front else (AHEAD_OF_BACK, BEHIND_BACK)
    if at_m < face.start_m:
        return (face.start_m - at_m) / (ahead * height)
    lip = face.end_m if face.front else face.start_m
    if at_m > face.end_m:
        return (at_m - lip) / (behind * height)
    return 0.0
