"""A log as sensors would have kept it of a computed flight, to rehearse with: its truth is known."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.atmosphere.day import Day, air_over_pad
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flight.trace import EventKind, Trace
from finial.flown.smoothing import port_error

MAPPING = """\
# What the columns of a rehearsed log are.
separator = "comma"

[time]
column = "time (s)"

[pressure]
column = "pressure (hPa)"
unit = "hPa"

[acceleration]
x = "felt x (g)"
y = "felt y (g)"
z = "felt z (g)"
unit = "g"
up = "+x"

[turning]
x = "turning x (deg/s)"
y = "turning y (deg/s)"
z = "turning z (deg/s)"
unit = "deg/s"
up = "+x"
"""
"""Mapping of every rehearsed log."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensors:
    """What the sensors do to the truth."""

    step_s: float = 0.02
    pressure_noise_pa: float = 8.0
    lag_s: float = 0.05
    """Of the air in the bay behind its ports."""
    drift_pa_s: float = 0.0
    port_coefficient: float = 0.0
    felt_noise_m_s2: float = 0.3
    felt_offset_m_s2: float = 0.0
    felt_scale: float = 1.0
    felt_range_m_s2: float = 500.0
    turning_noise_rad_s: float = 0.01
    pad_s: float = 5.0
    rest_s: float = 10.0
    """Recorded after the landing."""
    gap_s: tuple[float, float] | None = None
    """From lift-off: rows that are missing."""
    kick_m_s2: float = 0.0
    """Of the charge, in one row as the first canopy comes out."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RehearsedLog:
    """Columns in SI; equal only to itself."""

    times_s: NDArray[np.float64]
    """From zero as the recorder woke up."""
    pressures_pa: NDArray[np.float64]
    felt_m_s2: NDArray[np.float64]
    turning_rad_s: NDArray[np.float64]
    lift_off_s: float
    """On that clock."""

    def csv(self) -> str:
        """Write it as delimited text, with the columns that ``MAPPING`` names."""
        head = "time (s),pressure (hPa),felt x (g),felt y (g),felt z (g),"
        head += "turning x (deg/s),turning y (deg/s),turning z (deg/s)"
        table = np.column_stack(
            [
                self.times_s,
                self.pressures_pa / 100.0,
                self.felt_m_s2 / STANDARD_GRAVITY_M_S2,
                np.degrees(self.turning_rad_s),
            ]
        )
        rows = [
            ",".join((f"{row[0]:.4f}", f"{row[1]:.3f}", *(f"{cell:.4f}" for cell in row[2:])))
            for row in table.tolist()
        ]
        return "\n".join([head, *rows]) + "\n"


def rehearsed(trace: Trace, day: Day, sensors: Sensors, seed: int) -> RehearsedLog:
    """Let sensors keep a log of a computed flight; chance comes from the seed alone."""
    chance = np.random.default_rng(seed)
    lift_off = trace.event(EventKind.LIFT_OFF)
    start_s = lift_off.time_s if lift_off else 0.0
    end_s = float(trace.times_s[-1]) + sensors.rest_s
    times = np.arange(start_s - sensors.pad_s, end_s, sensors.step_s)
    if sensors.gap_s is not None:
        first, longest = sensors.gap_s
        times = times[(times < start_s + first) | (times > start_s + first + longest)]
    pressures = _pressures(trace, day, sensors, times) + sensors.pressure_noise_pa * chance.standard_normal(
        len(times)
    )
    felt = _felt(trace, sensors, times, start_s) + sensors.felt_noise_m_s2 * chance.standard_normal(
        (len(times), 3)
    )
    limit = sensors.felt_range_m_s2
    flying = (times > start_s) & (times < trace.times_s[-1])
    turning = np.column_stack(
        [np.interp(times, trace.times_s, trace.rates_rad_s[:, axis]) for axis in range(3)]
    )
    turning = np.where(flying[:, None], turning, 0.0)
    turning += sensors.turning_noise_rad_s * chance.standard_normal((len(times), 3))
    return RehearsedLog(
        times_s=times - times[0],
        pressures_pa=pressures,
        felt_m_s2=np.clip(felt, -limit, limit),
        turning_rad_s=turning,
        lift_off_s=start_s - float(times[0]),
    )


def _pressures(trace: Trace, day: Day, sensors: Sensors, times: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pressure in the bay: late, drifting, and sucked at by the port."""
    seen = times - sensors.lag_s
    heights = np.interp(seen, trace.times_s, trace.positions_m[:, 2]) - trace.positions_m[0, 2]
    speeds = np.interp(seen, trace.times_s, trace.airspeeds_m_s)
    speeds = np.where(seen < trace.times_s[0], 0.0, np.where(seen > trace.times_s[-1], 0.0, speeds))
    read = heights + port_error(1.0, sensors.port_coefficient) * speeds**2
    return np.asarray(air_over_pad(day, read).pressure_pa) + sensors.drift_pa_s * (times - times[0])


def _felt(trace: Trace, sensors: Sensors, times: NDArray[np.float64], start_s: float) -> NDArray[np.float64]:
    axes = [np.interp(times, trace.times_s, trace.accelerations_m_s2[:, axis]) for axis in range(3)]
    felt = np.column_stack(axes)
    rest = STANDARD_GRAVITY_M_S2 * _up_on_rail(trace)
    felt[(times < start_s) | (times > trace.times_s[-1])] = rest
    out = [event.time_s for event in trace.events if event.kind is EventKind.OUT]
    if out and sensors.kick_m_s2:
        felt[int(np.searchsorted(times, out[0])), 0] -= sensors.kick_m_s2
    return felt * sensors.felt_scale + np.array([sensors.felt_offset_m_s2, 0.0, 0.0])


def _up_on_rail(trace: Trace) -> NDArray[np.float64]:
    """Up in body axes, standing on the rail."""
    w, x, y, z = trace.quaternions[0].tolist()
    return np.array([2.0 * (x * z - w * y), 2.0 * (y * z + w * x), 1.0 - 2.0 * (x * x + y * y)])
