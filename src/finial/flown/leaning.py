"""Climb and attitude in one filter, where gyroscopes were aboard."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flown.lean import SWEPT_SCALE, attitude_doubt
from finial.flown.sensed import Sensed

_FELT_SCALE = 0.01
"""How far an accelerometer's scale may be off; one deviation, assumed."""
PORT_COEFFICIENT = 0.03
"""Assumed: how far the pressure at the port may be off, over the dynamic pressure."""
_NO_PORT = 1e-6
_LAG_S = 0.1
"""How late a barometer may tell a height; one deviation, assumed."""
_AGAIN_RAD = np.radians(0.5)
"""An attitude found farther off than this is looked at from there once more."""
_JUMP = 3.0
"""Noises by which a push changes from row to row, for it to have begun or ended."""
_KEEPS = 1e-6
"""Share of its variance by which a constant may change in a second: none, but for rounding."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Felt:
    """What was felt in earth axes as gyroscopes carry them, on the rows that are smoothed."""

    earth_m_s2: NDArray[np.float64]
    """(n, 3) east, north and up; not a number where nothing tells it."""
    axis: NDArray[np.float64]
    """(n, 3) of the vehicle, to the tip."""
    turned_s: NDArray[np.float64]
    """(n, 6) the two level rows of the attitude, summed over the step to each row."""
    swept_rad: NDArray[np.float64]
    """(n, 2) turned across the axis over that step, about east and north."""
    walk_rad2: NDArray[np.float64]
    """(n,) growth of the attitude's variance over that step."""
    read_off_m: NDArray[np.float64]
    """(n, 2) how far a height is off for a barometer a second late, and for a port's coefficient of one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SmoothedLean:
    """States of the joint smoother, and the lean that is in them."""

    means: NDArray[np.float64]
    """(n, 13) as the kernel names them."""
    sigmas: NDArray[np.float64]
    """(n, 13)."""
    leans_rad: NDArray[np.float64]
    """(n,) from the vertical."""
    lean_sigmas_rad: NDArray[np.float64]
    passed: NDArray[np.float64]
    """(n, 2) 1 where a height or a push was passed over."""


def felt_in_earth(
    sensed: Sensed, turns: NDArray[np.float64], times: NDArray[np.float64], speeds: NDArray[np.float64]
) -> Felt:
    """Turn what was felt to east, north and up, and sum what the errors of the gyroscopes grow by.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    turns : ndarray, shape (n, 3, 3)
        Rows east, north and up in body axes, as gyroscopes carry them [-].
    times, speeds : ndarray, shape (m,)
        Rows that are smoothed, and about how fast it climbs there [s, m/s].

    Returns
    -------
    felt : Felt
        On those rows [units in its fields].

    Raises
    ------
    OutsideRange
        If no gyroscopes of three axes were aboard.

    Notes
    -----
    Where an axis across is missing, the one along the vehicle stands for all. What is read between two rows
    is summed, not dropped: a vehicle that rolls fast turns a gyroscope's zero away from itself.

    References
    ----------
    .. [1] Rotation; any text on attitude.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from finial.flown.example import example_sensed
    >>> from finial.flown.turning import attitudes
    >>> still = replace(example_sensed(), turning_rad_s=np.zeros((1200, 3)))
    >>> felt = felt_in_earth(still, attitudes(still, 0.0), still.times_s, np.zeros(1200))
    >>> bool(np.allclose(felt.earth_m_s2[:, 2], still.axial_m_s2))
    True
    """
    along = sensed.axial_m_s2
    across = sensed.felt_m_s2[:, 1:]
    told = np.isfinite(across).all(axis=1, keepdims=True)
    across = np.where(told, across, 0.0)
    body = np.column_stack([along, across])
    rates = np.where(np.isfinite(sensed.turning_rad_s), sensed.turning_rad_s, 0.0)
    steps = np.where(sensed.times_s > 0.0, np.diff(sensed.times_s, prepend=sensed.times_s[0]), 0.0)
    swept = np.einsum("nij,nj->ni", turns[:, :2, 1:], rates[:, 1:])
    summed = np.column_stack(
        [
            turns[:, :2].reshape(-1, 6) * steps[:, None],
            swept * steps[:, None],
            attitude_doubt(sensed).walk_rad2,
        ]
    )
    grown = _over_steps(sensed.times_s, summed, times)
    return Felt(
        earth_m_s2=_meant(sensed.times_s, np.einsum("nij,nj->ni", turns, body), times),
        axis=_at(sensed.times_s, turns[:, :, 0], times),
        turned_s=grown[:, :6],
        swept_rad=grown[:, 6:8],
        walk_rad2=grown[:, 8],
        read_off_m=np.column_stack([-speeds, speeds**2 / (2.0 * STANDARD_GRAVITY_M_S2)]),
    )


def smoothed_lean(
    times: NDArray[np.float64],
    readings: NDArray[np.float64],
    noises: NDArray[np.float64],
    jerks: NDArray[np.float64],
    known: tuple[Felt, Sensed, tuple[NDArray[np.float64], float]],
) -> SmoothedLean:
    r"""Smooth climb and attitude together, by an extended Kalman filter and the smoother back over it.

    .. math::  \dot\varphi = R\,(g + s\,\omega_\perp) + \text{noise}, \qquad
               a = F_z - g_0 - b\,u - k F_z + \varphi_E F_N - \varphi_N F_E, \qquad
               h_{read} = h - \tau v + q \frac{v^2}{2 g_0}

    with what was felt turned to the earth, :math:`F = R f`, by the attitude :math:`R` that the gyroscopes
    carry; its error :math:`\varphi`, their zeros :math:`g` and scale :math:`s`; offset :math:`b` and scale
    :math:`k` of the accelerometer; the cosine :math:`u` of the lean; and a barometer late by :math:`\tau`
    with a port that is off by :math:`q`. Where the attitude is found off by
    more than half a degree the push is looked at again from there.

    Parameters
    ----------
    times : ndarray, shape (n,)
        Rising [s].
    readings : ndarray, shape (n, 2)
        Heights, and pushes upwards less gravity by the carried attitude [m, m/s^2].
    noises : ndarray, shape (n, 2)
        Their standard deviations [m, m/s^2].
    jerks : ndarray, shape (n,)
        Spectral density of the jerk [m^2/s^5].
    known : (Felt, Sensed, (ndarray, float))
        What was felt in earth axes, the readings it came from, and how well height, speed, acceleration and
        offset are known at first with the growth of the offset's variance [m, m/s, m/s^2, m/s^2; m^2/s^5].

    Returns
    -------
    lean : SmoothedLean
        States with deviations [units in its fields].

    Raises
    ------
    OutsideRange
        If no gyroscopes of three axes were aboard.

    Notes
    -----
    Holds while errors of the attitude stay below some 20 degrees. Which way the vehicle leans nobody knows.

    References
    ----------
    .. [1] Rauch, Tung and Striebel, AIAA Journal 3 (1965) 1445; Titterton and Weston, Strapdown Inertial
       Navigation Technology, 2004, chapter 12 (from memory).

    Examples
    --------
    >>> from dataclasses import replace
    >>> from finial.flown.example import example_sensed
    >>> from finial.flown.smoothing import smoothed
    >>> from finial.flown.turning import attitudes
    >>> still = replace(example_sensed(), turning_rad_s=np.zeros((1200, 3)))
    >>> climb = smoothed(still, attitudes(still, 0.0), 5.2)
    >>> bool(np.degrees(climb.leans_rad[200]) < 2.0)
    True
    """
    felt, sensed, (start, growth) = known
    doubt = attitude_doubt(sensed)
    begins = np.concatenate(
        [
            start,
            [_FELT_SCALE],
            2 * [doubt.start_rad],
            3 * [doubt.zero_rad_s],
            [SWEPT_SCALE, _LAG_S, _NO_PORT if sensed.heights_by_satellites else PORT_COEFFICIENT],
        ]
    )
    grows = _KEEPS * begins**2
    grows[:3], grows[3] = 0.0, growth
    drive = np.maximum(jerks, _at_jumps(times, readings[:, 1], noises[:, 1])), grows, begins
    found = _run(times, readings, noises, felt, drive)
    errors = found.errors_rad
    if np.abs(errors).max() <= _AGAIN_RAD:
        return _leaning(found, felt, errors)
    nearer = replace(felt, earth_m_s2=_turned(felt.earth_m_s2, errors), axis=_turned(felt.axis, errors))
    pushes = nearer.earth_m_s2[:, 2] - STANDARD_GRAVITY_M_S2 - _raised(nearer.earth_m_s2, errors)
    again = np.column_stack([readings[:, 0], np.where(np.isfinite(readings[:, 1]), pushes, np.nan)])
    found = _run(times, again, noises, nearer, drive)
    return _leaning(found, nearer, found.errors_rad - errors)


def _at_jumps(
    times: NDArray[np.float64], pushes: NDArray[np.float64], noises: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Jerk where a push begins or ends from one row to the next.

    White jerk that makes no such jump would have scales and attitudes explain it, which never change so.
    """
    jumps, steps = np.diff(pushes), np.diff(times)
    clear = np.abs(jumps) > _JUMP * np.hypot(noises[1:], noises[:-1])
    return np.concatenate([[0.0], np.where(clear, jumps**2 / steps, 0.0)])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _States:
    """What the kernel fills: states, their covariances, and readings passed over."""

    means: NDArray[np.float64]
    spreads: NDArray[np.float64]
    passed: NDArray[np.float64]

    @property
    def errors_rad(self) -> NDArray[np.float64]:
        """Of the attitude about east and about north, (n, 2)."""
        return self.means[:, 5:7]


def _run(
    times: NDArray[np.float64],
    readings: NDArray[np.float64],
    noises: NDArray[np.float64],
    felt: Felt,
    drive: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
) -> _States:
    # The compiler's import costs a third of a second: only when a log is smoothed.
    from finial.flown.leaning_kernel import LEANING_STATES, smooth_leaning

    kernel: Any = smooth_leaning
    count = len(times)
    told = (
        np.zeros((count, LEANING_STATES)),
        np.zeros((count, LEANING_STATES, LEANING_STATES)),
        np.zeros((count, 2)),
    )
    earth = np.where(np.isfinite(felt.earth_m_s2), felt.earth_m_s2, 0.0)
    given = earth, felt.axis[:, 2], felt.turned_s, felt.swept_rad, felt.walk_rad2, felt.read_off_m
    kernel(times, readings, noises, tuple(map(np.ascontiguousarray, given)), drive, told)
    means, spreads, passed = told
    return _States(means=means, spreads=spreads, passed=passed)


def _leaning(found: _States, felt: Felt, errors: NDArray[np.float64]) -> SmoothedLean:
    """Lean of the axis with what is left of the attitude's error taken out, and its deviation."""
    upright = np.clip(felt.axis[:, 2] + _raised(felt.axis, errors), -1.0, 1.0)
    level = np.column_stack([felt.axis[:, 1], -felt.axis[:, 0]])
    aside = np.linalg.norm(level, axis=1)
    both = found.spreads[:, 5:7, 5:7]
    along = np.einsum("ni,nij,nj->n", level, both, level)
    # Upright there is no plane that it leans in: any error of either level axis is a lean.
    upright_too = 0.5 * (both[:, 0, 0] + both[:, 1, 1])
    squares = np.where(aside > _AGAIN_RAD, along / np.maximum(aside, _AGAIN_RAD) ** 2, upright_too)
    return SmoothedLean(
        means=found.means,
        sigmas=deviations(found.spreads),
        leans_rad=np.arccos(upright),
        lean_sigmas_rad=np.sqrt(np.maximum(squares, 0.0)),
        passed=found.passed,
    )


def deviations(spreads: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Return the standard deviations in covariances; none where rounding is all there is.

    .. math:: \sigma_i = \sqrt{\max(P_{ii},\ 0)}

    Parameters
    ----------
    spreads : ndarray of shape (n, k, k)
        Covariances of k states at n moments [units of the states, squared].

    Returns
    -------
    ndarray of shape (n, k)
        Standard deviations [units of the states].

    Notes
    -----
    Any covariances; a variance that rounding left below none counts as none.

    References
    ----------
    The definition of a covariance's diagonal.

    Examples
    --------
    >>> deviations(np.array([[[4.0, 1.0], [1.0, -1e-18]]])).tolist()
    [[2.0, 0.0]]
    """
    return np.sqrt(np.maximum(np.diagonal(spreads, axis1=1, axis2=2), 0.0))


def _raised(vectors: NDArray[np.float64], errors: NDArray[np.float64]) -> NDArray[np.float64]:
    """How much farther up small turns about east and north bring vectors, (n,)."""
    return errors[:, 0] * vectors[:, 1] - errors[:, 1] * vectors[:, 0]


def _turned(vectors: NDArray[np.float64], errors: NDArray[np.float64]) -> NDArray[np.float64]:
    """Turn vectors by angles about east and north at once: Rodrigues' rotation."""
    about = np.column_stack([errors, np.zeros(len(errors))])
    angles = np.linalg.norm(about, axis=1)[:, None]
    axes = about / np.maximum(angles, 1e-12)
    along = (axes * vectors).sum(axis=1)[:, None]
    turned = vectors * np.cos(angles) + np.cross(axes, vectors) * np.sin(angles)
    return turned + axes * along * (1.0 - np.cos(angles))


def _at(
    known: NDArray[np.float64], values: NDArray[np.float64], times: NDArray[np.float64]
) -> NDArray[np.float64]:
    columns: list[NDArray[np.float64]] = [np.interp(times, known, column) for column in values.T]
    return np.column_stack(columns)


def _over_steps(
    known: NDArray[np.float64], values: NDArray[np.float64], times: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Sum what grows from row to row over the steps between other rows; nothing before the first."""
    summed = _at(known, np.cumsum(values, axis=0), times)
    return np.diff(summed, axis=0, prepend=summed[:1])


def _meant(
    known: NDArray[np.float64], values: NDArray[np.float64], times: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Mean over the rows that each smoothed row stands for; not a number where one of them is."""
    if len(times) == len(known):
        return values
    share = len(known) // len(times)
    return values[: share * len(times)].reshape(len(times), share, -1).mean(axis=1)
