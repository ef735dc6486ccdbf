# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""A Kalman filter over height, speed, acceleration and the accelerometer's offset, and the way back."""

import numpy as np

from finial.flown.compiled import inner, outer

STATES = 4
GATE = 25.0
"""Squared deviations beyond which a reading is passed over."""
PATIENT_S = (0.5, 0.03)
"""How long heights and accelerations are passed over before the filter believes them after all [s]: the
pressure of a charge lasts, a push that begins or ends at once is true."""


@inner
def add_white_jerk(step_s, jerk, spread):
    """Add what white jerk makes of height, speed and acceleration, the first three states, over a step.

    Parameters
    ----------
    step_s : float
        Step [s].
    jerk : float
        Spectral density of the jerk [m^2/s^5].
    spread : ndarray, shape (k, k)
        Covariance [products of the states]; overwritten.

    References
    ----------
    .. [1] Bar-Shalom, Li and Kirubarajan, Estimation with applications to tracking and navigation, Wiley
       2001, section 6.2.3: white noise jerk.
    """
    step2, step3 = step_s * step_s, step_s**3
    spread[0, 0] += jerk * step2 * step3 / 20.0
    spread[0, 1] += jerk * step2 * step2 / 8.0
    spread[1, 0] += jerk * step2 * step2 / 8.0
    spread[0, 2] += jerk * step3 / 6.0
    spread[2, 0] += jerk * step3 / 6.0
    spread[1, 1] += jerk * step3 / 3.0
    spread[1, 2] += jerk * step2 / 2.0
    spread[2, 1] += jerk * step2 / 2.0
    spread[2, 2] += jerk * step_s


@inner
def predict(step_s, drive, mean, spread, room):
    """Carry state and covariance over a step: white jerk drives the acceleration.

    Parameters
    ----------
    step_s : float
        Step [s].
    drive : (float, float)
        Spectral density of the jerk, and growth of the variance of the offset [m^2/s^5].
    mean : ndarray, shape (4,)
        Height, speed, acceleration, offset [m, m/s, m/s^2, m/s^2]; overwritten.
    spread : ndarray, shape (4, 4)
        Covariance [products of the above]; overwritten.
    room : (ndarray, ndarray), shapes (4, 4)
        Room to work in, and what carries the state over the step [any]; both overwritten.

    References
    ----------
    .. [1] Bar-Shalom, Li and Kirubarajan, Estimation with applications to tracking and navigation, Wiley
       2001, section 6.2.3: white noise jerk.
    """
    jerk, offset = drive
    moved, transition = room
    half = 0.5 * step_s * step_s
    for row in range(4):
        for column in range(4):
            transition[row, column] = 1.0 if row == column else 0.0
    transition[0, 1] = transition[1, 2] = step_s
    transition[0, 2] = half
    mean[0] += step_s * mean[1] + half * mean[2]
    mean[1] += step_s * mean[2]
    for row in range(4):
        for column in range(4):
            total = 0.0
            for inside in range(4):
                total += transition[row, inside] * spread[inside, column]
            moved[row, column] = total
    for row in range(4):
        for column in range(4):
            total = 0.0
            for inside in range(4):
                total += moved[row, inside] * transition[column, inside]
            spread[row, column] = total
    add_white_jerk(step_s, jerk, spread)
    spread[3, 3] += offset * step_s


@inner
def take(reading, noise, with_height, mean, spread, gain):
    """Put one reading to the state: a height, or an acceleration that carries the offset.

    Parameters
    ----------
    reading : float
        What was read [m] or [m/s^2].
    noise : float
        Its standard deviation [m] or [m/s^2].
    with_height : int
        1: a height; 0: an acceleration.
    mean : ndarray, shape (4,)
        State [m, m/s, m/s^2, m/s^2]; overwritten.
    spread : ndarray, shape (4, 4)
        Covariance [products of the above]; overwritten.
    gain : ndarray, shape (4,)
        Room to work in [any].

    Returns
    -------
    squares : float
        Squared surprise over its variance [-].
    variance : float
        Variance of the surprise [square of the unit of the reading].

    References
    ----------
    .. [1] Kalman, A new approach to linear filtering and prediction problems, Journal of Basic Engineering
       82 (1960) 35.
    """
    if with_height == 1:
        surprise = reading - mean[0]
        for row in range(4):
            gain[row] = spread[row, 0]
        variance = gain[0] + noise * noise
    else:
        surprise = reading - mean[2] - mean[3]
        for row in range(4):
            gain[row] = spread[row, 2] + spread[row, 3]
        variance = gain[2] + gain[3] + noise * noise
    for row in range(4):
        mean[row] += gain[row] * surprise / variance
    for row in range(4):
        for column in range(4):
            spread[row, column] -= gain[row] * gain[column] / variance
    return surprise * surprise / variance, variance


@inner
def surprise_of(reading, noise, with_height, mean, spread):
    """Squared surprise of a reading over its variance, before it is put to the state.

    Parameters
    ----------
    reading : float
        What was read [m] or [m/s^2].
    noise : float
        Its standard deviation [m] or [m/s^2].
    with_height : int
        1: a height; 0: an acceleration.
    mean : ndarray, shape (4,)
        State [m, m/s, m/s^2, m/s^2].
    spread : ndarray, shape (4, 4)
        Covariance [products of the above].

    Returns
    -------
    squares : float
        Squared surprise over its variance [-].
    variance : float
        Variance of the surprise [square of the unit of the reading].

    References
    ----------
    .. [1] As of ``take``.
    """
    if with_height == 1:
        variance = spread[0, 0] + noise * noise
        return (reading - mean[0]) ** 2 / variance, variance
    variance = spread[2, 2] + 2.0 * spread[2, 3] + spread[3, 3] + noise * noise
    return (reading - mean[2] - mean[3]) ** 2 / variance, variance


@outer
def smooth(times_s, readings, noises, drive, told):
    """Filter forwards, smooth backwards; return the log of the likelihood of the readings.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that rise [s].
    readings : ndarray, shape (n, 2)
        Heights and accelerations, not a number where there is none [m, m/s^2].
    noises : ndarray, shape (n, 2)
        Their standard deviations [m, m/s^2].
    drive : (ndarray, float, ndarray, int), shapes (n,), (4,)
        Spectral density of the jerk over the step to each row, growth of the variance of the offset
        [m^2/s^5], deviations of the state around zero at the first row [m, m/s, m/s^2, m/s^2]; 1 to smooth,
        0 for the likelihood alone.
    told : (ndarray, ndarray, ndarray), shapes (n, 4), (n, 4, 4), (n, 2)
        Filled with the smoothed states [m, m/s, m/s^2, m/s^2], their covariances [products of these],
        and 1 where a reading was passed over [-].

    Returns
    -------
    likelihood : float
        Natural logarithm, without its constant [-].

    References
    ----------
    .. [1] Rauch, Tung and Striebel, Maximum likelihood estimates of linear dynamic systems, AIAA Journal 3
       (1965) 1445.
    """
    jerks, offset, start, back_too = drive
    means, spreads, passed = told
    count = len(times_s)
    mean, spread = np.zeros(4), np.zeros((4, 4))
    moved, gain = np.zeros((4, 4)), np.zeros(4)
    transitions = np.zeros((count, 4, 4))
    ahead_means, ahead_spreads = np.zeros((count, 4)), np.zeros((count, 4, 4))
    since = np.full(2, times_s[0])
    likelihood = 0.0
    for row in range(4):
        spread[row, row] = start[row] ** 2
    for row in range(count):
        if row > 0:
            step = times_s[row] - times_s[row - 1]
            predict(step, (jerks[row], offset), mean, spread, (moved, transitions[row]))
        ahead_means[row], ahead_spreads[row] = mean, spread
        for kind in range(2):
            passed[row, kind] = 0.0
            if not np.isfinite(readings[row, kind]):
                continue
            with_height = 1 - kind
            odd, variance = surprise_of(readings[row, kind], noises[row, kind], with_height, mean, spread)
            if odd <= GATE:
                since[kind] = times_s[row]
            elif times_s[row] - since[kind] <= PATIENT_S[kind]:
                passed[row, kind] = 1.0
                # As of a heavy tail: a surprise passed over is not forgiven.
                likelihood -= np.sqrt(GATE * odd) - 0.5 * GATE + 0.5 * np.log(variance)
                continue
            squares, variance = take(readings[row, kind], noises[row, kind], with_height, mean, spread, gain)
            likelihood -= 0.5 * (squares + np.log(variance))
        means[row], spreads[row] = mean, spread
    if back_too == 0:
        return likelihood
    for row in range(count - 2, -1, -1):
        back = spreads[row] @ transitions[row + 1].T @ np.linalg.inv(ahead_spreads[row + 1])
        means[row] += back @ (means[row + 1] - ahead_means[row + 1])
        spreads[row] += back @ (spreads[row + 1] - ahead_spreads[row + 1]) @ back.T
    return likelihood


@outer
def turn(times_s, rates, ups):
    """Carry the direction of up along a body that turns: each row from the one before.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that rise [s].
    rates : ndarray, shape (n, 3)
        Rates of turn about the body's own axes [rad/s].
    ups : ndarray, shape (n, 3)
        Up in body axes [-]; the first row given, the others filled.

    References
    ----------
    .. [1] Rodrigues' rotation about the mean rate of each step; any text on attitude.
    """
    for row in range(1, len(times_s)):
        step = times_s[row] - times_s[row - 1]
        x = -0.5 * (rates[row, 0] + rates[row - 1, 0]) * step
        y = -0.5 * (rates[row, 1] + rates[row - 1, 1]) * step
        z = -0.5 * (rates[row, 2] + rates[row - 1, 2]) * step
        angle = np.sqrt(x * x + y * y + z * z)
        a, b, c = ups[row - 1]
        if angle < 1e-12:
            ups[row] = ups[row - 1]
            continue
        x, y, z = x / angle, y / angle, z / angle
        cosine, sine = np.cos(angle), np.sin(angle)
        along = (x * a + y * b + z * c) * (1.0 - cosine)
        ups[row, 0] = a * cosine + (y * c - z * b) * sine + x * along
        ups[row, 1] = b * cosine + (z * a - x * c) * sine + y * along
        ups[row, 2] = c * cosine + (x * b - y * a) * sine + z * along
