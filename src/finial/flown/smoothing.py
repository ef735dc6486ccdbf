"""Height, speed and acceleration over time, smoothed, with how well each is known."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.flown.leaning import PORT_COEFFICIENT, deviations, felt_in_earth, smoothed_lean
from finial.flown.sensed import Sensed

MOST_ROWS = 20_000
"""Finer rows are averaged before they are smoothed."""
_JERKS: tuple[float, ...] = tuple(10.0**power for power in range(-2, 6))
_OFFSET_M_S2 = 0.5
"""How far an accelerometer's zero may be off; assumed."""
_OFFSET_GROWTH = 1e-4
_OPENS_M2_S5, _OPENS_WITHIN_S = 200.0, 5.0
"""White jerk of a canopy that ends a free fall within half a second, and how long after the top it may."""
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
    leans_rad: NDArray[np.float64] | None = None
    """From the vertical, where gyroscopes carried it."""
    lean_sigmas_rad: NDArray[np.float64] | None = None
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


def smoothed(sensed: Sensed, turns: NDArray[np.float64], apogee_s: float) -> SmoothedClimb:
    """Smooth the motion from barometer, accelerometer and gyroscopes.

    A Kalman filter over height, speed, acceleration and the accelerometer's offset, driven by white
    jerk, and the Rauch-Tung-Striebel smoother back over it; with gyroscopes the errors of the attitude that
    they carry, their zeros and scales stand in the same filter (``smoothed_lean``). The jerk before and after
    the apogee is the one under which the readings are likeliest. The barometer counts less the faster it
    flies, and not at all near the speed of sound; the accelerometer counts until the apogee.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    turns : ndarray, shape (n, 3, 3)
        East, north and up in body axes at each row, as ``attitudes`` carries them [-].
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
    dynamic pressure, assumed; with gyroscopes it is one number of the filter, as a lag of 0.1 s is, assumed.
    Without an accelerometer the ends of the burn are smeared.

    References
    ----------
    .. [1] Rauch, Tung and Striebel, AIAA Journal 3 (1965) 1445.

    Examples
    --------
    >>> from finial.flown.example import example_sensed
    >>> from finial.flown.turning import attitudes
    >>> climb = smoothed(example_sensed(), attitudes(example_sensed(), 0.0), 5.2)
    >>> round(float(climb.heights_m.max()))
    130
    """
    if not (sensed.has_heights or sensed.has_axial):
        raise OutsideRange("neither heights nor accelerations to smooth")
    if len(sensed.times_s) < 10:
        raise OutsideRange(f"{len(sensed.times_s)} rows are too few to smooth")
    times, readings = _readings(sensed, turns, apogee_s)
    noises = _noises(sensed, times, np.zeros(len(times)), readings)
    rough, _ = _best(times, readings, noises, apogee_s)
    noises = _noises(sensed, times, rough.speeds_m_s, readings)
    _leave_out(sensed, readings, rough.speeds_m_s)
    found, jerks = _best(times, readings, noises, apogee_s)
    if sensed.has_turning:
        # A shock on the port bends the first speeds; the second go by the push.
        _leave_out(sensed, readings, found.speeds_m_s)
        opens = (times > apogee_s) & (times < apogee_s + _OPENS_WITHIN_S)
        jerks = np.where(opens, np.maximum(jerks, _OPENS_M2_S5), jerks)
        return _with_attitude(sensed, turns, found, (readings, noises[:, 1], jerks))
    return found if sensed.has_axial or sensed.heights_by_satellites else _with_port(found)


def _leave_out(sensed: Sensed, readings: NDArray[np.float64], speeds: NDArray[np.float64]) -> None:
    """Take a barometer's heights out of the readings where it flies near the speed of sound."""
    if not sensed.heights_by_satellites:
        readings[np.abs(speeds) > _TOO_FAST * _SOUND_M_S, 0] = np.nan


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


def _with_attitude(
    sensed: Sensed,
    turns: NDArray[np.float64],
    rough: SmoothedClimb,
    rows: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
) -> SmoothedClimb:
    """Smooth once more: the attitude's errors, a port's and a lag stand in the same filter."""
    times, (readings, push_noises, jerks) = rough.times_s, rows
    heights = np.full(len(times), max(sensed.height_noise_m, 0.05))
    noises = np.column_stack([heights, push_noises])
    felt = felt_in_earth(sensed, turns, times, rough.speeds_m_s)
    found = smoothed_lean(times, readings, noises, jerks, (felt, sensed, (_START, _OFFSET_GROWTH)))
    climb = _climb(times, readings, (found.means, found.sigmas, found.passed))
    return replace(climb, leans_rad=found.leans_rad, lean_sigmas_rad=found.lean_sigmas_rad)


def _readings(
    sensed: Sensed, turns: NDArray[np.float64], apogee_s: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Heights and vertical accelerations on rows that are not too many."""
    vertical = _pushed_up(sensed, turns) - STANDARD_GRAVITY_M_S2
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


def _pushed_up(sensed: Sensed, turns: NDArray[np.float64]) -> NDArray[np.float64]:
    """Add up what was felt upwards: by all axes where gyroscopes tell how each lies, else by one."""
    along = sensed.axial_m_s2 * turns[:, 2, 0]
    if not sensed.has_turning:
        return along
    across = (sensed.felt_m_s2[:, 1:] * turns[:, 2, 1:]).sum(axis=1)
    return along + np.where(np.isfinite(across), across, 0.0)


def _noises(
    sensed: Sensed,
    times: NDArray[np.float64],
    speeds: NDArray[np.float64],
    readings: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Deviations of both readings: the sensor's own, and the port's."""
    # Where an accelerometer tells the speed too, the port counts less the faster it flies.
    counts = sensed.has_axial and not sensed.heights_by_satellites
    port = _port_sigma(speeds) if counts else np.zeros(len(times))
    heights = np.hypot(max(sensed.height_noise_m, 0.05), port)
    pushes = np.abs(np.where(np.isfinite(readings[:, 1]), readings[:, 1], 0.0))
    felt = np.hypot(max(sensed.felt_noise_m_s2, 0.05), 0.02 * pushes)
    return np.column_stack([heights, felt])


def _best(
    times: NDArray[np.float64], readings: NDArray[np.float64], noises: NDArray[np.float64], apogee_s: float
) -> tuple[SmoothedClimb, NDArray[np.float64]]:
    """Smooth with the likeliest jerk before the apogee, then with the likeliest after it; and these."""
    # A canopy that opens at the top brakes within a row or three of a slow receiver: that is no steady fall.
    before = times <= apogee_s + 3.0 * float(np.median(np.diff(times)))

    def tried(up: float, down: float) -> float:
        return _run(times, readings, noises, np.where(before, up, down), back_too=False)[0]

    up = max(_JERKS, key=lambda jerk: tried(jerk, 10.0))
    down = max(_JERKS, key=lambda jerk: tried(up, jerk))
    jerks = np.where(before, up, down)
    _, means, spreads, passed = _run(times, readings, noises, jerks, back_too=True)
    return _climb(times, readings, (means, deviations(spreads), passed)), jerks


def _climb(
    times: NDArray[np.float64],
    readings: NDArray[np.float64],
    found: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
) -> SmoothedClimb:
    """Name the first three states and their deviations, and count what was passed over."""
    means, sigmas, passed = found
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
