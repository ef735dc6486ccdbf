"""Fins as plates, their roots as springs, their stays as pairs of wires on what they are anchored to."""

import math
from dataclasses import replace

from finial.assemble.strength.build import WallCut, build_of, part_at, wall_cuts
from finial.assemble.strength.fins.build import FinBuild
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.stays import stay_of
from finial.core.estimates import Estimate
from finial.files.sheet_body import FixingEntry, PlateEntry, StayEntry
from finial.shape.fin_set import FinSet
from finial.shape.measures import section_at
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.root import (
    HoldKind,
    RootHold,
    bolted_pieces,
    slot_turning_stiffness,
    tab_turning_stiffness,
    wall_turning_stiffness,
)
from finial.structure.fins.stays import StayPair
from finial.structure.walls.buckling import INFILL_STIFFNESS, infill_support
from finial.structure.walls.outline import wall_area
from finial.structure.walls.plates import Plate, panel_stiffness

USUAL_WALL_M = 0.0016
USUAL_TAB_M = 0.015
"""Depth at which a tab is held again where the sheet does not say [m]; common practice."""
USUAL_WASHER_M = 0.012
"""Washers of bolted fins where the sheet does not say [m]; common practice."""


def plate_of(build: FinBuild, corner: float = 0.0) -> FinPlate:
    """Fin as a plate; ``corner`` -1 or 1 takes the soft or the stiff end of thickness and modulus.

    Parameters
    ----------
    build : FinBuild
        The fins.
    corner : float
        -1 or 1 for the soft or the stiff end, 0 between [-].
    """
    stuff = build.stuff
    assert stuff is not None
    return FinPlate(
        outline_m=build.fins.outline_m,
        thickness_m=_end(build.thickness, corner),
        tip_thickness_m=_end(build.tip_thickness, corner) if build.tip_thickness else None,
        modulus_pa=_end(stuff.modulus_pa, corner) * build.solid_share,
        density_kg_m3=stuff.density_kg_m3.value * build.density_share,
        poisson=stuff.poisson,
    )


def _end(estimate: Estimate, corner: float) -> float:
    return {-1.0: estimate.low, 0.0: estimate.value, 1.0: estimate.high}[corner]


def root_of(vehicle: LoadedVehicle, build: FinBuild, plate: FinPlate) -> RootHold:
    """Springs at a fin's root from how the sheet says it is held, or from the wall it is drawn on."""
    fixing, fins = build.fixing, build.fins
    if build.drawn_in is not None:
        return RootHold(kind=HoldKind.DRAWN, turning_n=wall_turning_stiffness(*_wall(vehicle, fins, None)))
    if fixing is None or fixing.kind == "stiff":
        return RootHold(kind=HoldKind.STIFF if fixing else HoldKind.UNSAID)
    if fixing.kind == "bolts":
        return _bolted(fins, fixing)
    if fixing.kind == "tab":
        depth = fixing.depth.value if fixing.depth else USUAL_TAB_M
        return RootHold(kind=HoldKind.TAB, depth_m=depth, turning_n=tab_turning_stiffness(plate, depth))
    wall = _wall(vehicle, fins, fixing)
    if fixing.kind == "slot":
        depth = fixing.depth.value if fixing.depth else wall[1]
        turning = slot_turning_stiffness(wall[0], depth, wall[2], plate.thickness_m)
        return RootHold(kind=HoldKind.SLOT, depth_m=depth, turning_n=turning)
    return RootHold(kind=HoldKind.WALL, turning_n=wall_turning_stiffness(*wall))


def _wall(vehicle: LoadedVehicle, fins: FinSet, fixing: FixingEntry | None) -> tuple[float, float, float]:
    """Modulus [Pa], thickness [m] and width [m] of the wall a fin stands on."""
    middle = min(fins.station_m + float(fins.outline_m[:, 0].mean()) / 2, vehicle.skin.length_m)
    part = part_at(vehicle, middle)
    name = (fixing.material if fixing else None) or (part.spec.material if part else "PETG")
    printed = part.spec.print if part else None
    wall = printed.wall.value if printed else USUAL_WALL_M
    if fixing is not None and fixing.wall is not None:
        wall = fixing.wall.value
    loops = section_at(vehicle.skin, middle).loops
    width = fixing.width.value if fixing and fixing.width else wall_area(loops, wall).flat_width_m
    return sheet_material(vehicle.sheet, name).modulus_pa.low, wall, width


def _bolted(fins: FinSet, fixing: FixingEntry) -> RootHold:
    ends = (float(fins.root_m.min()), float(fins.root_m.max()))
    bolts = tuple(bolt.value for bolt in fixing.bolts) or (ends[0] + 0.02, ends[1] - 0.02)
    washer = fixing.washer.value if fixing.washer else USUAL_WASHER_M
    return RootHold(kind=HoldKind.BOLTS, depth_m=washer, pieces_m=bolted_pieces(bolts, washer, ends))


def anchored_stay(vehicle: LoadedVehicle, fins: FinSet, stay: StayEntry) -> StayPair:
    """Wires of the sheet on what they are anchored to."""
    pair = stay_of(vehicle, fins, stay)
    if pair.to != "body":
        return pair
    stiff = anchor_stiffness(vehicle, fins.station_m + pair.anchor_along_m, stay.backing)
    return replace(pair, anchor_n_per_m=stiff)


def anchor_stiffness(vehicle: LoadedVehicle, station_m: float, backing: PlateEntry | None = None) -> float:
    """How stiff the wall is against a pull straight off it at an anchor [N/m], with what backs it.

    Infinite where no wall of the sheet stands there.
    """
    cut = _nearest(vehicle, station_m)
    if cut is None:
        return math.inf
    stuff = sheet_material(vehicle.sheet, cut.part.spec.material)
    skin = cut.sandwich.skin_m if cut.sandwich else cut.area.wall_m
    wall = Plate(thickness_m=skin, modulus_pa=stuff.modulus_pa.low, poisson=stuff.poisson)
    bending = wall.stiffness_n_m
    if backing is not None:
        behind = sheet_material(vehicle.sheet, backing.material)
        bending += Plate(
            thickness_m=backing.thickness.value, modulus_pa=behind.modulus_pa.low, poisson=behind.poisson
        ).stiffness_n_m
    width = min(cut.area.flat_width_m, cut.flat_length_m)
    support = infill_support(stuff.modulus_pa.low, cut.infill, cut.infill_depth_m, INFILL_STIFFNESS.low)
    return panel_stiffness(bending, width, support)


def _nearest(vehicle: LoadedVehicle, station_m: float) -> WallCut | None:
    cuts = [cut for cut in wall_cuts(build_of(vehicle)) if not cut.joint and cut.part.spec.print is not None]
    return min(cuts, key=lambda cut: abs(cut.station_m - station_m), default=None)
