"""How hard a canopy opens: filling time, slowing while it fills, peak load."""

from dataclasses import dataclass

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy, spread
from finial.recovery.canopies.kinds import CanopyKind

OPENING_SPREAD = 0.2
"""Scatter of peak loads between openings of one canopy [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A canopy, what hangs under it, and the moment it is pulled taut."""

    kind: CanopyKind
    nominal_diameter_m: Estimate
    drag_area_m2: Estimate
    """Drag area when full open [m^2]."""
    mass_kg: Estimate
    """Everything the canopy must slow [kg]."""
    speed_m_s: Estimate
    """Speed through the air at line stretch [m/s]."""
    density_kg_m3: Estimate


def filling_time(fill_constant: Estimate, nominal_diameter_m: Estimate, speed_m_s: Estimate) -> Estimate:
    r"""Time from line stretch to full open.

    .. math::  t_f = n D_0 / v

    Parameters
    ----------
    fill_constant : Estimate
        Filling distance in diameters, :math:`n` [-].
    nominal_diameter_m : Estimate
        Nominal diameter :math:`D_0` [m].
    speed_m_s : Estimate
        Speed at line stretch, :math:`v` [m/s].

    Returns
    -------
    Estimate
        Filling time :math:`t_f` [s].

    Raises
    ------
    OutsideRange
        If any interval reaches zero or below.

    Notes
    -----
    Measured on canopies of 3 m and more between 30 and 120 m/s. Canopies made to open at once,
    large for their load, were measured to fill within as little as three diameters: the low end.

    References
    ----------
    .. [1] Knacke, NWC TP 6575, 1991, table 5-6; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> filling_time(exact(8.0), exact(2.0), exact(20.0)).value
    0.8
    """
    require_positive(
        fill_constant=fill_constant.low, nominal_diameter_m=nominal_diameter_m.low, speed_m_s=speed_m_s.low
    )
    return over_corners(
        lambda constant, diameter, speed: constant * diameter / speed,
        {"constant": fill_constant, "diameter": nominal_diameter_m, "speed": speed_m_s},
        method="filling distance in diameters",
        source="Knacke, NWC TP 6575, 1991, table 5-6; from memory, not re-read",
    )


def ballistic_parameter(
    mass_kg: float, drag_area_m2: float, density_kg_m3: float, filling_distance_m: float
) -> float:
    r"""How little a load slows while its canopy fills.

    .. math::  A = \frac{2 m}{\rho \, C_D S \, v t_f}

    Parameters
    ----------
    mass_kg : float
        Mass to be slowed [kg].
    drag_area_m2 : float
        Drag area when full open [m^2].
    density_kg_m3 : float
        Air density [kg/m^3].
    filling_distance_m : float
        Filling distance :math:`v t_f = n D_0` [m].

    Returns
    -------
    float
        :math:`A` [-]; large for heavy loads under small canopies.

    Raises
    ------
    OutsideRange
        If any argument is not positive.

    Notes
    -----
    Exact as a definition.

    References
    ----------
    .. [1] Pflanz, 1942, as told by Knacke, NWC TP 6575, 1991, section 5.4; from memory.

    Examples
    --------
    >>> ballistic_parameter(3.0, 2.0, 1.2, 10.0)
    0.25
    """
    require_positive(
        mass_kg=mass_kg,
        drag_area_m2=drag_area_m2,
        density_kg_m3=density_kg_m3,
        filling_distance_m=filling_distance_m,
    )
    return 2 * mass_kg / (density_kg_m3 * drag_area_m2 * filling_distance_m)


def opening_reduction(ballistic: float, growth_exponent: float) -> float:
    r"""Factor by which slowing during filling lowers the peak load.

    .. math::

        x_m = \left(\frac{A j (j+1)}{j+2}\right)^{1/(j+1)}, \qquad
        X_1 = \begin{cases}
            x_m^j \left(\frac{j+2}{2j+2}\right)^2 & x_m \le 1 \\
            \left(1 + \frac{1}{A (j+1)}\right)^{-2} & x_m > 1
        \end{cases}

    Parameters
    ----------
    ballistic : float
        Ballistic parameter :math:`A` [-].
    growth_exponent : float
        Drag area grows as :math:`(t / t_f)^j` [-].

    Returns
    -------
    float
        :math:`X_1` between 0 and 1 [-].

    Raises
    ------
    OutsideRange
        If either is not positive.

    Notes
    -----
    Exact for level flight with drag as the only force; the peak falls at :math:`x_m t_f`,
    or at full open. Falling steeply, gravity adds up to the weight to the peak.

    References
    ----------
    .. [1] Idea of Pflanz, 1942, as in Knacke, NWC TP 6575, 1991, figure 5-51 (from memory,
       not re-read); closed form derived from it.

    Examples
    --------
    >>> round(opening_reduction(0.2, 2.0), 4)
    0.1992
    """
    require_positive(ballistic=ballistic, growth_exponent=growth_exponent)
    j = growth_exponent
    peak_at = (ballistic * j * (j + 1) / (j + 2)) ** (1 / (j + 1))
    if peak_at <= 1:
        return peak_at**j * ((j + 2) / (2 * j + 2)) ** 2
    return (1 + 1 / (ballistic * (j + 1))) ** -2


def opening_load(opening: Opening) -> Estimate:
    r"""Peak load of an opening canopy.

    .. math::  F = \max(\tfrac{1}{2} \rho v^2 \, C_D S \, C_x X_1,\ m g)

    Parameters
    ----------
    opening : Opening
        Canopy, mass [kg], speed at line stretch [m/s] and air density [kg/m^3].

    Returns
    -------
    Estimate
        Peak load :math:`F` [N].

    Raises
    ------
    OutsideRange
        If the speed is negative or any other interval reaches zero or below.

    Notes
    -----
    Holds for an unreefed canopy that fills from the moment of line stretch. Openings of
    one canopy scatter by about 20 %, which the interval includes. The speed matters most:
    it enters squared, and a late apogee event is the usual cause of torn canopies. Slow
    openings end at the weight the canopy then carries, so that is the least load given.
    Known error: rescue canopies, large for their load, opened at 40 m/s with 1.1 to 2.9 times the
    middle, median 2.1; 24 of 25 lie in the interval, whose low end of filling was set on them.

    References
    ----------
    .. [1] Knacke, NWC TP 6575, 1991, section 5.4 (Pflanz method); from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.recovery.canopies.kinds import canopy_kind
    >>> case = Opening(
    ...     kind=canopy_kind("flat circular"), nominal_diameter_m=exact(2.0), drag_area_m2=exact(2.4),
    ...     mass_kg=exact(5.0), speed_m_s=exact(20.0), density_kg_m3=exact(1.2),
    ... )
    >>> load = opening_load(case)
    >>> load.low < load.value < load.high
    True
    """
    parts = {
        "speed": opening.speed_m_s,
        "area": opening.drag_area_m2,
        "mass": opening.mass_kg,
        "density": opening.density_kg_m3,
        "distance": _filling_distance(opening),
        "scatter": spread(1.0, OPENING_SPREAD, known_by=KnownBy.HANDBOOK),
    }
    require_not_negative(speed_m_s=opening.speed_m_s.low)
    require_positive(**{name: part.low for name, part in parts.items() if name != "speed"})
    kind = opening.kind

    def peak(
        *, speed: float, area: float, mass: float, density: float, distance: float, scatter: float
    ) -> float:
        ballistic = ballistic_parameter(mass, area, density, distance)
        reduction = opening_reduction(ballistic, kind.growth_exponent)
        steady = density * speed**2 / 2 * area
        return max(scatter * steady * kind.opening_factor * reduction, mass * STANDARD_GRAVITY_M_S2)

    return over_corners(peak, parts, method="drag at line stretch times opening factors", source=kind.source)


def _filling_distance(opening: Opening) -> Estimate:
    """Distance flown while the canopy fills [m]; it does not depend on the speed."""
    return over_corners(
        lambda constant, diameter: constant * diameter,
        {"constant": opening.kind.fill_constant, "diameter": opening.nominal_diameter_m},
    )
