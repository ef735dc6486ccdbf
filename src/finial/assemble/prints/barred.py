"""Where no part may be cut for the print: roots of fins, ends of tubes and bays, plates, buttons, nuts."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from finial.assemble.inside.placed import Placed
from finial.assemble.vehicle.fins import all_fins
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.rods import rod_name, rod_places
from finial.inside.things import Kind
from finial.printing.cuts import Barred, Why
from finial.shape.fin_set import FinSet
from finial.structure.rods.threads import thread

ROOT_M = 5e-3
"""A seam keeps this far from either end of a fin's root [m]; chosen."""
TUBE_M = 8e-3
"""A seam keeps this far from where a tube begins or ends: there the glue of the tube pulls [m]; chosen."""
PLATE_M = 4e-3
BUTTON_M = 12e-3
ROD_END_M = 10e-3
_TUBES = (Kind.MOTOR_TUBE, Kind.TUBE)


def barred_stretches(vehicle: LoadedVehicle, placed: tuple[Placed, ...]) -> tuple[Barred, ...]:
    """Every stretch of stations that no seam goes through, with what stands there [m]."""
    return tuple(_stretches(vehicle, placed))


def motor_tubes(placed: tuple[Placed, ...]) -> tuple[Barred, ...]:
    """Stretches between the ends of motor tubes: a seam there is bridged by the tube, and told [m]."""
    tubes = (one.thing for one in placed if one.thing.kind is Kind.MOTOR_TUBE)
    return tuple(_round(Why.MOTOR_TUBE, tube.name, *tube.span_m, -TUBE_M) for tube in tubes)


def _stretches(vehicle: LoadedVehicle, placed: tuple[Placed, ...]) -> Iterator[Barred]:
    for fin in all_fins(vehicle):
        fore, aft = root_span(fin)
        yield _round(Why.FIN_ROOT, fin.name, fore, aft, ROOT_M)
    for thing in (one.thing for one in placed):
        fore, aft = thing.span_m
        if thing.kind in _TUBES:
            yield _round(Why.TUBE_END, thing.name, fore, fore, TUBE_M)
            yield _round(Why.TUBE_END, thing.name, aft, aft, TUBE_M)
        elif thing.kind is Kind.BULKHEAD:
            yield _round(Why.PLATE, thing.name, fore, aft, PLATE_M)
    for joint in vehicle.sheet.recovery.joint:
        overlap = joint.shoulder.value if joint.shoulder else 0.0
        yield _round(Why.BAY_JOINT, joint.name, joint.station.value, joint.station.value, overlap + TUBE_M)
    for button in vehicle.sheet.guide.buttons if vehicle.sheet.guide else ():
        yield _round(Why.BUTTON, "button", button.value, button.value, BUTTON_M)
    for rod in vehicle.sheet.rod:
        for end in rod.stations:
            yield _round(Why.ROD_END, rod_name(rod), end.value, end.value, ROD_END_M)


def root_span(fin: FinSet) -> tuple[float, float]:
    """Stations that the root of a fin reaches from and to [m]."""
    along = fin.root_m if fin.root_m.size else fin.outline_m[:, 0]
    return fin.station_m + float(along.min()), fin.station_m + float(along.max())


def _round(why: Why, name: str, fore_m: float, aft_m: float, by_m: float) -> Barred:
    return Barred(why=why, name=name, fore_m=fore_m - by_m, aft_m=aft_m + by_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A line along the body that a lengthwise cut keeps away from."""

    name: str
    stations_m: tuple[float, float]
    place_m: tuple[float, float]
    """Body (y, z) [m]."""
    keep_m: float
    """How far the cut keeps from it [m]."""


def lines_beside(vehicle: LoadedVehicle) -> tuple[Beside, ...]:
    """Fins and rods, which a cut along the body must not go through."""
    return tuple(_lines(vehicle))


def _lines(vehicle: LoadedVehicle) -> Iterator[Beside]:
    for fin in all_fins(vehicle):
        for roll in fin.rolls_rad:
            yield Beside(
                name=fin.name,
                stations_m=root_span(fin),
                place_m=(
                    fin.offset_m[0] + fin.root_radius_m * math.cos(roll),
                    fin.offset_m[1] + fin.root_radius_m * math.sin(roll),
                ),
                keep_m=fin.thickness_m / 2 + ROOT_M,
            )
    for rod in vehicle.sheet.rod:
        for y, z in rod_places(rod).tolist():
            yield Beside(
                name=rod_name(rod),
                stations_m=(rod.stations[0].value, rod.stations[1].value),
                place_m=(y, z),
                keep_m=thread(rod.thread).diameter_m,
            )
