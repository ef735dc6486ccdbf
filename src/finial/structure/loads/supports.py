"""Bodies held at two places: lying down, or on the rail."""

from collections.abc import Sequence

from finial.core.doors import require_positive
from finial.mass.lumps import Lumps
from finial.structure.loads.along_body import rigid_motion
from finial.structure.loads.forces import Force


def button_reactions(
    body: Lumps, forces: Sequence[Force], buttons_m: tuple[float, float]
) -> tuple[float, float]:
    r"""Return the forces of two rail buttons that keep a body from moving across and from turning.

    .. math::
        R_1 + R_2 = -\sum F_e, \qquad
        R_2 (x_2 - x_1) = -\left[I \dot\omega + m a_e (x_c - x_1)\right]

    with :math:`a_e` and :math:`\dot\omega` the accelerations that the free body would have.

    Parameters
    ----------
    body : Lumps
        Masses [kg] at stations [m].
    forces : sequence of PointForce or LineForce
        All forces but weight and buttons [N].
    buttons_m : (float, float)
        Stations of the fore and the aft button [m].

    Returns
    -------
    fore_n, aft_n : float
        Cross forces on the body at either button [N].

    Raises
    ------
    OutsideRange
        If the aft button does not lie behind the fore one.

    Notes
    -----
    Holds for a stiff body on a stiff rail; buttons with play knock, which a dynamic factor must cover.

    References
    ----------
    .. [1] Statics of a rigid body in a plane: Meriam and Kraige, Statics, chapter 3.

    Examples
    --------
    >>> from finial.mass.lumps import lumps
    >>> from finial.structure.loads.forces import PointForce
    >>> push = PointForce(station_m=0.5, cross_n=10.0)
    >>> button_reactions(lumps([0.0, 1.0], [1.0, 1.0]), [push], (0.25, 0.75))
    (-5.0, -5.0)
    """
    fore, aft = buttons_m
    require_positive(apart_m=aft - fore)
    free = rigid_motion(body, forces)
    cross = free.cross_m_s2 * body.mass_kg
    turn = free.turn_rad_s2 * body.inertia_kg_m2
    at_aft = (turn + cross * (body.centre_m[0] - fore)) / (aft - fore)
    return at_aft - cross, -at_aft


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
    require_positive(mass_kg=mass_kg, gravity_m_s2=gravity_m_s2, apart_m=abs(supports_m[1] - supports_m[0]))
    weight = mass_kg * gravity_m_s2
    first = weight * (supports_m[1] - balance_m) / (supports_m[1] - supports_m[0])
    return first, weight - first
