"""Height, speed and acceleration over time, smoothed, with how well each is known."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.flown.sensed import Sensed

MOST_ROWS = 40_000
"""Finer rows are averaged before they are smoothed."""
PORT_COEFFICIENT = 0.03
"""Assumed: how far the pressure at the port may be off, over the dynamic pressure."""
_JERKS: tuple[float, ...] = tuple(10.0**power for power in range(-2, 6))
_OFFSET_M_S2 = 0.5
"""How far an accelerometer's zero may be off; assumed."""
_OFFSET_GROWTH = 1e-4
_START = np.array([2.0, 1.0, 1.0, _OFFSET_M_S2])
_SOUND_M_S = 340.0
_TOO_FAST = 0.85
"""Mach number from which a port on a body may tell anything."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SmoothedClimb:
    """The smoothed vertical motion; arrays of shape (n,); equal only to itself."""

    times_s: NDArray[np.float64]
    heights_m: NDArray[np.float64]
    speeds_m_s: NDArray[np.float64]
    """Upwards positive."""
    accelerations_m_s2: NDArray[np.float64]
    height_sigmas_m: NDArray[np.float64]
    speed_sigmas_m_s: NDArray[np.float64]
    acceleration_sigmas_m_s2: NDArray[np.float64]
    spikes: int
    """Readings passed over because nothing that flies moves so."""
    felt: bool
    """Whether an accelerometer helped."""


def port_error(speed_m_s: float, coefficient: float) -> float:
    r"""How much too high a port reads whose pressure is off by a share of the dynamic pressure.

    .. math::  \Delta h = -C_p \frac{V^2}{2 g_0}

    Parameters
    ----------
    speed_m_s : float
        Speed through the air, :math:`V` [m/s].
    coefficient : float
        Pressure coefficient at the port, :math:`C_p` [-]; below zero it sucks, and reads too high.

    Returns
    -------
    error_m : float
        Height read above the true one [m].

    Notes
    -----
    Air that does not give, below Mach 0.3; the density drops out.

    References
    ----------
    .. [1] Bernoulli and the hydrostatic balance; any textbook of aerodynamics.

    Examples
    --------
    >>> round(port_error(100.0, -0.1))
    51
    """
    return -coefficient * speed_m_s**2 / (2.0 * STANDARD_GRAVITY_M_S2)


def smoothed(sensed: Sensed, uprights: NDArray[np.float64], apogee_s: float) -> SmoothedClimb:
    """Smooth the vertical motion from barometer and accelerometer.

    A Kalman filter over height, speed, acceleration and the accelerometer's offset, driven by white
    jerk, and the Rauch-Tung-Striebel smoother back over it. The jerk before and after the apogee is the
    one under which the readings are likeliest. The barometer counts less the faster it flies, and not at
    all near the speed of sound; the accelerometer counts until the apogee.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    uprights : ndarray, shape (n,)
        Cosine of the axis' angle from the vertical at each row [-].
    apogee_s : float
        Time of the highest reading, roughly [s].

    Returns
    -------
    climb : SmoothedClimb
        Smoothed motion with standard deviations [units in its fields].

    Raises
    ------
    OutsideRange
        If there are neither heights nor accelerations, or fewer than ten rows.

    Notes
    -----
    Deviations hold for noise that is new in each row; what a port is off by is put at 0.03 of the
    dynamic pressure, assumed. Without an accelerometer the ends of the burn are smeared.

    References
    ----------
    .. [1] Rauch, Tung and Striebel, AIAA Journal 3 (1965) 1445.

    Examples
    --------
    >>> from finial.flown.example import example_sensed
    >>> climb = smoothed(example_sensed(), np.ones(1200), 5.2)
    >>> round(float(climb.heights_m.max()))
    130
    """
    if not (sensed.has_heights or sensed.has_axial):
        raise OutsideRange("neither heights nor accelerations to smooth")
    if len(sensed.times_s) < 10:
        raise OutsideRange(f"{len(sensed.times_s)} rows are too few to smooth")
    times, readings = _readings(sensed, uprights, apogee_s)
    noises = _noises(sensed, times, np.zeros(len(times)), readings)
    rough = _best(times, readings, noises, apogee_s)
    noises = _noises(sensed, times, rough.speeds_m_s, readings)
    readings[np.abs(rough.speeds_m_s) > _TOO_FAST * _SOUND_M_S, 0] = np.nan
    found = _best(times, readings, noises, apogee_s)
    return found if sensed.has_axial else _with_port(found)


def _port_sigma(speeds: NDArray[np.float64]) -> NDArray[np.float64]:
    return PORT_COEFFICIENT * speeds**2 / (2.0 * STANDARD_GRAVITY_M_S2)


def _with_port(climb: SmoothedClimb) -> SmoothedClimb:
    """Widen what a barometer alone tells by what its port may be off by, and how fast that changes."""
    port = _port_sigma(climb.speeds_m_s)
    grows = PORT_COEFFICIENT * climb.speeds_m_s * climb.accelerations_m_s2 / STANDARD_GRAVITY_M_S2
    return replace(
        climb,
        height_sigmas_m=np.hypot(climb.height_sigmas_m, port),
        speed_sigmas_m_s=np.hypot(climb.speed_sigmas_m_s, grows),
    )


def _readings(
    sensed: Sensed, uprights: NDArray[np.float64], apogee_s: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Heights and vertical accelerations on rows that are not too many."""
    vertical = sensed.axial_m_s2 * uprights - STANDARD_GRAVITY_M_S2
    unknown = (sensed.times_s > apogee_s) | sensed.saturated
    readings = np.column_stack([sensed.heights_m, np.where(unknown, np.nan, vertical)])
    share = -(-len(readings) // MOST_ROWS)
    if share == 1:
        return sensed.times_s.copy(), readings
    whole = len(readings) // share * share
    blocks = readings[:whole].reshape(-1, share, 2)
    known = np.isfinite(blocks)
    counts = known.sum(axis=1)
    means = np.where(known, blocks, 0.0).sum(axis=1) / np.maximum(counts, 1)
    return sensed.times_s[:whole].reshape(-1, share).mean(axis=1), np.where(counts > 0, means, np.nan)


def _noises(
    sensed: Sensed, times: NDArray[np.float64], speeds: NDArray[np.float64], readings: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Deviations of both readings: the sensor's own, the port's, and what a lean makes of the push."""
    # Where an accelerometer tells the speed too, the port counts less the faster it flies.
    port = _port_sigma(speeds) if sensed.has_axial else np.zeros(len(times))
    heights = np.hypot(max(sensed.height_noise_m, 0.05), port)
    pushes = np.abs(np.where(np.isfinite(readings[:, 1]), readings[:, 1], 0.0))
    felt = np.hypot(max(sensed.felt_noise_m_s2, 0.05), 0.02 * pushes)
    return np.column_stack([heights, felt])


def _best(
    times: NDArray[np.float64], readings: NDArray[np.float64], noises: NDArray[np.float64], apogee_s: float
) -> SmoothedClimb:
    """Smooth with the likeliest jerk before the apogee, then with the likeliest after it."""
    before = times <= apogee_s

    def tried(up: float, down: float) -> float:
        return _run(times, readings, noises, np.where(before, up, down), back_too=False)[0]

    up = max(_JERKS, key=lambda jerk: tried(jerk, 10.0))
    down = max(_JERKS, key=lambda jerk: tried(up, jerk))
    _, means, spreads, passed = _run(times, readings, noises, np.where(before, up, down), back_too=True)
    sigmas = np.sqrt(np.maximum(np.diagonal(spreads, axis1=1, axis2=2), 0.0))
    return SmoothedClimb(
        times_s=times,
        heights_m=means[:, 0],
        speeds_m_s=means[:, 1],
        accelerations_m_s2=means[:, 2],
        height_sigmas_m=sigmas[:, 0],
        speed_sigmas_m_s=sigmas[:, 1],
        acceleration_sigmas_m_s2=sigmas[:, 2],
        spikes=int(passed.sum()),
        felt=bool(np.isfinite(readings[:, 1]).any()),
    )


def _run(
    times: NDArray[np.float64],
    readings: NDArray[np.float64],
    noises: NDArray[np.float64],
    jerks: NDArray[np.float64],
    *,
    back_too: bool,
) -> tuple[float, NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    # The compiler's import costs a third of a second: only when a log is smoothed.
    from finial.flown.kernel import STATES, smooth

    kernel: Any = smooth
    count = len(times)
    means, spreads = np.zeros((count, STATES)), np.zeros((count, STATES, STATES))
    passed = np.zeros((count, 2))
    likelihood = kernel(
        times, readings, noises, (jerks, _OFFSET_GROWTH, _START, int(back_too)), (means, spreads, passed)
    )
    return float(likelihood), means, spreads, passed
