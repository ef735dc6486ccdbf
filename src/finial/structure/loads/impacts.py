"""Loads that come at once: touching ground on an edge, thrust that stops, a joint that parts."""

import math
from dataclasses import dataclass

from finial.structure.bounds import need_between, need_finite, need_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Touchdown:
    """A rigid body that meets the ground at one point.

    Raises
    ------
    OutsideRange
        If mass, inertia, speed or stopping distance is not above zero.
    """

    mass_kg: float
    inertia_kg_m2: float
    """About the balance point, across the plane it turns in [kg m^2]."""
    arm_m: float
    """Distance of the line of the blow from the balance point [m]."""
    speed_m_s: float
    stop_m: float
    """How far ground and edge give way [m]."""

    def __post_init__(self) -> None:
        """Refuse what cannot land."""
        need_positive(
            mass_kg=self.mass_kg,
            inertia_kg_m2=self.inertia_kg_m2,
            speed_m_s=self.speed_m_s,
            stop_m=self.stop_m,
        )
        need_finite(arm_m=self.arm_m)


def touchdown_force(blow: Touchdown) -> float:
    r"""Peak force when a body lands on an edge.

    .. math::  F = \frac{m_e v^2}{d}, \qquad \frac{1}{m_e} = \frac{1}{m} + \frac{a^2}{I}

    Parameters
    ----------
    blow : Touchdown
        Mass, inertia, arm, speed and stopping distance.

    Returns
    -------
    force_n : float
        Peak force [N].

    Raises
    ------
    OutsideRange
        If the touchdown's numbers are not.

    Notes
    -----
    Ground and edge as one spring that gives way by ``stop_m``: soft turf 30 to 60 mm, hard earth 5 to 15 mm.
    Weight is small beside it.

    References
    ----------
    .. [1] Energy of a spring; mass felt at a point of a free body: Meriam and Kraige, Dynamics; from memory.

    Examples
    --------
    >>> blow = Touchdown(mass_kg=8.0, inertia_kg_m2=1.0, arm_m=0.0, speed_m_s=5.0, stop_m=0.02)
    >>> round(touchdown_force(blow))
    10000
    """
    felt = 1 / (1 / blow.mass_kg + blow.arm_m**2 / blow.inertia_kg_m2)
    return felt * blow.speed_m_s**2 / blow.stop_m


def axial_period(axial_stiffness_n: float, length_m: float, mass_kg: float) -> float:
    r"""Period of the first swing of a free body along its axis.

    .. math::  T = 2 L \sqrt{\frac{m}{E A L}}

    Parameters
    ----------
    axial_stiffness_n : float
        Axial stiffness E A [N].
    length_m, mass_kg : float
        Length [m] and mass [kg].

    Returns
    -------
    period_s : float
        Period [s].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for an even bar free at both ends; lumps at the ends lengthen it.

    References
    ----------
    .. [1] Blevins, Formulas for Natural Frequency and Mode Shape, table 8-16; from memory.

    Examples
    --------
    >>> round(axial_period(2.0e6, 1.0, 8.0) * 1e3, 2)
    4.0
    """
    need_positive(axial_stiffness_n=axial_stiffness_n, length_m=length_m, mass_kg=mass_kg)
    return 2 * length_m * math.sqrt(mass_kg / (axial_stiffness_n * length_m))


def rebound_share(fall_s: float, period_s: float) -> float:
    r"""Share of a lost load that swings back the other way.

    .. math::  r = \left| \frac{\sin(\pi t / T)}{\pi t / T} \right|

    Parameters
    ----------
    fall_s : float
        Time in which the load falls to nothing [s].
    period_s : float
        Period of the swing [s].

    Returns
    -------
    share : float
        Amplitude over the load that was lost [-], 0 to 1.

    Raises
    ------
    OutsideRange
        If the period is not above zero or the time negative.

    Notes
    -----
    Holds for a load that falls evenly, without damping; one that stops at once swings back whole.

    References
    ----------
    .. [1] Response to a ramp: Clough and Penzien, Dynamics of Structures, chapter on impulsive loads;
       from memory.

    Examples
    --------
    >>> rebound_share(0.0, 0.004), round(rebound_share(0.002, 0.004), 4)
    (1.0, 0.6366)
    """
    need_positive(period_s=period_s)
    need_between(0.0, 1e6, fall_s=fall_s)
    turn = math.pi * fall_s / period_s
    return abs(math.sin(turn) / turn) if turn else 1.0


def two_supports(
    mass_kg: float, balance_m: float, supports_m: tuple[float, float], gravity_m_s2: float
) -> tuple[float, float]:
    r"""Share between two supports the forces that carry a body's weight.

    .. math::  R_1 = m g \, \frac{x_2 - x_c}{x_2 - x_1}, \qquad R_2 = m g - R_1

    Parameters
    ----------
    mass_kg, balance_m : float
        Mass [kg] and balance point [m].
    supports_m : (float, float)
        Stations of the supports [m].
    gravity_m_s2 : float
        Gravity [m/s^2].

    Returns
    -------
    forces_n : (float, float)
        Forces at the supports [N].

    Raises
    ------
    OutsideRange
        If the mass is not above zero or the supports coincide.

    Notes
    -----
    Range: any; a force below zero holds the body down.

    References
    ----------
    .. [1] Statics of a beam.

    Examples
    --------
    >>> two_supports(2.0, 0.5, (0.0, 1.0), 10.0)
    (10.0, 10.0)
    """
    need_positive(mass_kg=mass_kg, gravity_m_s2=gravity_m_s2, apart_m=abs(supports_m[1] - supports_m[0]))
    weight = mass_kg * gravity_m_s2
    first = weight * (supports_m[1] - balance_m) / (supports_m[1] - supports_m[0])
    return first, weight - first
