"""A made-up log's climb whose every row is known: even push, even falls, corners where they are put."""

import numpy as np

from finial.core.estimates import Estimate, KnownBy
from finial.flown.smoothing import SmoothedClimb

STEP_S = 0.02
TIMES = np.round(np.arange(-2.0, 30.0, STEP_S), 6)
CORNERS_S = [-2.0, 0.0, 1.0, 6.0, 8.0, 11.0, 11.5, 24.25, 24.27, 30.0]
SPEEDS_M_S = [0.0, 0.0, 50.0, 0.0, -20.0, -20.0, -5.0, -5.0, 0.0, 0.0]
"""50 m/s^2 for a second, then 10 m/s^2 less; two steady falls; at rest from 24.27 s on."""
LIFT_OFF = Estimate(value=0.0, low=-0.02, high=0.02, known_by=KnownBy.MEASURED, method="made up")


def climb(*, height_sigma_m: float = 0.3, felt: bool = True) -> SmoothedClimb:
    speeds = np.interp(TIMES, CORNERS_S, SPEEDS_M_S)
    heights = np.concatenate([[0.0], np.cumsum(0.5 * (speeds[1:] + speeds[:-1])) * STEP_S])
    return SmoothedClimb(
        times_s=TIMES,
        heights_m=heights,
        speeds_m_s=speeds,
        accelerations_m_s2=np.gradient(speeds, STEP_S),
        height_sigmas_m=np.full(len(TIMES), height_sigma_m),
        speed_sigmas_m_s=np.full(len(TIMES), 0.2),
        acceleration_sigmas_m_s2=np.full(len(TIMES), 0.1),
        spikes=0,
        felt=felt,
    )
