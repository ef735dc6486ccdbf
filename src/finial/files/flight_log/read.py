"""A log and its mapping to columns in SI."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import Fault, LogError
from finial.files.flight_log.mapping import (
    AxesColumns,
    Column,
    LogMapping,
    ValueColumn,
    range_si,
    unit_of,
)
from finial.files.flight_log.rows import Columns, LogText, columns_of, log_text

FEWEST_ROWS = 20
Number = TypeVar("Number", np.float64, np.int64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlightLog:
    """Columns of one log in SI as they stand in the file; equal only to itself.

    Arrays have shape (n,) or (n, 3); cells that were empty are not a number.
    """

    file: str
    lines: NDArray[np.int64]
    """Line that each row stands on, counted from 1."""
    counts: NDArray[np.float64]
    """Time as the recorder counted it [s], wraps and restarts still in it."""
    wraps_at_s: float | None
    pressure_pa: NDArray[np.float64] | None
    height_m: NDArray[np.float64] | None
    felt_m_s2: NDArray[np.float64] | None
    """(n, 3): to the tip, and two across; weight felt on the pad."""
    felt_range_m_s2: float | None
    turning_rad_s: NDArray[np.float64] | None
    """(n, 3): about the axis to the tip, and two across."""
    position_deg: NDArray[np.float64] | None = None
    """(n, 2): longitude, latitude."""
    height_is_true: bool = False
    """Whether the heights are by satellites; those of a barometer take the air for standard."""
    restarts: tuple[int, ...] = ()
    """Lines where the heading stands again: the recorder began anew."""
    odd: tuple[int, ...] = ()
    """Lines left out because they could not be read."""
    cut_short: int | None = None
    """Last line, where it ends in the middle."""
    zeros: int = 0
    """Bytes of zero at the end."""


def read_log(path: Path, mapping: LogMapping) -> FlightLog:
    """Read a log by its mapping.

    Raises
    ------
    LogError
        If it cannot be read, lacks a column of the mapping, has fewer than 20 rows, a column without
        any number, or rows that cannot be read; each with its line.
    """
    text = log_text(path, mapping.separator, decimal_comma=mapping.decimal_comma)
    places = _places(text, mapping)
    found = columns_of(text, tuple(sorted(set(places.values()))), decimal_comma=mapping.decimal_comma)
    faults = list(_column_faults(text, found, places))
    if faults:
        raise LogError(faults)
    return _in_si(text, mapping, found, places)


def _places(text: LogText, mapping: LogMapping) -> dict[str, int]:
    """Place of each column that the mapping names, or all faults at once."""
    places: dict[str, int] = {}
    faults: list[Fault] = []
    for field, column in _named(mapping):
        at = _place(text, column)
        if at is None:
            faults.append(_missing(text, field, column))
        else:
            places[field] = at
    if faults:
        raise LogError(faults)
    return places


def _named(mapping: LogMapping) -> Iterator[tuple[str, Column]]:
    if mapping.time.column is not None:
        yield "time", mapping.time.column
    for table in ("pressure", "height"):
        one: ValueColumn | None = getattr(mapping, table)
        if one is not None:
            yield table, one.column
    if mapping.position is not None:
        yield "position.latitude", mapping.position.latitude
        yield "position.longitude", mapping.position.longitude
    for table in ("acceleration", "turning"):
        axes: AxesColumns | None = getattr(mapping, table)
        if axes is not None:
            told = zip("xyz", axes.columns, strict=True)
            yield from ((f"{table}.{letter}", column) for letter, column in told if column is not None)


def _place(text: LogText, column: Column) -> int | None:
    if column in text.headings:
        return text.headings.index(column)
    return int(column) - 1 if column.isdecimal() and 1 <= int(column) <= text.width else None


def _missing(text: LogText, field: str, column: Column) -> Fault:
    close = get_close_matches(column, text.headings, n=1, cutoff=0.5)
    called = f": {', '.join(text.headings)}" if text.headings else "; no line of names above the numbers"
    return Fault(
        file=str(text.path),
        line=text.first or 1,
        field=field,
        given=f"column {column}",
        accepted=f"one of the {text.width} columns{called}",
        likely_slip=f"did you mean {close[0]}?" if close else "",
    )


def _column_faults(text: LogText, found: Columns, places: dict[str, int]) -> Iterator[Fault]:
    def fault(field: str, line: int, given: str, accepted: str) -> Fault:
        return Fault(file=str(text.path), line=line, field=field, given=given, accepted=accepted)

    if len(found.lines) < FEWEST_ROWS:
        given = f"{len(found.lines)} rows of numbers"
        yield fault("log", text.first + 1, given, f"at least {FEWEST_ROWS} rows")
        return
    for field, place in places.items():
        values = found.values[place]
        holds = np.isfinite(values)
        if not holds.any():
            yield fault(field, text.first + 1, "a column without any number", "numbers in it")
        elif field == "time" and not holds.all():
            line = int(found.lines[~holds][0])
            yield fault(field, line, "a row without a time", "a time in every row")
        elif field != "time" and np.ptp(values[holds]) == 0.0:
            given = f"{values[holds][0]:g} in every row"
            yield fault(field, text.first + 1, given, "a sensor that reads something: its noise at least")


def _in_si(text: LogText, mapping: LogMapping, found: Columns, places: dict[str, int]) -> FlightLog:
    pressure, height = (_column(mapping, found, places, table) for table in ("pressure", "height"))
    felt, limit = None, None
    if mapping.acceleration is not None:
        felt, limit = _axes(mapping, found, places, "acceleration"), range_si(mapping.acceleration)
        if mapping.acceleration.at_rest == "0 g":
            felt[:, 0] += STANDARD_GRAVITY_M_S2
    turning = None if mapping.turning is None else _axes(mapping, found, places, "turning")
    counts, wraps = _counts(mapping, found, places)
    return FlightLog(
        file=str(text.path),
        lines=_fixed(found.lines),
        counts=_fixed(counts),
        wraps_at_s=wraps,
        pressure_pa=pressure,
        height_m=height,
        felt_m_s2=None if felt is None else _fixed(felt),
        felt_range_m_s2=limit,
        turning_rad_s=None if turning is None else _fixed(turning),
        position_deg=_positions(mapping, found, places),
        height_is_true=mapping.height is not None and mapping.height.measured_by == "satellites",
        restarts=tuple(found.repeated_headings),
        odd=tuple(found.odd),
        cut_short=found.cut_short,
        zeros=text.zeros,
    )


def _counts(
    mapping: LogMapping, found: Columns, places: dict[str, int]
) -> tuple[NDArray[np.float64], float | None]:
    told = mapping.time
    if told.step is not None:
        return np.arange(len(found.lines), dtype=float) * told.step.value, None
    factor = float(unit_of(mapping, "time").factor) / told.per_unit.value
    wraps = None if told.wraps_at is None else told.wraps_at.value * factor
    return found.values[places["time"]] * factor, wraps


def _column(
    mapping: LogMapping, found: Columns, places: dict[str, int], table: str
) -> NDArray[np.float64] | None:
    if getattr(mapping, table) is None:
        return None
    factor = float(unit_of(mapping, table).factor) / getattr(mapping, table).per_unit.value
    return _fixed(found.values[places[table]] * factor)


def _positions(mapping: LogMapping, found: Columns, places: dict[str, int]) -> NDArray[np.float64] | None:
    """Longitudes and latitudes; not numbers where a receiver had no fix and wrote what is no place."""
    if mapping.position is None:
        return None
    factor = 1.0 / mapping.position.per_unit.value
    told = np.column_stack(
        [factor * found.values[places[f"position.{name}"]] for name in ("longitude", "latitude")]
    )
    nowhere = (np.abs(told[:, 1]) > 89.0) | (np.abs(told[:, 0]) > 180.0) | (told == 0.0).all(axis=1)
    return _fixed(np.where(nowhere[:, None], np.nan, told))


def _axes(mapping: LogMapping, found: Columns, places: dict[str, int], table: str) -> NDArray[np.float64]:
    """Sensor axes turned so that the first points to the tip; right-handed as they were."""
    told: AxesColumns = getattr(mapping, table)
    factor = float(unit_of(mapping, table).factor) / told.per_unit.value
    empty = np.full(len(found.lines), np.nan)
    own = [
        found.values[places[f"{table}.{letter}"]] * factor if column is not None else empty
        for letter, column in zip("xyz", told.columns, strict=True)
    ]
    first = "xyz".index(told.up[1])
    turned = np.column_stack([own[first], own[(first + 1) % 3], own[(first + 2) % 3]])
    # Half a turn about the second axis puts the tip the other way up.
    return turned * ((1.0, 1.0, 1.0) if told.up[0] == "+" else (-1.0, 1.0, -1.0))


def _fixed(values: NDArray[Number]) -> NDArray[Number]:
    values.flags.writeable = False
    return values
