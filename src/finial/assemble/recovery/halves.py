"""The two sides of a joint as rigid pieces: mass, balance point, inertia, size and drag."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from finial.assemble.mass.rows import Row, motor_row
from finial.assemble.vehicle.loading import Vehicle
from finial.recovery.tether.scene import Piece
from finial.shape.skin import Skin

BROADSIDE_COEFFICIENT = 0.9
"""Drag coefficient of a piece broadside, on its planform [-]; common practice."""
END_ON_COEFFICIENT = 0.9
"""Drag coefficient of a blunt piece end on, on its largest section [-]; common practice."""
LUMPS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a joint: its piece, and the station of its balance point [m]."""

    piece: Piece
    station_m: float

    def along(self, station_m: float) -> float:
        """Place of a station on the piece [m], positive towards the tip."""
        return self.station_m - station_m


def sides_of(vehicle: Vehicle, rows: Sequence[Row], joint: str, station_m: float) -> tuple[Side, Side]:
    """Fore and aft side of a joint, propellant gone, without what the joint's bays let out."""
    loose = _let_out(vehicle, joint)
    kept = [row for row in [*rows, motor_row(vehicle, 0.0)] if (row.kind, row.name) not in loose]
    lumps = np.concatenate([_lumps(row) for row in kept])
    length = max(vehicle.skin.length_m, station_m + 0.01)
    ahead = lumps[:, 0] < station_m
    fore = _side(vehicle.skin, lumps[ahead], (0.0, station_m), "fore")
    return fore, _side(vehicle.skin, lumps[~ahead], (station_m, length), "aft")


def _let_out(vehicle: Vehicle, joint: str) -> set[tuple[str, str]]:
    """Canopies and cords that hang between the two sides once the joint is open."""
    recovery = vehicle.sheet.recovery
    bays = {bay.name for bay in recovery.bay if bay.joint == joint}
    canopies = {("canopy", canopy.name) for canopy in recovery.canopy if canopy.bay in bays}
    return canopies | {("cord", cord.name) for cord in recovery.cord if cord.joint == joint}


def _lumps(row: Row) -> np.ndarray:
    """Stations [m] and masses [kg] of a row, spread evenly over its span, shape (n, 2)."""
    if row.span_m is None or row.span_m[1] - row.span_m[0] < 1e-3:
        return np.array([[row.station.value, row.body.mass_kg]])
    edges = np.linspace(*row.span_m, LUMPS + 1)
    middles = (edges[:-1] + edges[1:]) / 2
    return np.column_stack([middles, np.full(LUMPS, row.body.mass_kg / LUMPS)])


def _side(skin: Skin, lumps: np.ndarray, span_m: tuple[float, float], name: str) -> Side:
    masses = lumps[:, 1] if len(lumps) else np.array([0.05])
    stations = lumps[:, 0] if len(lumps) else np.array([sum(span_m) / 2])
    mass = float(masses.sum())
    centre = float(masses @ stations / mass)
    radius, planform, section = _sizes(skin, span_m)
    own = radius**2 / 4 * mass
    return Side(
        piece=Piece(
            name=name,
            mass_kg=mass,
            inertia_kg_m2=float(masses @ (stations - centre) ** 2) + own,
            fore_m=centre - span_m[0],
            aft_m=span_m[1] - centre,
            radius_m=radius,
            end_on_area_m2=END_ON_COEFFICIENT * section,
            side_on_area_m2=BROADSIDE_COEFFICIENT * planform,
        ),
        station_m=centre,
    )


def _sizes(skin: Skin, span_m: tuple[float, float]) -> tuple[float, float, float]:
    """Radius, planform and largest section of a stretch of the skin, as of equal circles."""
    stations = np.linspace(*span_m, 60)
    areas = np.interp(stations, skin.stations_m, skin.areas_m2)
    diameters = 2 * np.sqrt(areas / np.pi)
    return float(diameters.max()) / 2, float(np.trapezoid(diameters, stations)), float(areas.max())
