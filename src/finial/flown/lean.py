"""How well the attitude is known that gyroscopes carry along from the pad, and the lean that comes of it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flown.clock import WIDE_GAP
from finial.flown.sensed import Sensed

_ASKEW_RAD = np.radians(1.0)
"""How far a sensor's axes may lie off the vehicle's; one deviation, assumed."""
_NO_PAD_RAD = np.radians(3.0)
"""Where no accelerometer of three axes tells how it stood; assumed."""
_DRIFT_RAD_S = np.radians(0.2)
"""How far a gyroscope's zero may have moved since the pad; one deviation, assumed."""
_MISSING_RAD_S = np.radians(30.0)
"""How fast it may turn while no row tells it; one deviation, assumed."""
SWEPT_SCALE = 0.01
"""Of what it turned across its axis; one deviation, assumed."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AttitudeDoubt:
    """How well a carried attitude is known; one deviation each; equal only to itself."""

    start_rad: float
    """About each level axis, on the pad."""
    zero_rad_s: float
    """Of each gyroscope's zero."""
    walk_rad2: NDArray[np.float64]
    """(n,) growth of the variance over the step to each row, by the gyroscopes' noise and missing rows."""


def attitude_doubt(sensed: Sensed) -> AttitudeDoubt:
    r"""How well gyroscopes carry the attitude along.

    .. math::  \sigma_0^2 = \sigma_a^2 + \frac{\sigma_f^2}{g_0^2 n}, \qquad
               \sigma_b^2 = \sigma_d^2 + \frac{\sigma_\omega^2}{n}, \qquad q_k = (\sigma_\omega\,\Delta t_k)^2

    with the sensor askew :math:`\sigma_a`, the noise of the accelerometer :math:`\sigma_f` and of the
    gyroscopes :math:`\sigma_\omega` over :math:`n` rows on the pad, and the drift of the zeros
    :math:`\sigma_d`.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].

    Returns
    -------
    doubt : AttitudeDoubt
        Deviations [units in its fields].

    Raises
    ------
    OutsideRange
        If no gyroscopes of three axes were aboard: then nothing carries the attitude along.

    Notes
    -----
    Holds for recorders of the trade: 1 degree askew and 0.2 degrees a second of drift, assumed. Where rates
    are missing it may have turned at 30 degrees a second, assumed.

    References
    ----------
    .. [1] Growth of the errors of a strapped-down sensor; Titterton and Weston, Strapdown Inertial Navigation
       Technology, 2004, chapter 12 (from memory).

    Examples
    --------
    >>> from dataclasses import replace
    >>> from finial.flown.example import example_sensed
    >>> still = replace(example_sensed(), turning_rad_s=np.zeros((1200, 3)))
    >>> round(float(np.degrees(attitude_doubt(still).zero_rad_s)), 3)
    0.2
    """
    if not sensed.has_turning:
        raise OutsideRange("no gyroscopes of three axes to carry the attitude along")
    known = np.isfinite(sensed.turning_rad_s).all(axis=1)
    on_pad = sensed.times_s < -0.1
    still = sensed.turning_rad_s[on_pad & known]
    noise = float(still[:, 1:].std()) if len(still) > 8 else 0.0
    steps = np.diff(sensed.times_s, prepend=sensed.times_s[0])
    missing = ~known | (steps > WIDE_GAP * float(np.median(steps)))
    return AttitudeDoubt(
        start_rad=_start_rad(sensed, on_pad),
        zero_rad_s=float(np.hypot(_DRIFT_RAD_S, noise / np.sqrt(max(len(still), 1)))),
        walk_rad2=np.where(
            sensed.times_s > 0.0,
            np.where(missing, _unseen(sensed.times_s, steps, missing), (noise * steps) ** 2),
            0.0,
        ),
    )


def _unseen(
    times: NDArray[np.float64], steps: NDArray[np.float64], missing: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Growth of the variance where nothing told the rate: the longer it lasts, the faster it grows."""
    seen = np.maximum.accumulate(np.where(missing, 0, np.arange(len(times))))
    lasts = times - times[seen]
    return _MISSING_RAD_S**2 * (lasts**2 - np.maximum(lasts - steps, 0.0) ** 2)


def lean_at(
    times_s: NDArray[np.float64],
    leans_rad: NDArray[np.float64],
    sigmas_rad: NDArray[np.float64],
    time_s: float,
) -> Estimate:
    """Angle from the vertical at a time [rad]; its ends hold about nine in ten.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Rising [s].
    leans_rad, sigmas_rad : ndarray, shape (n,)
        The lean, and its deviation [rad].
    time_s : float
        When [s].

    Returns
    -------
    lean : Estimate
        Between upright and upside down [rad].

    Notes
    -----
    Holds between the pad and the first canopy.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> lean_at(np.array([0.0, 2.0]), np.array([0.1, 0.3]), np.array([0.01, 0.03]), 1.0).value
    0.2
    """
    value = float(np.interp(time_s, times_s, leans_rad))
    half = NINETY * float(np.interp(time_s, times_s, sigmas_rad))
    return Estimate(
        value=value,
        low=max(value - half, 0.0),
        high=min(value + half, np.pi),
        known_by=KnownBy.MEASURED,
        method="gyroscopes from the pad, with the climb",
    )


def _start_rad(sensed: Sensed, on_pad: NDArray[np.bool_]) -> float:
    felt = sensed.felt_m_s2[on_pad]
    if not np.isfinite(felt).all(axis=1).any():
        return float(_NO_PAD_RAD)
    return float(np.hypot(_ASKEW_RAD, sensed.felt_noise_m_s2 / STANDARD_GRAVITY_M_S2 / np.sqrt(len(felt))))
