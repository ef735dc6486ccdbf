"""Where the vehicle is cut, and what its walls are there: geometry, found once for every day and ballast."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.core.kept_parts import kept
from finial.files.sheet_body import CutEntry, OwnMaterialEntry, RodEntry
from finial.files.sheet_recovery import JointEntry
from finial.shape.measures import section_at
from finial.shape.skin import Skin
from finial.shape.walls_of import between_ledges, own_cuts
from finial.structure.walls.outline import WallArea, hollow_area, wall_area
from finial.structure.walls.sandwich import Sandwich
from finial.structure.walls.torsion import WallTube, wall_tube

SECTIONS = 20
JOINT_CLEARANCE_M = 0.03
"""Parts that meet nearer than this to a separation joint meet at it [m]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallCut:
    """Walls at one station, without their stuff."""

    station_m: float
    part: PlacedPart
    area: WallArea
    tube: WallTube
    flat_length_m: float
    """Length of the flats from ledge to ledge [m]."""
    infill: float
    """Infill that stands behind the walls, or between the skins of a mesh that is hollow itself [-]."""
    infill_depth_m: float
    sandwich: Sandwich | None = None
    """Skins and core where a hollow mesh is thicker than two of the printer's walls."""
    joint: bool = False
    """True where the part ends on the next one, or is cut for the print."""
    seam: CutEntry | None = None
    """The cut, where the part is printed in pieces there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """What the cuts of a vehicle depend on; ballast and fins are not among it."""

    skin: Skin
    parts: tuple[PlacedPart, ...]
    own_materials: tuple[OwnMaterialEntry, ...]
    rods: tuple[RodEntry, ...]
    joints: tuple[JointEntry, ...]
    up: str
    vehicle: LoadedVehicle = field(compare=False)


def build_of(vehicle: LoadedVehicle) -> Build:
    """Take from a vehicle what its cuts depend on."""
    sheet = vehicle.sheet
    return Build(
        skin=vehicle.skin,
        parts=vehicle.parts,
        own_materials=sheet.material,
        rods=sheet.rod,
        joints=sheet.recovery.joint,
        up=sheet.vehicle.up,
        vehicle=vehicle,
    )


@kept(8)
def wall_cuts(build: Build) -> tuple[WallCut, ...]:
    """Cuts inside the parts, evenly along the body, and one at every joint between parts."""
    vehicle = build.vehicle
    evenly = [
        (float(station), part, False)
        for station in np.linspace(0.02, 0.98, SECTIONS) * build.skin.length_m
        if (part := part_at(vehicle, float(station))) is not None
    ]
    meeting = [(station, part, True) for station, part in part_joints(vehicle)]
    seams = [
        replace(_wall_cut(vehicle, seam.station.value, part, True), seam=seam)
        for part, seam in print_seams(vehicle)
    ]
    return (*(_wall_cut(vehicle, *where) for where in (*evenly, *meeting)), *seams)


def print_seams(vehicle: LoadedVehicle) -> Iterator[tuple[PlacedPart, CutEntry]]:
    """Cuts for the print through outside parts, from the sheet."""
    for part in vehicle.parts:
        if part.spec.outside:
            yield from ((part, seam) for seam in part.spec.cuts)


def _wall_cut(vehicle: LoadedVehicle, station_m: float, part: PlacedPart, joint: bool) -> WallCut:
    section = section_at(vehicle.skin, station_m)
    printed = part.spec.print
    wall_m, infill = (printed.wall.value, printed.infill.value) if printed else (None, 0.0)
    drawn = _drawn_wall(part, station_m)
    hollow = not np.isnan(drawn)
    sandwich = None
    if hollow:
        # What was not printed is as thick as it is drawn.
        skin_m = drawn if wall_m is None else wall_m
        area = hollow_area(section.loops, drawn, skin_m, infill)
        core = drawn - 2 * skin_m
        sandwich = Sandwich(skin_m=skin_m, core_m=core, infill=infill) if core > 0.0 else None
    else:
        area = wall_area(section.loops, wall_m, infill)
    fore, aft = between_ledges(vehicle.skin, station_m)
    ends = part.span_m
    return WallCut(
        station_m=station_m,
        part=part,
        area=area,
        tube=wall_tube(section.loops, area.wall_m, area.area_m2),
        flat_length_m=max(min(aft, ends[1]) - max(fore, ends[0]), area.wall_m),
        infill=0.0 if hollow and sandwich is None else infill,
        infill_depth_m=sandwich.core_m if sandwich else max(area.round_radius_m, area.wall_m),
        sandwich=sandwich,
        joint=joint,
    )


def _drawn_wall(part: PlacedPart, station_m: float) -> float:
    """Wall of the part's own mesh [m], a hair inside its ends; ``nan`` where it is drawn solid."""
    fore, aft = part.span_m
    inset = 0.02 * (aft - fore)
    [cut] = own_cuts(part.mended, [min(max(station_m, fore + inset), aft - inset)])
    return cut.wall_m


def part_at(vehicle: LoadedVehicle, station_m: float) -> PlacedPart | None:
    """Outside part that a cut goes through; of several, the one with the largest outline there.

    A shoulder lies inside the part it slides into, an arm beside the body: neither is the wall there.
    """
    through = [
        part for part in vehicle.parts if part.spec.outside and part.span_m[0] <= station_m <= part.span_m[1]
    ]
    if len(through) < 2:
        return through[0] if through else None
    return max(through, key=lambda part: own_cuts(part.mended, [station_m])[0].outline_m2)


def part_joints(vehicle: LoadedVehicle) -> Iterator[tuple[float, PlacedPart]]:
    """Stations [m] where one outside part ends on another, with the part ahead; not where they separate."""
    apart = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    outside = sorted((part for part in vehicle.parts if part.spec.outside), key=lambda part: part.span_m)
    for ahead, behind in pairwise(outside):
        station = min(ahead.span_m[1], behind.span_m[0] + 1e-3)
        if all(abs(station - other) > JOINT_CLEARANCE_M for other in apart):
            yield station, ahead
