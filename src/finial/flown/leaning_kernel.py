# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""One Kalman filter over the climb and over how wrong the carried attitude is, and the way back."""

import numpy as np

from finial.flown.compiled import inner, outer
from finial.flown.kernel import GATE, PATIENT_S, add_white_jerk

LEANING_STATES = 13
"""Height, speed, acceleration; the accelerometer's offset and scale; the attitude's error about east and
about north; the zeros of three gyroscopes; the scale of what they turned across; how late a barometer is, and
the coefficient of its port."""


@inner
def carry(row, step_s, given, transition):
    """Fill what carries the state over a step; all else in it stays that of standing still.

    Parameters
    ----------
    row : int
        Row that the step leads to [-].
    step_s : float
        Step [s].
    given : tuple of ndarray, shapes (n, 3), (n,), (n, 6), (n, 2), (n,), (n, 2)
        As of ``smooth_leaning`` [m/s^2, 1, s, rad, rad^2, m].
    transition : ndarray, shape (13, 13)
        Filled [any].

    References
    ----------
    .. [1] Titterton and Weston, Strapdown Inertial Navigation Technology, 2004, section 12.3: errors of the
       attitude in earth axes (from memory).
    """
    _, _, turned, swept, _, _ = given
    transition[0, 1] = transition[1, 2] = step_s
    transition[0, 2] = 0.5 * step_s * step_s
    for about in range(2):
        for axis in range(3):
            transition[5 + about, 7 + axis] = turned[row, 3 * about + axis]
        transition[5 + about, 10] = swept[row, about]


@inner
def look(row, with_height, given, sight):
    """Fill how a reading sees the state: a height, or a push upwards that carries every error.

    Parameters
    ----------
    row : int
        Row of the reading [-].
    with_height : int
        1: a height; 0: a push.
    given : tuple of ndarray, shapes (n, 3), (n,), (n, 6), (n, 2), (n,), (n, 2)
        As of ``smooth_leaning`` [m/s^2, 1, s, rad, rad^2, m].
    sight : ndarray, shape (13,)
        Overwritten [any].

    References
    ----------
    .. [1] As of ``carry``; what was felt, turned by a small angle.
    """
    felt, upright, _, _, _, read_off = given
    for state in range(13):
        sight[state] = 0.0
    if with_height == 1:
        sight[0] = 1.0
        sight[11] = read_off[row, 0]
        sight[12] = read_off[row, 1]
        return
    sight[2] = 1.0
    sight[3] = upright[row]
    sight[4] = felt[row, 2]
    sight[5] = -felt[row, 1]
    sight[6] = felt[row, 0]


@inner
def widen(row, step_s, walk_rad2, drive, spread):
    """Add what grows over a step: white jerk, the gyroscopes' noise, and a little of every constant.

    Parameters
    ----------
    row : int
        Row that the step leads to [-].
    step_s : float
        Step [s].
    walk_rad2 : ndarray, shape (n,)
        Growth of the variance of the attitude [rad^2].
    drive : (ndarray, ndarray, ndarray), shapes (n,), (13,), (13,)
        As of ``smooth_leaning`` [m^2/s^5; squares per second; squares].
    spread : ndarray, shape (13, 13)
        Covariance [products of the states]; overwritten.

    References
    ----------
    .. [1] Bar-Shalom, Li and Kirubarajan, Estimation with applications to tracking and navigation, Wiley
       2001, section 6.2.3: white noise jerk.
    """
    jerks, growth, _ = drive
    add_white_jerk(step_s, jerks[row], spread)
    for state in range(13):
        spread[state, state] += growth[state] * step_s
    spread[5, 5] += walk_rad2[row]
    spread[6, 6] += walk_rad2[row]


@inner
def weigh(reading, noise, sight, mean, spread, gain):
    """Fill the gain of a reading before it is divided by the variance of the surprise.

    Parameters
    ----------
    reading, noise : float
        What was read, and its deviation [m] or [m/s^2].
    sight, mean, gain : ndarray, shape (13,)
        As it sees the state, the state, and what is filled [any].
    spread : ndarray, shape (13, 13)
        Covariance [products of the states].

    Returns
    -------
    surprise, variance : float
        Of the reading [its unit, squared].

    References
    ----------
    .. [1] Kalman, A new approach to linear filtering and prediction problems, Journal of Basic Engineering
       82 (1960) 35.
    """
    surprise, variance = reading, noise * noise
    for state in range(13):
        total = 0.0
        for other in range(13):
            total += spread[state, other] * sight[other]
        gain[state] = total
        surprise -= sight[state] * mean[state]
    for state in range(13):
        variance += sight[state] * gain[state]
    return surprise, variance


@inner
def believe(surprise, variance, mean, spread, gain):
    """Put a reading to the state.

    Parameters
    ----------
    surprise, variance : float
        As ``weigh`` returns them [m] or [m/s^2], squared.
    mean, gain : ndarray, shape (13,)
        State, overwritten, and gain [any].
    spread : ndarray, shape (13, 13)
        Covariance [products of the states]; overwritten.

    References
    ----------
    .. [1] As of ``weigh``.
    """
    for state in range(13):
        mean[state] += gain[state] * surprise / variance
        for other in range(13):
            spread[state, other] -= gain[state] * gain[other] / variance


@outer
def smooth_leaning(times_s, readings, noises, given, drive, told):
    """Filter forwards over climb and attitude together, smooth backwards.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that rise [s].
    readings : ndarray, shape (n, 2)
        Heights, and pushes upwards less gravity, not a number where there is none [m, m/s^2].
    noises : ndarray, shape (n, 2)
        Their standard deviations [m, m/s^2].
    given : tuple of ndarray, shapes (n, 3), (n,), (n, 6), (n, 2), (n,), (n, 2)
        What was felt, turned to east, north and up [m/s^2]; cosine of the lean [1]; over the step to each
        row the sum of the two level rows of the attitude [s] and of what was turned across, about east and
        north [rad]; growth of the variance of the attitude [rad^2]; how far a height is off for a
        barometer a second late, and for a port's coefficient of one [m/s, m].
    drive : (ndarray, ndarray, ndarray), shapes (n,), (13,), (13,)
        Spectral density of the jerk over the step to each row [m^2/s^5], growth of the variances of the other
        states [their squares per second], deviations of the state around zero at the first row [m, m/s,
        m/s^2, m/s^2, 1, rad, rad, rad/s, rad/s, rad/s, 1, s, 1].
    told : (ndarray, ndarray, ndarray), shapes (n, 13), (n, 13, 13), (n, 2)
        Filled with the smoothed states, their covariances [products of the above], and 1 where a reading was
        passed over [-].

    References
    ----------
    .. [1] Rauch, Tung and Striebel, Maximum likelihood estimates of linear dynamic systems, AIAA Journal 3
       (1965) 1445.
    """
    start = drive[2]
    means, spreads, passed = told
    count = len(times_s)
    mean, spread = np.zeros(13), np.zeros((13, 13))
    sight, gain = np.zeros(13), np.zeros(13)
    transitions = np.zeros((count, 13, 13))
    ahead_means, ahead_spreads = np.zeros((count, 13)), np.zeros((count, 13, 13))
    since = np.full(2, times_s[0])
    for state in range(13):
        spread[state, state] = start[state] ** 2
        for row in range(count):
            transitions[row, state, state] = 1.0
    for row in range(count):
        if row > 0:
            step = times_s[row] - times_s[row - 1]
            carry(row, step, given, transitions[row])
            mean = transitions[row] @ mean
            spread = transitions[row] @ spread @ transitions[row].T
            widen(row, step, given[4], drive, spread)
        ahead_means[row], ahead_spreads[row] = mean, spread
        for kind in range(2):
            passed[row, kind] = 0.0
            if not np.isfinite(readings[row, kind]):
                continue
            look(row, 1 - kind, given, sight)
            read, noise = readings[row, kind], noises[row, kind]
            surprise, variance = weigh(read, noise, sight, mean, spread, gain)
            if surprise * surprise > GATE * variance and times_s[row] - since[kind] <= PATIENT_S[kind]:
                passed[row, kind] = 1.0
                continue
            if surprise * surprise <= GATE * variance:
                since[kind] = times_s[row]
            believe(surprise, variance, mean, spread, gain)
        means[row], spreads[row] = mean, spread
    for row in range(count - 2, -1, -1):
        back = spreads[row] @ transitions[row + 1].T @ np.linalg.inv(ahead_spreads[row + 1])
        means[row] += back @ (means[row + 1] - ahead_means[row + 1])
        spreads[row] += back @ (spreads[row + 1] - ahead_spreads[row + 1]) @ back.T
