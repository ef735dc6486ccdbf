"""Air loads as a table that a flight can look up."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AirTable:
    """Coefficients over angle of attack, roll angle of the wind and Mach number; equal only to itself.

    Grid arrays rise strictly: ``alpha_rad`` from 0 to pi, ``roll_rad`` from 0 to 2 pi
    with both ends given, ``mach`` from 0. Coefficient arrays have shape (alpha, roll, mach).
    Across-axis coefficients are divided by ``sin(alpha)``, so they stay finite at 0:
    force along the cross wind = q S ``along`` sin(alpha).

    ``along``, ``across``: force coefficients along the cross wind, and 90 degrees on from it
    in roll. ``along_moment``, ``across_moment``: first moments of those forces about the tip,
    per width, positive aft: centre of pressure of the along force = width along_moment / along.
    ``roll_moment``: about the body x axis, per width, not divided by anything.
    ``axial_power_on`` and ``axial_power_off``: backward force along the axis.
    ``pitch_damping``: d(moment coefficient) / d(rate x width / (2 V)), both about body y through
    ``damping_centre_m``, negative when it damps, shape (mach,). ``yaw_damping`` likewise about
    body z, left out where it is the same, and ``yaw_by_pitch``, moment about z per rate about y
    and the other way round, left out where it is nothing. ``roll_damping`` about the axis.
    ``side_force`` along body y and z, and its first moments about the tip per width,
    ``side_moment``: what a shape that leans or bends feels on top while the air comes from
    ahead, falling with the squared cosine of the angle. The axial force acts at
    ``drag_line_m``, off the axis along y and z.
    """

    reference_area_m2: float
    width_m: float
    alpha_rad: NDArray[np.float64]
    roll_rad: NDArray[np.float64]
    mach: NDArray[np.float64]
    along: NDArray[np.float64]
    across: NDArray[np.float64]
    along_moment: NDArray[np.float64]
    across_moment: NDArray[np.float64]
    roll_moment: NDArray[np.float64]
    axial_power_on: NDArray[np.float64]
    axial_power_off: NDArray[np.float64]
    pitch_damping: NDArray[np.float64]
    roll_damping: NDArray[np.float64]
    damping_centre_m: float
    least_damping: NDArray[np.float64] | None = None
    """Low end of the damping in the plane where it is least, shape (mach,); left out where not known."""
    yaw_damping: NDArray[np.float64] | None = None
    yaw_by_pitch: NDArray[np.float64] | None = None
    side_force: tuple[float, float] = (0.0, 0.0)
    side_moment: tuple[float, float] = (0.0, 0.0)
    drag_line_m: tuple[float, float] = (0.0, 0.0)
