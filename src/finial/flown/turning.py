"""How it stood and turned, where a gyroscope was aboard: lean, roll rate, coning."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.flown.sensed import Sensed

_FEWEST_FOR_SWINGS = 32
_SLOWEST = 3
"""Swings counted at least, over the coast."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """How it turned between burnout and apogee."""

    fastest_roll_rad_s: float
    """Largest rate about the axis, with its sign."""
    swings_hz: float
    """Frequency at which it swung across the axis, seen from the body."""
    cone_rad: float
    """Half angle of the cone that such a swing turns the axis on."""


def attitudes(sensed: Sensed, tilt_rad: float) -> NDArray[np.float64]:
    """Where east, north and up lie in the body, row by row.

    With all three rates of turn they are carried along from the pad, where the accelerometer tells up (or
    the rail's tilt does); each gyroscope's zero is what it read there. Without them the axis is taken to
    keep the rail's tilt. Which way east lies nobody tells: it is that across the axis and up, on the pad.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    tilt_rad : float
        Tilt of the rail from the vertical [rad].

    Returns
    -------
    turns : ndarray, shape (n, 3, 3)
        Rows east, north and up of each; they turn body axes to the earth's [-].

    Raises
    ------
    OutsideRange
        If the tilt is not between 0 and a quarter turn.

    Notes
    -----
    A gyroscope drifts some degrees a minute; rows where a rate is missing count as not turning.

    References
    ----------
    .. [1] Kinematics of a rigid body; any text on attitude.

    Examples
    --------
    >>> from finial.flown.example import example_sensed
    >>> attitudes(example_sensed(), 0.1)[[0, -1], 2, 0].round(3).tolist()
    [0.995, 0.995]
    """
    if not 0.0 <= tilt_rad < 0.5 * np.pi:
        raise OutsideRange(f"a rail tilted by {tilt_rad} rad: accepted are 0 to a quarter turn")
    on_pad, count = sensed.times_s < -0.1, len(sensed.times_s)
    if not sensed.has_turning:
        return np.broadcast_to(_with_level(_up_by_rail(tilt_rad)), (count, 3, 3))
    # The compiler's import costs a third of a second: only where something turned.
    from finial.flown.kernel import turn

    kernel: Any = turn
    rates = np.where(np.isfinite(sensed.turning_rad_s), sensed.turning_rad_s, 0.0)
    if on_pad.any():
        rates = rates - np.median(rates[on_pad], axis=0)
    rates[on_pad] = 0.0
    turns, rates = np.zeros((count, 3, 3)), np.ascontiguousarray(rates)
    up = _up_on_pad(sensed, on_pad, tilt_rad)
    for row, start in ((0, _with_level(up)[0]), (2, up)):
        carried = np.zeros((count, 3))
        carried[0] = start
        kernel(sensed.times_s, rates, carried)
        turns[:, row] = carried
    turns[:, 1] = np.cross(turns[:, 2], turns[:, 0])
    return turns


def _with_level(up: NDArray[np.float64]) -> NDArray[np.float64]:
    """East and north beside up, in body axes: east lies across the axis to the tip."""
    aside = np.cross(np.array([0.0, 0.0, 1.0]) if abs(up[2]) < 0.9 else np.array([0.0, 1.0, 0.0]), up)
    east = aside / np.linalg.norm(aside)
    return np.array([east, np.cross(up, east), up])


def turning(sensed: Sensed, burnout_s: float, apogee_s: float) -> Turning | None:
    r"""Roll rate and coning of the coast.

    .. math::  \theta = \frac{\sqrt 2\,\sigma_\omega}{2 \pi f}

    with the deviation :math:`\sigma_\omega` of the rates across and the frequency :math:`f` at which
    they swing most.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    burnout_s, apogee_s : float
        The coast [s].

    Returns
    -------
    turning : Turning or None
        ``None`` without a gyroscope, or with fewer than 32 rows in the coast.

    Notes
    -----
    Rows at even steps are made of those there are, and what a cubic over the coast follows is left out:
    that is the way turning over. A body that rolls carries its axes along: swings are
    told as seen from it.

    References
    ----------
    .. [1] A swing of one frequency; any text on vibrations.

    Examples
    --------
    >>> from finial.flown.example import example_sensed
    >>> turning(example_sensed(), 1.0, 6.0) is None
    True
    """
    known = np.isfinite(sensed.turning_rad_s).all(axis=1)
    coast = known & (sensed.times_s > burnout_s) & (sensed.times_s < apogee_s)
    if coast.sum() < _FEWEST_FOR_SWINGS:
        return None
    times, rates = sensed.times_s[coast], sensed.turning_rad_s[coast]
    even: NDArray[np.float64] = np.linspace(float(times[0]), float(times[-1]), len(times))
    across: NDArray[np.float64] = np.column_stack([np.interp(even, times, rates[:, axis]) for axis in (1, 2)])
    # What bends slowly over the whole coast is the way turning over, not a swing.
    ramp: NDArray[np.float64] = np.linspace(-1.0, 1.0, len(even))
    across = across - np.column_stack([_bend(ramp, across[:, axis]) for axis in (0, 1)])
    power = (np.abs(np.fft.rfft(across, axis=0)) ** 2).sum(axis=1)
    step = float(even[-1] - even[0]) / (len(even) - 1)
    frequencies = np.asarray(np.fft.rfftfreq(len(even), step), dtype=float)
    strongest = _SLOWEST + int(np.argmax(power[_SLOWEST:]))
    swings = float(frequencies[strongest])
    roll = rates[:, 0]
    return Turning(
        fastest_roll_rad_s=float(roll[np.argmax(np.abs(roll))]),
        swings_hz=swings,
        cone_rad=float(np.sqrt(2.0 * across.var(axis=0).max()) / (2.0 * np.pi * swings)),
    )


def _bend(ramp: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.polyval(np.polyfit(ramp, values, 3), ramp), dtype=float)


def _up_on_pad(sensed: Sensed, on_pad: NDArray[np.bool_], tilt_rad: float) -> NDArray[np.float64]:
    felt = sensed.felt_m_s2[on_pad]
    if len(felt) and np.isfinite(felt).all(axis=1).any():
        told = np.nanmedian(felt, axis=0)
        size = float(np.linalg.norm(told))
        if size > 1.0 and told[0] > 0.5 * size:
            return np.asarray(told / size, dtype=float)
    return _up_by_rail(tilt_rad)


def _up_by_rail(tilt_rad: float) -> NDArray[np.float64]:
    return np.array([np.cos(tilt_rad), np.sin(tilt_rad), 0.0])
