"""Tables of the air loads that only the air command shows."""

import math

import numpy as np

from finial.report.document import Table
from finial.report.outline import Outlined
from finial.report.shown import Shown

_STRETCHES = 10
_ROLL_STEP_DEG = 30.0
_AT_DEG = 10.0


def load_table(readiness: Outlined, shown: Shown) -> Table:
    """Force slope of the bare body gathered over ten equal stretches, and fins beside them."""
    air, length = readiness.air, readiness.shape.skin.length_m
    ends = np.linspace(0.0, length, _STRETCHES + 1)
    stations, loads = air.load_stations_m, air.load_per_m
    gathered = np.concatenate([[0.0], np.cumsum(np.diff(stations) * (loads[1:] + loads[:-1]) / 2)])
    at_ends = np.interp(ends, stations, gathered)
    rows = [
        (f"{shown.length(float(fore))} to {shown.length(float(aft))}", f"{gain:+.2f}", f"{total:.2f}")
        for fore, aft, gain, total in zip(ends[:-1], ends[1:], np.diff(at_ends), at_ends[1:], strict=True)
    ]
    for fin, row in zip(readiness.shape.fins, air.fin_rows, strict=True):
        rows.append((f"{fin.name}, from {shown.length(fin.station_m)}", f"{row.slope_per_rad:+.2f}", ""))
    return Table(
        title="Force slope along the stations, per radian",
        columns=("stretch", "gathers", "so far"),
        rows=tuple(rows),
        numbers=(1, 2),
    )


def roll_table(readiness: Outlined, shown: Shown) -> Table:
    """Pressure band round the vehicle at one angle of attack."""
    air = readiness.air
    row = int(np.abs(np.degrees(air.angles_rad) - _AT_DEG).argmin())
    rows = [
        (
            shown.angle(float(roll)),
            shown.length(float(air.pressure_forward_m[row, column])),
            shown.length(float(air.pressure_central_m[row, column])),
            shown.length(float(air.pressure_aft_m[row, column])),
        )
        for column, roll in enumerate(air.rolls_rad)
        if math.isclose(math.degrees(roll) % _ROLL_STEP_DEG, 0.0, abs_tol=1e-6)
        or math.isclose(math.degrees(roll) % _ROLL_STEP_DEG, _ROLL_STEP_DEG, abs_tol=1e-6)
    ]
    return Table(
        title=f"Pressure band round the vehicle at {shown.angle(float(air.angles_rad[row]))}, station",
        columns=("wind blows to roll", "forward end", "central", "aft end"),
        rows=tuple(rows),
        numbers=(0, 1, 2, 3),
    )
