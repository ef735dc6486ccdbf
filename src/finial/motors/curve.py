"""What a thrust curve says: impulse, burn time, average thrust, letter."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.motors.motor import Motor

BURN_THRESHOLD: Final = 0.05
"""Share of the peak thrust at which the burn begins and ends [-]; NFPA 1125."""

_LETTERS: Final = ("1/4A", "1/2A", *"ABCDEFGHIJKLMNOPQRSTUVWXYZ")
_TOP_OF_QUARTER_A_N_S: Final = 0.625


# A motor's impulse is asked for by everything that flies.
@kept(16)
def total_impulse(motor: Motor) -> float:
    r"""Total impulse of a motor, the area under its thrust curve.

    .. math::  I = \int F \, dt

    Parameters
    ----------
    motor : Motor
        Thrust curve, straight between its points.

    Returns
    -------
    impulse_n_s : float
        Total impulse [N s].

    Raises
    ------
    OutsideRange
        If the curve is not a thrust curve: fewer than two points, times that do not rise, thrust below 0.

    Notes
    -----
    Exact for straight lines between points.

    References
    ----------
    .. [1] NFPA 1125, Code for the Manufacture of Model Rocket and High Power Rocket Motors.

    Examples
    --------
    >>> round(total_impulse(_example()), 1)
    690.0
    """
    times, thrusts = checked_curve(motor)
    return float(np.trapezoid(thrusts, times))


def burn_window(motor: Motor) -> tuple[float, float]:
    """First and last time the thrust stands at 5 % of its peak.

    Parameters
    ----------
    motor : Motor
        Thrust curve, straight between its points.

    Returns
    -------
    start_s, end_s : float
        Times from ignition [s]; the burn time is their difference.

    Raises
    ------
    OutsideRange
        If the curve is not a thrust curve.

    Notes
    -----
    Dips below 5 % in the middle of the burn count as burning.

    References
    ----------
    .. [1] NFPA 1125, burn time between the points at 5 % of the peak thrust.

    Examples
    --------
    >>> [round(time, 4) for time in burn_window(_example())]
    [0.0025, 1.975]
    """
    times, thrusts = checked_curve(motor)
    level = BURN_THRESHOLD * thrusts.max()
    burning = np.flatnonzero(thrusts >= level)
    first, last = int(burning[0]), int(burning[-1])
    start = times[0] if first == 0 else _crossing(times, thrusts, first - 1, level)
    end = times[-1] if last == times.size - 1 else _crossing(times, thrusts, last, level)
    return float(start), float(end)


def average_thrust(motor: Motor) -> float:
    r"""Average thrust: total impulse over the burn time.

    .. math::  \bar F = I / (t_2 - t_1)

    Parameters
    ----------
    motor : Motor
        Thrust curve.

    Returns
    -------
    thrust_n : float
        Average thrust [N].

    Raises
    ------
    OutsideRange
        If the curve is not a thrust curve.

    Notes
    -----
    Burn time between the 5 % points.

    References
    ----------
    .. [1] NFPA 1125.

    Examples
    --------
    >>> round(average_thrust(_example()), 1)
    349.8
    """
    start, end = burn_window(motor)
    return total_impulse(motor) / (end - start)


def letter_class(impulse_n_s: float) -> str:
    """Letter of a total impulse: A to 2.5 N s, each letter twice the one before.

    Parameters
    ----------
    impulse_n_s : float
        Total impulse [N s].

    Returns
    -------
    letter : str
        Letter; also of the impulse of a cluster.

    Raises
    ------
    OutsideRange
        If the impulse is not above 0, above the top of Z (83.9 MN s), or not a number.

    Notes
    -----
    A class ends with its top: 640 N s is still I.

    References
    ----------
    .. [1] NFPA 1125, table of motor classes.

    Examples
    --------
    >>> letter_class(690.0), letter_class(640.0)
    ('J', 'I')
    """
    top = _TOP_OF_QUARTER_A_N_S
    if impulse_n_s > 0.0:
        for letter in _LETTERS:
            if impulse_n_s <= top:
                return letter
            top *= 2.0
    raise OutsideRange(f"impulse {impulse_n_s} N s has no letter: accepted is more than 0")


def designation(motor: Motor) -> str:
    """Letter and average thrust, as in J350.

    Parameters
    ----------
    motor : Motor
        Thrust curve.

    Returns
    -------
    designation : str
        Letter of the total impulse [N s] and the average thrust [N], rounded.

    Raises
    ------
    OutsideRange
        If the curve is not a thrust curve.

    Notes
    -----
    From the curve alone: a motor may be sold under another number.

    References
    ----------
    .. [1] NFPA 1125, designation of motors; from memory, not re-read.

    Examples
    --------
    >>> designation(_example())
    'J350'
    """
    return f"{letter_class(total_impulse(motor))}{average_thrust(motor):.0f}"


def checked_curve(motor: Motor) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return times and thrusts of a motor, refused unless they are a thrust curve.

    Parameters
    ----------
    motor : Motor
        The motor as read.

    Returns
    -------
    times_s : ndarray, shape (n,)
        Times from ignition [s].
    thrusts_n : ndarray, shape (n,)
        Thrust [N].

    Raises
    ------
    OutsideRange
        If the curve has fewer than two points, times that do not rise from 0 or above, a thrust
        below 0 or none above it, or a number that is not finite.

    Notes
    -----
    A curve need not begin or end at zero thrust, nor at time zero.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> times, thrusts = checked_curve(_example())
    >>> float(times[-1]), float(thrusts.max())
    (2.0, 400.0)
    """
    return _checked(motor)


@kept(16)
def _checked(motor: Motor) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    times, thrusts = np.array(motor.times_s, float), np.array(motor.thrusts_n, float)
    if times.ndim != 1 or times.shape != thrusts.shape or times.size < 2:
        raise OutsideRange(f"{motor.name}: a thrust curve needs two equal columns of two rows or more")
    if not (np.all(np.isfinite(times)) and np.all(np.isfinite(thrusts))):
        raise OutsideRange(f"{motor.name}: the thrust curve holds something that is not a finite number")
    if times[0] < 0.0 or np.any(np.diff(times) <= 0.0):
        raise OutsideRange(f"{motor.name}: the times of the thrust curve must rise strictly from 0 or later")
    if np.any(thrusts < 0.0) or not np.any(thrusts > 0.0):
        raise OutsideRange(f"{motor.name}: thrust must not fall below 0 and must rise above it somewhere")
    return times, thrusts


def _crossing(times: NDArray[np.float64], thrusts: NDArray[np.float64], left: int, level: float) -> float:
    share = (level - thrusts[left]) / (thrusts[left + 1] - thrusts[left])
    return float(times[left] + share * (times[left + 1] - times[left]))


def _example() -> Motor:  # pyright: ignore[reportUnusedFunction] - for the examples in docstrings
    """Trapezoid of 690 N s that the examples use; invented."""
    return Motor(
        name="example",
        diameter_m=0.054,
        length_m=0.3,
        loaded_mass_kg=0.8,
        propellant_mass_kg=0.35,
        times_s=np.array([0.0, 0.05, 1.5, 2.0]),
        thrusts_n=np.array([0.0, 400.0, 400.0, 0.0]),
    )
