"""A wind measured aloft: three plain columns, height, speed and the bearing it blows from."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import BuildSheetError, Fault
from finial.files.columns import UNIT_IN_HEADING, NumberedRow, cells_of, is_heading, number_in, numbered_rows
from finial.files.source import read_text

_WANTED = "three columns: height above ground in m, speed in m/s, bearing it blows from in deg"
_UNITS = ("m", "m/s", "deg")
_FASTEST_M_S = 100.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WindColumn:
    """Wind at heights above ground, lowest first; equal only to itself. Arrays of shape (n,), read-only."""

    heights_m: NDArray[np.float64]
    speeds_m_s: NDArray[np.float64]
    from_rad: NDArray[np.float64]


def read_wind_column(path: Path) -> WindColumn:
    """Read a wind column. What follows ``#`` is a comment; one heading line may come first.

    Raises
    ------
    BuildSheetError
        With each kind of fault once, at its first line: other units in the heading, not three
        columns, not a finite number, heights that do not rise or lie below ground, speeds below
        0 or above 100 m/s, bearings outside 0 to 360 deg, fewer than two rows.
    """
    rows = numbered_rows(read_text(path, wanted="a wind column"))
    faults = list(_heading_faults(path, rows))
    if rows and is_heading(rows[0][1]):
        rows = rows[1:]
    bad = [fault for row in rows for fault in _row_faults(path, row)]
    if not bad:
        bad = list(_order_faults(path, rows))
    faults += {fault.accepted: fault for fault in reversed(bad)}.values()
    if faults:
        raise BuildSheetError(sorted(faults, key=lambda fault: fault.line or 0))
    heights, speeds, bearings = np.array([[float(cell) for cell in cells_of(row)] for _, row in rows]).T
    arrays = (heights.copy(), speeds.copy(), np.radians(bearings))
    for array in arrays:
        array.flags.writeable = False
    return WindColumn(heights_m=arrays[0], speeds_m_s=arrays[1], from_rad=arrays[2])


def _heading_faults(path: Path, rows: list[NumberedRow]) -> Iterator[Fault]:
    if not rows or not is_heading(rows[0][1]):
        return
    units = tuple(unit.strip().casefold() for unit in UNIT_IN_HEADING.findall(rows[0][1]))
    if units and units != _UNITS:
        yield _fault(path, rows[0], f"units {', '.join(units)}", f"units {', '.join(_UNITS)}, in this order")


def _row_faults(path: Path, row: NumberedRow) -> Iterator[Fault]:
    cells = cells_of(row[1])
    values = [number_in(cell) for cell in cells]
    if len(cells) != 3 or any(value is None or not math.isfinite(value) for value in values):
        yield _fault(path, row, row[1], _WANTED)
        return
    height, speed, bearing = (float(cell) for cell in cells)
    if height < 0.0:
        yield _fault(path, row, f"{height:g} m", "heights above ground of 0 m or more", "heights ASL?")
    if not 0.0 <= speed <= _FASTEST_M_S:
        yield _fault(path, row, f"{speed:g} m/s", f"speeds of 0 to {_FASTEST_M_S:g} m/s")
    if not 0.0 <= bearing <= 360.0:
        yield _fault(path, row, f"{bearing:g} deg", "compass bearings of 0 to 360 deg")


def _order_faults(path: Path, rows: list[NumberedRow]) -> Iterator[Fault]:
    if len(rows) < 2:
        yield _fault(path, rows[-1] if rows else (0, ""), f"{len(rows)} rows", "two rows or more")
    heights = [(line, float(cells_of(row)[0])) for line, row in rows]
    for (_, below), (line, above) in pairwise(heights):
        if above <= below:
            yield _fault(
                path,
                (line, ""),
                f"{above:g} m after {below:g} m",
                "heights that rise from line to line, lowest first",
                "a sounding written from the top down? turn it round",
            )


def _fault(path: Path, row: NumberedRow, given: str, accepted: str, likely_slip: str = "") -> Fault:
    return Fault(
        file=str(path),
        line=row[0] or None,
        field="wind column",
        given=given,
        accepted=accepted,
        likely_slip=likely_slip,
    )
