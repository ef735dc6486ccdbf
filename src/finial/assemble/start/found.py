"""What the shape of a vehicle shows by itself, and where its hardware may stand."""

import math
from dataclasses import dataclass

import numpy as np

from finial.assemble.inside.cavity import room_inside
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.core.frames import evenly_round
from finial.core.tables import table_rows
from finial.inside.drawn import (
    DrawnHoles,
    DrawnRoom,
    MotorRoom,
    holes_beside_axis,
    motor_room,
    rooms_on_axis,
)
from finial.inside.rail import RailLine, body_gap
from finial.inside.usual import RAIL_GAP_M, RAIL_WIDTH_M
from finial.shape.fin_set import FinSet
from finial.shape.skin import Skin
from finial.shape.walls_of import own_cuts

_CUTS = 30
SHELL_M = 4e-3
"""A drawn wall up to this is the print's own wall; a thicker one is printed with infill inside [m]."""
_HOLLOW_SHARE = 0.5
_LEAST_BAY_M = (0.03, 0.08)
"""Least diameter and length of a room that a canopy may wait in [m]."""
_FORE_BUTTON, _AFT_BUTTON = 0.55, 0.96
"""Shares of the length at which buttons usually stand [-]; common practice: by balance point and base."""
_SAME_WIDTH = 1.03
_MOTORS_SHARE = 0.6
"""Share of the length behind whose middle a motor usually stands [-]; common practice."""
_BALLAST_M = 0.02
_ROLLS = 24
_BESIDE_FIN_RAD = math.radians(15.0)
_TIP_SHARE = 0.12
_LOOSEST = 1.3
"""A hole for a rod is at most so many times as wide as its thread [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceShape:
    """How one part is drawn."""

    name: str
    hollow_share: float
    """Share of its length whose cuts are hollow [-]."""
    wall_m: float
    """Mean thickness of its walls there [m]; ``nan`` where it is drawn solid."""

    @property
    def is_shell(self) -> bool:
        """Whether what is drawn is the printed wall itself."""
        return self.hollow_share > _HOLLOW_SHARE and self.wall_m <= SHELL_M


@dataclass(frozen=True, slots=True, kw_only=True)
class RodHoles:
    """A set of drawn holes, and the thread that goes through them."""

    holes: DrawnHoles
    thread: str
    """Empty where no thread of the table goes through snugly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Buttons:
    """Where rail buttons may stand."""

    fore_m: float
    aft_m: float
    at_rad: float
    rail_from_axis_m: float
    """Distance of the rail's face at which the whole body passes it [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartingPlace:
    """Where the vehicle may come apart, and the room behind or ahead of the joint."""

    joint_m: float
    ahead: str
    behind: str
    """Names of the two parts that meet there."""
    bay: DrawnRoom | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnVehicle:
    """What the meshes show, and what follows for the hardware."""

    length_m: float
    width_m: float
    pieces: tuple[PieceShape, ...]
    rooms: tuple[DrawnRoom, ...]
    motor: MotorRoom | None
    rods: tuple[RodHoles, ...]
    fins: tuple[FinSet, ...]
    opening: PartingPlace | None
    buttons: Buttons
    ballast_m: float
    notes: tuple[str, ...]
    """What was mended or could not be."""


def found_in(vehicle: LoadedVehicle) -> DrawnVehicle:
    """Look at a vehicle of which nothing but its meshes is known."""
    cavity = room_inside(vehicle)
    rooms, motor = rooms_on_axis(cavity), motor_room(cavity)
    return DrawnVehicle(
        length_m=vehicle.skin.length_m,
        width_m=vehicle.skin.width_m,
        pieces=tuple(_piece(part) for part in vehicle.parts),
        rooms=rooms,
        motor=motor,
        rods=tuple(
            RodHoles(holes=holes, thread=_thread(holes.across_m, metric=not vehicle.us_units))
            for holes in holes_beside_axis(cavity)
        ),
        fins=vehicle.mesh_fins,
        opening=_opening(vehicle, rooms, motor),
        buttons=_buttons(vehicle.skin, vehicle.mesh_fins),
        ballast_m=_ballast(vehicle.skin.length_m, rooms),
        notes=vehicle.skin.notes,
    )


def _piece(part: PlacedPart) -> PieceShape:
    fore, aft = part.span_m
    cuts = own_cuts(part.mended, np.linspace(fore, aft, _CUTS + 2)[1:-1])
    walls = [cut.wall_m for cut in cuts if not math.isnan(cut.wall_m)]
    return PieceShape(
        name=part.spec.name,
        hollow_share=len(walls) / len(cuts),
        wall_m=float(np.median(walls)) if walls else math.nan,
    )


def _thread(across_m: float, *, metric: bool) -> str:
    """Thickest thread that goes through a hole and is not loose in it."""
    rows = [
        row for row in table_rows("finial.structure", "threads.csv") if metric == (row["series"] == "metric")
    ]
    fits = [row for row in rows if 1.0 <= across_m / (float(row["diameter_mm"]) / 1e3) <= _LOOSEST]
    return max(fits, key=lambda row: float(row["diameter_mm"]))["name"] if fits else ""


def _opening(
    vehicle: LoadedVehicle, rooms: tuple[DrawnRoom, ...], motor: MotorRoom | None
) -> PartingPlace | None:
    """Joint of two parts next to the longest room that is not the motor's; the foremost without a room."""
    joints = _joints(vehicle)
    if not joints:
        return None
    wide, long = _LEAST_BAY_M
    fit = [
        room
        for room in rooms
        if room.across_m >= wide and room.length_m >= long and not _is_motors(room, motor, rooms[-1].aft_m)
    ]
    if not fit:
        station, ahead, behind = joints[0]
        return PartingPlace(joint_m=station, ahead=ahead, behind=behind, bay=None)
    length = vehicle.skin.length_m
    ahead_of_motor = [room for room in fit if (room.fore_m + room.aft_m) / 2 <= _MOTORS_SHARE * length]
    bay = max(ahead_of_motor or fit, key=lambda room: room.length_m)
    station, ahead, behind = min(joints, key=lambda joint: _away(joint[0], bay))
    return PartingPlace(joint_m=station, ahead=ahead, behind=behind, bay=bay)


def _is_motors(room: DrawnRoom, motor: MotorRoom | None, base_m: float) -> bool:
    """Whether a room is the motor's own bore."""
    if motor is None or not motor.is_bore:
        return False
    behind = room.aft_m > base_m - motor.depth_m(motor.across_m)
    return behind and room.across_m <= _SAME_WIDTH * motor.across_m


def _away(station_m: float, bay: DrawnRoom) -> float:
    return min(abs(station_m - bay.fore_m), abs(station_m - bay.aft_m))


def _joints(vehicle: LoadedVehicle) -> list[tuple[float, str, str]]:
    """Where one outside part ends and the next begins, from the tip."""
    outer = sorted((part for part in vehicle.parts if part.spec.outside), key=lambda part: part.span_m)
    found: list[tuple[float, str, str]] = []
    reached = outer[0]
    for part in outer[1:]:
        if part.span_m[1] <= reached.span_m[1]:
            continue
        found.append(((reached.span_m[1] + part.span_m[0]) / 2, reached.spec.name, part.spec.name))
        reached = part
    return found


def _buttons(skin: Skin, fins: tuple[FinSet, ...]) -> Buttons:
    """Buttons on the side on which the rail may stand nearest, farthest from the fins of such sides."""
    rolls = evenly_round(_ROLLS)
    reach = [_reach(skin, roll) for roll in rolls]
    standing = [turn for fin in fins for turn in fin.rolls_rad]
    good = [k for k in range(_ROLLS) if reach[k] <= 1.05 * min(reach)]
    # Where nothing tells them apart, the first side is as good as any.
    best = max(good, key=lambda k: (round(_nearest(rolls[k], standing), 6), -round(reach[k], 3), -k))
    if _nearest(rolls[best], standing) < _BESIDE_FIN_RAD:
        best = max(range(_ROLLS), key=lambda k: (round(_nearest(rolls[k], standing), 6), -reach[k]))
    return Buttons(
        fore_m=_FORE_BUTTON * skin.length_m,
        aft_m=_AFT_BUTTON * skin.length_m,
        at_rad=rolls[best],
        rail_from_axis_m=reach[best] + RAIL_GAP_M,
    )


def _reach(skin: Skin, roll_rad: float) -> float:
    """How far the body reaches towards a roll angle, within the width of a rail [m]."""
    line = RailLine(roll_rad=roll_rad, face_m=0.0, width_m=RAIL_WIDTH_M)
    return -body_gap(skin, line, 0.0).gap_m


def _nearest(roll_rad: float, standing: list[float]) -> float:
    off = [abs((roll_rad - one + math.pi) % (2 * math.pi) - math.pi) for one in standing]
    return min(off, default=math.pi)


def _ballast(length_m: float, rooms: tuple[DrawnRoom, ...]) -> float:
    """Fore end of the foremost room, where that is near the tip; else a usual place."""
    usual = _TIP_SHARE * length_m
    if rooms and rooms[0].fore_m < 2 * usual:
        return rooms[0].fore_m + min(_BALLAST_M, rooms[0].length_m / 2)
    return usual
