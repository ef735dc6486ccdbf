"""How mass, centre and inertia change while the motor burns."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.mass.properties import MassProperties, combined
from finial.mass.simple import Cylinder, cylinder


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorBody:
    """A motor as a body: even cylinders of casing and propellant about one middle."""

    diameter_m: float
    length_m: float
    loaded_mass_kg: float
    propellant_mass_kg: float
    nozzle_station_m: float
    """Aft end [m]."""
    offset_m: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class BurnKnots:
    """Mass properties at a set of times from ignition, to be joined by straight lines.

    Shapes (n,), (n,), (n, 3) and (n, 3, 3); inertia about the moving centre, body axes.
    """

    times_s: NDArray[np.float64]
    masses_kg: NDArray[np.float64]
    centres_m: NDArray[np.float64]
    inertias_kg_m2: NDArray[np.float64]


def propellant_left(times_s: NDArray[np.float64], thrusts_n: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Share of the propellant left [-] at each knot of a thrust curve.

    .. math::  1 - \int_0^t F \, dt \Big/ \int_0^{t_b} F \, dt

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times from ignition [s], rising.
    thrusts_n : ndarray, shape (n,)
        Thrust [N], straight lines in between.

    Returns
    -------
    share : ndarray, shape (n,)
        From 1 to 0 [-].

    Raises
    ------
    OutsideRange
        If the times do not rise or the impulse is not above zero.

    Notes
    -----
    Holds for a constant exhaust speed, which is within some per cent of solid motors.

    References
    ----------
    .. [1] G. P. Sutton and O. Biblarz, Rocket Propulsion Elements, chapter 2: thrust is mass flow
       times effective exhaust speed; from memory, not re-read.

    Examples
    --------
    >>> propellant_left(np.array([0.0, 1.0, 2.0]), np.array([100.0, 100.0, 0.0])).round(4).tolist()
    [1.0, 0.3333, 0.0]
    """
    steps = np.diff(times_s)
    if (
        len(steps) < 1
        or not (np.isfinite(times_s).all() and np.isfinite(thrusts_n).all())
        or (steps <= 0).any()
    ):
        raise OutsideRange("a thrust curve needs two or more finite points with rising times")
    impulse = np.concatenate([[0.0], np.cumsum(steps * (thrusts_n[:-1] + thrusts_n[1:]) / 2.0)])
    if not impulse[-1] > 0.0:
        raise OutsideRange(f"the thrust curve holds an impulse of {impulse[-1]} N s: it must be above zero")
    return 1.0 - impulse / impulse[-1]


def motor_at(motor: MotorBody, share_left: float) -> MassProperties:
    """Mass properties of the motor with a share of its propellant left.

    .. math::  m = m_l - m_p (1 - s)

    Parameters
    ----------
    motor : MotorBody
        Its size [m] and masses [kg].
    share_left : float
        Share of the propellant left, :math:`s`, from 0 to 1 [-].

    Returns
    -------
    body : MassProperties
        An even cylinder of that mass [kg] about the motor's middle.

    Raises
    ------
    OutsideRange
        If the propellant is not lighter than the loaded motor, or a size is not above zero.

    Notes
    -----
    Holds for a motor that burns evenly along its length. One that burns from an end, or whose closures
    are heavy, moves its centre while it burns; nothing is known of that here.

    References
    ----------
    .. [1] Solid cylinder: any handbook of mechanics. Even burning along the length: assumed.

    Examples
    --------
    >>> motor = MotorBody(diameter_m=0.054, length_m=0.4, loaded_mass_kg=1.5, propellant_mass_kg=0.75,
    ...                   nozzle_station_m=1.2)
    >>> motor_at(motor, 0.0).mass_kg, round(motor_at(motor, 1.0).station_m, 6)
    (0.75, 1.0)
    """
    if not 0.0 < motor.propellant_mass_kg < motor.loaded_mass_kg:
        raise OutsideRange(
            f"{motor.propellant_mass_kg} kg of propellant in a motor of {motor.loaded_mass_kg} kg: "
            "the propellant weighs more than nothing and less than the loaded motor"
        )
    mass = motor.loaded_mass_kg - motor.propellant_mass_kg * (1.0 - share_left)
    fore = motor.nozzle_station_m - motor.length_m
    shape = Cylinder(
        diameter_m=motor.diameter_m, stations_m=(fore, motor.nozzle_station_m), offset_m=motor.offset_m
    )
    return cylinder(mass, shape)


def burn_knots(
    rest: MassProperties, motor: MotorBody, times_s: NDArray[np.float64], thrusts_n: NDArray[np.float64]
) -> BurnKnots:
    """Mass properties of the whole vehicle at every knot of the thrust curve.

    Parameters
    ----------
    rest : MassProperties
        Everything but the motor.
    motor : MotorBody
        The motor.
    times_s : ndarray, shape (n,)
        Times from ignition [s], rising.
    thrusts_n : ndarray, shape (n,)
        Thrust [N], straight lines in between.

    Returns
    -------
    knots : BurnKnots
        Masses [kg], centres [m] and inertias [kg m^2] at the same times.

    Raises
    ------
    OutsideRange
        If the times do not rise, the impulse is not above zero, or the motor is impossible.

    Notes
    -----
    Propellant leaves in proportion to impulse, and its centre stays at the motor's middle. Between
    knots the true mass is a parabola where thrust changes: straight lines are off by a quarter of
    what burns between two knots at most, and by nothing where thrust is steady.

    References
    ----------
    .. [1] ``propellant_left`` for the mass, parallel-axis theorem for the rest.

    Examples
    --------
    >>> rest = MassProperties(mass_kg=6.0, centre_m=np.array([-0.6, 0, 0]), inertia_kg_m2=np.eye(3))
    >>> motor = MotorBody(diameter_m=0.054, length_m=0.4, loaded_mass_kg=1.5, propellant_mass_kg=0.75,
    ...                   nozzle_station_m=1.2)
    >>> knots = burn_knots(rest, motor, np.array([0.0, 1.0, 2.0]), np.array([400.0, 400.0, 0.0]))
    >>> knots.masses_kg.round(3).tolist()
    [7.5, 7.0, 6.75]
    """
    share = propellant_left(times_s, thrusts_n)
    whole = [combined([rest, motor_at(motor, float(left))]) for left in share]
    return BurnKnots(
        times_s=np.array(times_s, dtype=float),
        masses_kg=np.array([body.mass_kg for body in whole]),
        centres_m=np.array([body.centre_m for body in whole]),
        inertias_kg_m2=np.array([body.inertia_kg_m2 for body in whole]),
    )
