"""How mass, centre and inertia change while the motor burns."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
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
    """Its aft end off the axis (y, z) [m]."""
    tilt_rad: float = 0.0
    """Between its axis and the vehicle's [rad]."""
    toward_rad: float = 0.0
    """Roll angle that its fore end leans to [rad]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Burning:
    """A motor with its thrust curve, counted from the instant that all count from; equal only to itself."""

    body: MotorBody
    times_s: NDArray[np.float64]
    """Rising, shape (n,)."""
    thrusts_n: NDArray[np.float64]
    """At those times, straight lines in between, shape (n,)."""


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
    half = motor.length_m / 2
    upright = cylinder(mass, Cylinder(diameter_m=motor.diameter_m, stations_m=(-half, half)))
    turn = _leaning(motor.tilt_rad, motor.toward_rad)
    nozzle = np.array([-motor.nozzle_station_m, *motor.offset_m])
    return MassProperties(
        mass_kg=mass,
        centre_m=nozzle + half * turn[:, 0],
        inertia_kg_m2=turn @ upright.inertia_kg_m2 @ turn.T,
    )


def _leaning(tilt_rad: float, toward_rad: float) -> NDArray[np.float64]:
    """Rotation that turns the axis by an angle towards a roll angle: Rodrigues' formula, shape (3, 3)."""
    side = np.array([0.0, -math.sin(toward_rad), math.cos(toward_rad)])
    cross = np.array([[0.0, -side[2], side[1]], [side[2], 0.0, -side[0]], [-side[1], side[0], 0.0]])
    return np.eye(3) + math.sin(tilt_rad) * cross + (1.0 - math.cos(tilt_rad)) * cross @ cross


def motors_at(motors: Sequence[Burning], times_s: ArrayLike) -> list[MassProperties]:
    r"""All motors of a vehicle as one body while they burn.

    .. math::  m(t) = \sum_i m_i(t)

    Parameters
    ----------
    motors : sequence of Burning
        Each with its place [m] and its curve [s, N].
    times_s : array_like, shape (k,)
        Times from the common instant [s].

    Returns
    -------
    bodies : list of MassProperties
        Mass [kg], centre [m] and inertia [kg m^2] of all together, one for each time.

    Raises
    ------
    OutsideRange
        If a curve does not rise or has no impulse, or a motor is impossible.

    Notes
    -----
    As ``motor_at`` and ``propellant_left``; before its own first time a motor is whole.

    References
    ----------
    .. [1] ``propellant_left`` for each mass, parallel-axis theorem for the rest.

    Examples
    --------
    >>> body = MotorBody(diameter_m=0.054, length_m=0.4, loaded_mass_kg=1.5, propellant_mass_kg=0.75,
    ...                  nozzle_station_m=1.2, offset_m=(0.03, 0.0))
    >>> one = Burning(body=body, times_s=np.array([0.0, 2.0]), thrusts_n=np.array([400.0, 0.0]))
    >>> round(motors_at([one, one], [0.0])[0].mass_kg, 6)
    3.0
    """
    times = np.asarray(times_s, dtype=float)
    shares = [
        np.interp(times, motor.times_s, propellant_left(motor.times_s, motor.thrusts_n)) for motor in motors
    ]
    return [
        combined(motor_at(motor.body, float(share[k])) for motor, share in zip(motors, shares, strict=True))
        for k in range(len(times))
    ]


def burn_knots(rest: MassProperties, motors: Sequence[Burning], times_s: NDArray[np.float64]) -> BurnKnots:
    """Mass properties of the whole vehicle at every knot of the thrust curve.

    Parameters
    ----------
    rest : MassProperties
        Everything but the motors.
    motors : sequence of Burning
        One motor or several, with their thrust curves.
    times_s : ndarray, shape (n,)
        Times from ignition [s], rising: the knots of the summed curve.

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
    >>> times = np.array([0.0, 1.0, 2.0])
    >>> burning = Burning(body=motor, times_s=times, thrusts_n=np.array([400.0, 400.0, 0.0]))
    >>> knots = burn_knots(rest, [burning], times)
    >>> knots.masses_kg.round(3).tolist()
    [7.5, 7.0, 6.75]
    """
    times = np.array(times_s, dtype=float)
    masses, centres, inertias = _motor_knots(tuple(motors), times)
    mass = rest.mass_kg + masses
    centre = (rest.mass_kg * rest.centre_m + masses[:, None] * centres) / mass[:, None]
    whole = rest.inertia_kg_m2 + inertias
    whole = whole + _carried(rest.mass_kg, rest.centre_m - centre) + _carried(masses, centres - centre)
    return BurnKnots(times_s=times, masses_kg=mass, centres_m=centre, inertias_kg_m2=whole)


# Many flights and looks ask for one vehicle's motors, and motors stay as they are while the rest changes.
@kept(16)
def _motor_knots(
    motors: tuple[Burning, ...], times_s: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Masses, centres and inertias of all motors together at each time."""
    bodies = motors_at(motors, times_s)
    return (
        np.array([body.mass_kg for body in bodies]),
        np.array([body.centre_m for body in bodies]),
        np.array([body.inertia_kg_m2 for body in bodies]),
    )


def _carried(mass_kg: float | NDArray[np.float64], away_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Inertia that masses add by lying away from the point it is taken about, shape (n, 3, 3)."""
    squares = away_m[:, :, None] * away_m[:, None, :]
    about = (away_m**2).sum(axis=1)[:, None, None] * np.eye(3) - squares
    return np.reshape(mass_kg, (-1, 1, 1)) * about
