"""Thrust curves: two plain columns, time [s] and thrust [N], with any separator."""

import math
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import BuildSheetError, Fault
from finial.files.columns import UNIT_IN_HEADING, NumberedRow, cells_of, is_heading, number_in, numbered_rows
from finial.files.source import read_text

Curve = tuple[NDArray[np.float64], NDArray[np.float64]]
_Point = tuple[int, float, float]

_KNOWN_UNITS = {"s", "sec", "seconds", "n", "newton", "newtons"}
_FEWEST_POINTS = 3
_ZERO_SHARE = 0.01
"""A last thrust below this share of the largest counts as zero."""
_LATEST_START_S = 5.0
"""A curve that begins later has times that count from something else than ignition."""


def read_thrust_curve(path: Path) -> Curve:
    """Read times [s] and thrusts [N], each of shape (n,) and read-only.

    A curve that begins after ignition gets the point (0, 0) before it. What follows
    ``#`` is a comment; one heading line may come first.

    Raises
    ------
    BuildSheetError
        With each kind of fault once, at its first line: units in the heading other
        than seconds and newtons, not two columns, not a finite number, time before
        zero or not rising, negative thrust, fewer than three points, a first point
        later than 5 s, thrust that does not end at zero.
    """
    rows = numbered_rows(read_text(path, wanted="a thrust curve"))
    faults = list(_heading_faults(path, rows))
    if rows and is_heading(rows[0][1]):
        rows = rows[1:]
    bad_rows = [fault for row in rows for fault in _row_faults(path, row)]
    if not bad_rows:
        bad_rows = list(_curve_faults(path, [_point(row) for row in rows]))
    faults += {fault.accepted: fault for fault in reversed(bad_rows)}.values()
    if faults:
        raise BuildSheetError(sorted(faults, key=lambda fault: fault.line or 0))
    return _arrays([_point(row) for row in rows])


def impulse_n_s(curve: Curve) -> float:
    """Total impulse: the area under the curve, straight lines between its points [N s].

    Examples
    --------
    >>> impulse_n_s((np.array([0.0, 0.05, 1.5, 2.0]), np.array([0.0, 400.0, 400.0, 0.0])))
    690.0
    """
    times, thrusts = curve
    return float(np.trapezoid(thrusts, times))


def _heading_faults(path: Path, rows: list[NumberedRow]) -> Iterator[Fault]:
    if not rows or not is_heading(rows[0][1]):
        return
    named = [unit.strip() for unit in UNIT_IN_HEADING.findall(rows[0][1])]
    units = [unit for unit in named if unit and unit.casefold() not in _KNOWN_UNITS]
    if units:
        yield _fault(path, rows[0], f"unit {' and '.join(units)}", "time in s and thrust in N")


def _row_faults(path: Path, row: NumberedRow) -> Iterator[Fault]:
    cells = cells_of(row[1])
    if len(cells) != 2:
        commas = "decimals are written with a point" if re.search(r"\d,\d.*\d,\d", row[1]) else ""
        yield _fault(path, row, row[1], "two columns: time in s and thrust in N", commas)
        return
    values = [number_in(cell) for cell in cells]
    if any(value is None or not math.isfinite(value) for value in values):
        yield _fault(path, row, row[1], "two finite numbers: time in s and thrust in N")
    elif any(value is not None and value < 0 for value in values):
        yield _fault(path, row, row[1], "time and thrust that are not negative")


def _curve_faults(path: Path, points: list[_Point]) -> Iterator[Fault]:
    for (_, before, _), (line, time, _) in pairwise(points):
        if time <= before:
            yield _fault(
                path, (line, ""), f"{time:g} s after {before:g} s", "times that rise from line to line"
            )
    if len(points) < _FEWEST_POINTS:
        last = points[-1][0] if points else 0
        yield _fault(path, (last, ""), f"{len(points)} points", f"at least {_FEWEST_POINTS} points")
        return
    line, start, _ = points[0]
    if start > _LATEST_START_S:
        yield _fault(
            path,
            (line, ""),
            f"a first point at {start:g} s",
            f"times that count from ignition, the first at {_LATEST_START_S:g} s at most",
            "times in milliseconds, or counted from something else than ignition",
        )
    yield from _gap_faults(path, points)
    line, _, thrust = points[-1]
    most = max(point[2] for point in points)
    if most == 0:
        yield _fault(path, (line, ""), "no thrust at all", "a curve with thrust")
    elif thrust > _ZERO_SHARE * most:
        yield _fault(
            path,
            (line, ""),
            f"the curve ends at {thrust:g} N",
            "a last point with thrust 0",
            "lines may be missing",
        )


def _gap_faults(path: Path, points: list[_Point]) -> Iterator[Fault]:
    """Find thrust that stops in the middle and comes back: a record with a hole in it."""
    burning = [index for index, (_, _, thrust) in enumerate(points) if thrust > 0]
    for before, after in pairwise(burning):
        if after > before + 1:
            line, start, _ = points[before + 1]
            yield _fault(
                path,
                (line, ""),
                f"no thrust from {start:g} s to {points[after - 1][1]:g} s, then thrust again",
                "thrust without gaps from first to last",
                "rows may be missing, or two motors in one file",
            )


def _point(row: NumberedRow) -> _Point:
    time, thrust = map(float, cells_of(row[1]))
    return row[0], time, thrust


def _arrays(points: list[_Point]) -> Curve:
    times = np.array([time for _, time, _ in points])
    thrusts = np.array([thrust for _, _, thrust in points])
    thrusts[-1] = 0.0
    if times[0] > 0:
        times, thrusts = np.concatenate([[0.0], times]), np.concatenate([[0.0], thrusts])
    times.flags.writeable = thrusts.flags.writeable = False
    return times, thrusts


def _fault(path: Path, row: NumberedRow, given: str, accepted: str, likely_slip: str = "") -> Fault:
    return Fault(
        file=str(path),
        line=row[0] or None,
        field="thrust curve",
        given=given,
        accepted=accepted,
        likely_slip=likely_slip,
    )
