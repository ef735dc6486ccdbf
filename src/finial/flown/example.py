"""An invented short flight as its sensors told it, for examples."""

import numpy as np

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flown.sensed import Sensed


def example_sensed() -> Sensed:
    """Make up readings of a flight: a second of thrust at 50 m/s^2, an even drag, a canopy from the top.

    Returns
    -------
    sensed : Sensed
        60 s at 20 rows a second, from 2 s before lift-off [units in its fields].

    Notes
    -----
    Noise without chance: a sine too fast to follow, 0.5 m and 0.3 m/s^2.

    References
    ----------
    .. [1] Made up.

    Examples
    --------
    >>> round(float(example_sensed().heights_m.max()))
    131
    """
    times = np.arange(1200, dtype=float) * 0.05 - 2.0
    noise = np.sin(977.0 * np.arange(1200))
    heights, felt = _motion(times)
    return Sensed(
        times_s=times,
        heights_m=heights + 0.5 * noise,
        height_noise_m=0.4,
        felt_m_s2=np.column_stack([felt + 0.3 * noise[::-1], np.zeros((1200, 2))]),
        felt_noise_m_s2=0.25,
        saturated=np.zeros(1200, dtype=bool),
        turning_rad_s=np.full((1200, 3), np.nan),
    )


def _motion(times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    gravity, push, drag, sinks = STANDARD_GRAVITY_M_S2, 50.0, 2.0, 6.0
    slows = gravity + drag
    top_s = 1.0 + push / slows
    coasting = np.minimum(times, top_s) - 1.0
    climb = np.where(times < 1.0, 0.5 * push * times**2, 25.0 + push * coasting - 0.5 * slows * coasting**2)
    top = 25.0 + 0.5 * push**2 / slows
    heights = np.where(times > top_s, np.maximum(top - sinks * (times - top_s), 0.0), climb)
    felt = np.where(times < 1.0, push + gravity, np.where(times < top_s, -drag, gravity))
    on_pad = times < 0.0
    return np.where(on_pad, 0.0, heights), np.where(on_pad, gravity, felt)
