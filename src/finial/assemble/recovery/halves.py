"""The two sides of a joint: their masses with intervals, and as rigid pieces that drag."""

from collections.abc import Sequence
from dataclasses import dataclass

from finial.assemble.mass.lumps import body_lumps
from finial.assemble.mass.rows import Row, motor_row
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.mass.lumps import Lumps, lumps, split
from finial.recovery.tether.halves import half_piece
from finial.recovery.tether.scene import Piece
from finial.shape.measures import stretch_of

LEAST_KG = 0.05
"""Mass of a side that the sheet puts nothing on: a bare shell [kg]; assumed."""
LEAST_REACH_M = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a joint: its piece, and the station of its balance point [m]."""

    piece: Piece
    station_m: float

    def along(self, station_m: float) -> float:
        """Place of a station on the piece [m], positive towards the tip."""
        return self.station_m - station_m


def sides_of(vehicle: LoadedVehicle, rows: Sequence[Row], joint: str, station_m: float) -> tuple[Side, Side]:
    """Fore and aft side of a joint, propellant gone, without what the joint's bays let out."""
    loose = _let_out(vehicle, joint)
    kept = [row for row in [*rows, motor_row(vehicle, 0.0)] if (row.kind, row.name) not in loose]
    fore, aft = split(body_lumps(vehicle.skin, kept), station_m)
    length = max(vehicle.skin.length_m, station_m + LEAST_REACH_M)
    return _side(vehicle, "fore", fore, (0.0, station_m)), _side(vehicle, "aft", aft, (station_m, length))


def _let_out(vehicle: LoadedVehicle, joint: str) -> set[tuple[str, str]]:
    """Canopies and cords that hang between the two sides once the joint is open."""
    recovery = vehicle.sheet.recovery
    bays = {bay.name for bay in recovery.bay if bay.joint == joint}
    canopies = {("canopy", canopy.name) for canopy in recovery.canopy if canopy.bay in bays}
    return canopies | {("cord", cord.name) for cord in recovery.cord if cord.joint == joint}


def _side(vehicle: LoadedVehicle, name: str, masses: Lumps | None, span_m: tuple[float, float]) -> Side:
    there = masses or lumps([sum(span_m) / 2], [LEAST_KG])
    ends = min(span_m[0], there.centre_m[0]), max(span_m[1], there.centre_m[0])
    piece = half_piece(name, there, ends, stretch_of(vehicle.skin, *span_m))
    return Side(piece=piece, station_m=there.centre_m[0])
