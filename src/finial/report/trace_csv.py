"""A flight's time history as comma-separated values, one row a step, units in the heading."""

import csv
import io

import numpy as np

from finial.flight.trace import Trace


def trace_csv(trace: Trace) -> str:
    """Return the trace as CSV text, SI units and radians, without rounding.

    Positions are east and north of the pad and height above ground; rates and felt
    accelerations are in body axes (x forward, y and z across).
    """
    columns = trace_columns(trace)
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(np.column_stack(list(columns.values())).tolist())
    return stream.getvalue()


def trace_columns(trace: Trace) -> dict[str, np.ndarray]:
    """Return the columns of a trace by name, each (n,), SI units and radians."""
    singles = {
        "mass_kg": trace.masses_kg,
        "thrust_n": trace.thrusts_n,
        "airspeed_m_s": trace.airspeeds_m_s,
        "mach": trace.machs,
        "dynamic_pressure_pa": trace.dynamic_pressures_pa,
        "angle_of_attack_rad": trace.alphas_rad,
        "wind_roll_rad": trace.rolls_rad,
    }
    return {
        "time_s": trace.times_s,
        **_split(trace.positions_m, ("east_m", "north_m", "height_agl_m")),
        **_split(trace.velocities_m_s, ("velocity_east_m_s", "velocity_north_m_s", "velocity_up_m_s")),
        **_split(trace.quaternions, ("quaternion_w", "quaternion_x", "quaternion_y", "quaternion_z")),
        **_split(trace.rates_rad_s, ("rate_x_rad_s", "rate_y_rad_s", "rate_z_rad_s")),
        **singles,
        **_split(trace.accelerations_m_s2, ("felt_x_m_s2", "felt_y_m_s2", "felt_z_m_s2")),
    }


def _split(table: np.ndarray, names: tuple[str, ...]) -> dict[str, np.ndarray]:
    return dict(zip(names, table.T, strict=True))
