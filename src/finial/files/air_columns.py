"""Air loads from a tunnel or another method: plain columns, their names and units in the heading."""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.core.dimensions import Dimension, find_unit
from finial.core.errors import BuildSheetError, Fault
from finial.files.columns import NumberedRow, cells_of, number_in, numbered_rows
from finial.files.source import read_text

_COLUMN = re.compile(r"([A-Za-z_]+)\s*[(\[]\s*([^)\]]+?)\s*[)\]]")
_ENDS = ("low", "high")
_GRID = {"angle": Dimension.ANGLE, "roll": Dimension.ANGLE, "mach": None}
_LOADS = {"force": None, "place": Dimension.LENGTH, "axial": None}
_NEEDED = ("angle", "force", "force_low", "force_high", "place", "place_low", "place_high")
_WANTED = (
    "a heading of names with units, such as: angle (deg), force (-), force_low (-), force_high (-),"
    " place (mm), place_low (mm), place_high (mm)"
)
_FASTEST = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class AirColumns:
    """Measured loads on a grid; each load low, central, high first: shape (3, angle, roll, mach)."""

    angles_rad: NDArray[np.float64]
    rolls_rad: NDArray[np.float64]
    """Direction the cross wind blows towards; one for loads alike all round."""
    machs: NDArray[np.float64]
    force: NDArray[np.float64]
    """Normal force coefficient."""
    place_m: NDArray[np.float64]
    """Station of the centre of pressure."""
    axial: NDArray[np.float64] | None
    """Backward force coefficient along the axis, motor out; ``None`` where it is not given."""


def read_air_columns(path: Path) -> AirColumns:
    """Read measured air loads. What follows ``#`` is a comment; the first line names the columns.

    ``angle``, ``force`` and ``place`` with their ``_low`` and ``_high`` are needed, ``axial`` with
    its own, ``roll`` and ``mach`` may be given; every combination of angle, roll and Mach number once.

    Raises
    ------
    BuildSheetError
        With each fault at its line: a heading without units, columns missing, unknown or twice, not
        a finite number, low ends above high ones, angles outside 0 to 180 deg, Mach numbers
        outside 0 to 0.9, combinations missing or twice, no angle above 0.
    """
    rows = numbered_rows(read_text(path, wanted="air loads"))
    columns = _columns(path, rows)
    values = _values(path, rows[1:], list(columns))
    table = {name: values[:, index] * factor for index, (name, factor) in enumerate(columns.items())}
    faults = list(_row_faults(path, rows[1:], table))
    if faults:
        raise BuildSheetError(faults)
    return _on_grid(path, table)


def _columns(path: Path, rows: list[NumberedRow]) -> dict[str, float]:
    """Names of the columns and what their unit counts in SI."""
    heading = rows[0] if rows else (0, "")
    found = _COLUMN.findall(heading[1])
    names = [name.casefold() for name, _ in found]
    known = {**_GRID, **_LOADS, **{f"{name}_{end}": unit for name, unit in _LOADS.items() for end in _ENDS}}
    missing = [name for name in _NEEDED if name not in names]
    if "axial" in names:
        missing += [f"axial_{end}" for end in _ENDS if f"axial_{end}" not in names]
    if missing:
        raise BuildSheetError([_fault(path, heading, f"no column {', '.join(missing)}", _WANTED)])
    wrong = [name for name in names if name not in known or names.count(name) > 1]
    if wrong:
        accepted = f"each of these once: {', '.join(known)}"
        raise BuildSheetError([_fault(path, heading, f"column {', '.join(wrong)}", accepted)])
    return {
        name: _in_si(path, heading, unit, known[name]) for name, (_, unit) in zip(names, found, strict=True)
    }


def _in_si(path: Path, heading: NumberedRow, spelling: str, dimension: Dimension | None) -> float:
    if dimension is None:
        if spelling != "-":
            raise BuildSheetError([_fault(path, heading, f"unit {spelling}", "(-) for plain numbers")])
        return 1.0
    unit = find_unit(spelling, dimension)
    if unit is None:
        raise BuildSheetError([_fault(path, heading, f"unit {spelling}", f"a unit of {dimension.words}")])
    return float(unit.factor)


def _values(path: Path, rows: list[NumberedRow], names: list[str]) -> NDArray[np.float64]:
    read: list[list[float | None]] = []
    for row in rows:
        cells = [number_in(cell) for cell in cells_of(row[1])]
        if len(cells) != len(names) or any(cell is None or not math.isfinite(cell) for cell in cells):
            raise BuildSheetError([_fault(path, row, row[1], f"{len(names)} numbers: {', '.join(names)}")])
        read.append(cells)
    if not read:
        raise BuildSheetError([_fault(path, (0, ""), "no rows", "rows of numbers below the heading")])
    return np.array(read, dtype=float)


def _row_faults(
    path: Path, rows: list[NumberedRow], table: dict[str, NDArray[np.float64]]
) -> Iterator[Fault]:
    for index, row in enumerate(rows):
        here = {name: float(column[index]) for name, column in table.items()}
        for name in (name for name in _LOADS if name in here):
            if not here[f"{name}_low"] <= here[name] <= here[f"{name}_high"]:
                yield _fault(path, row, row[1], f"{name}_low, {name}, {name}_high that rise")
        if not 0.0 <= here["angle"] <= np.pi + 1e-9:
            yield _fault(path, row, row[1], "angles of attack of 0 to 180 deg")
        if not 0.0 <= here.get("mach", 0.0) <= _FASTEST:
            yield _fault(path, row, row[1], f"Mach numbers of 0 to {_FASTEST}")


def _on_grid(path: Path, table: dict[str, NDArray[np.float64]]) -> AirColumns:
    count = len(table["angle"])
    given = [table.get(name, np.zeros(count)) for name in _GRID]
    axes, places = zip(*(np.unique(np.round(each, 9), return_inverse=True) for each in given), strict=True)
    shape = tuple(len(axis) for axis in axes)
    cells = np.ravel_multi_index(places, shape)
    if len(np.unique(cells)) != count or count != math.prod(shape):
        words = "every combination of angle, roll and Mach number once"
        raise BuildSheetError([_fault(path, (0, ""), f"{count} rows for {math.prod(shape)}", words)])
    if not axes[0].max() > 0.0:
        raise BuildSheetError([_fault(path, (0, ""), "no angle above 0", "angles of attack above 0")])

    def load(name: str) -> NDArray[np.float64]:
        filled = np.empty((3, count))
        filled[:, cells] = [table[f"{name}_low"], table[name], table[f"{name}_high"]]
        filled.flags.writeable = False
        return filled.reshape(3, *shape)

    return AirColumns(
        angles_rad=axes[0],
        rolls_rad=axes[1],
        machs=axes[2],
        force=load("force"),
        place_m=load("place"),
        axial=load("axial") if "axial" in table else None,
    )


def _fault(path: Path, row: NumberedRow, given: str, accepted: str) -> Fault:
    return Fault(
        file=str(path), line=row[0] or None, field="air loads", given=given, accepted=accepted, likely_slip=""
    )
