"""Fins of the sheet as plates, their roots as springs, their stays as pairs of wires."""

import math
from dataclasses import replace

import numpy as np

from finial.aero.fin import FinSet
from finial.assemble.loading import Vehicle
from finial.assemble.strength_materials import sheet_material
from finial.assemble.strength_sections import part_at
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import Fin, Fixing, Stay
from finial.materials.material import Material
from finial.shape.measures import radius_at, section_at
from finial.structure.fin_modes import FinPlate
from finial.structure.fin_root import (
    RootHold,
    bolted_pieces,
    slot_turning_stiffness,
    tab_turning_stiffness,
    wall_turning_stiffness,
)
from finial.structure.fin_stays import StayLine, StayPair, stay_line
from finial.structure.outline import wall_area

USUAL_WALL_M = 0.0016
ANCHOR_STANDS_OFF_M = 0.002
"""How far an anchor's eye stands off the skin [m]; assumed."""


def fin_stuff(vehicle: Vehicle, given: Fin) -> Material:
    """Material of a fin."""
    return sheet_material(vehicle.sheet, given.material)


def plate_of(vehicle: Vehicle, fins: FinSet, given: Fin, corner: float = 0.0) -> FinPlate:
    """Fin as a plate; ``corner`` -1 or 1 takes the soft or the stiff end of thickness and modulus."""
    stuff = fin_stuff(vehicle, given)
    thick = given.thickness.value + corner * given.thickness.tolerance
    tip = given.thickness_tip
    return FinPlate(
        outline_m=fins.outline_m,
        thickness_m=thick,
        tip_thickness_m=None if tip is None else tip.value + corner * tip.tolerance,
        modulus_pa=_end(stuff.modulus_pa, corner),
        density_kg_m3=stuff.density_kg_m3.value,
        poisson=stuff.poisson,
    )


def _end(estimate: Estimate, corner: float) -> float:
    return {-1.0: estimate.low, 0.0: estimate.value, 1.0: estimate.high}[corner]


def root_of(vehicle: Vehicle, fins: FinSet, given: Fin, plate: FinPlate) -> RootHold:
    """Springs at a fin's root from how the sheet says it is held."""
    fixing = given.fixing
    if fixing is None or fixing.kind == "stiff":
        return RootHold(
            name="held stiffly" if fixing else "taken as held stiffly: the sheet does not say how"
        )
    if fixing.kind == "bolts":
        return _bolted(fins, fixing)
    if fixing.kind == "tab":
        depth = fixing.depth.value if fixing.depth else 0.015
        turning = tab_turning_stiffness(plate, depth)
        return RootHold(
            name=f"tab through the wall, held again {1e3 * depth:.0f} mm deeper", turning_n=turning
        )
    wall = _wall(vehicle, fins, fixing)
    if fixing.kind == "slot":
        depth = fixing.depth.value if fixing.depth else wall[1]
        turning = slot_turning_stiffness(wall[0], depth, wall[2], plate.thickness_m)
        return RootHold(name=f"slot {1e3 * depth:.0f} mm deep", turning_n=turning)
    turning = wall_turning_stiffness(*wall)
    return RootHold(name="glued onto the wall with fillets", turning_n=turning)


def _wall(vehicle: Vehicle, fins: FinSet, fixing: Fixing) -> tuple[float, float, float]:
    """Modulus [Pa], thickness [m] and width [m] of the wall a fin stands on."""
    middle = fins.station_m + float(fins.outline_m[:, 0].mean()) / 2
    part = part_at(vehicle, min(middle, vehicle.skin.length_m))
    name = fixing.material or (part.spec.material if part else "PETG")
    printed = part.spec.print if part else None
    wall = fixing.wall.value if fixing.wall else (printed.wall.value if printed else USUAL_WALL_M)
    loops = section_at(vehicle.skin, min(middle, vehicle.skin.length_m)).loops
    width = fixing.width.value if fixing.width else wall_area(loops, wall).flat_width_m
    return sheet_material(vehicle.sheet, name).modulus_pa.low, wall, width


def _bolted(fins: FinSet, fixing: Fixing) -> RootHold:
    root = fins.outline_m[fins.outline_m[:, 1] <= 1e-9, 0]
    ends = (float(root.min()), float(root.max()))
    bolts = tuple(bolt.value for bolt in fixing.bolts) or (ends[0] + 0.02, ends[1] - 0.02)
    washer = fixing.washer.value if fixing.washer else 0.012
    return RootHold(
        name=f"{len(bolts)} bolts with {1e3 * washer:.0f} mm washers",
        pieces_m=bolted_pieces(bolts, washer, ends),
    )


def stay_of(vehicle: Vehicle, fins: FinSet, stay: Stay) -> StayPair:
    """Wires of the sheet in the fin's own measures."""
    station = fins.station_m + stay.along.value
    anchor = stay.anchor_station.value if stay.anchor_station else station
    turn = stay.anchor_turn.value if stay.anchor_turn else math.pi / max(fins.count, 2)
    return StayPair(
        along_m=stay.along.value,
        outward_m=stay.outward.value,
        diameter_m=stay.diameter.value,
        modulus_pa=sheet_material(vehicle.sheet, stay.material).modulus_pa.value,
        preload_n=stay.preload.value,
        to=stay.to,
        anchor_along_m=anchor - fins.station_m,
        anchor_radius_m=anchor_radius(vehicle, fins, anchor, turn),
        anchor_turn_rad=turn,
    )


def anchor_radius(vehicle: Vehicle, fins: FinSet, station_m: float, turn_rad: float) -> float:
    """Distance of an anchor on the skin from the axis [m], the nearer of both sides of the first fin."""
    section = section_at(vehicle.skin, min(max(station_m, 0.0), vehicle.skin.length_m))
    reach = min(radius_at(section, fins.first_at_rad + side * turn_rad) for side in (1.0, -1.0))
    return reach + ANCHOR_STANDS_OFF_M


def crossing(vehicle: Vehicle, fins: FinSet, pair: StayPair, line: StayLine) -> float | None:
    """Station where a stay would pass through the body [m]; ``None`` where it is clear of it."""
    import shapely

    start = np.array([pair.along_m, fins.root_radius_m + pair.outward_m, 0.0])
    shares = np.linspace(0.02, 0.97, 40)
    points = start + shares[:, None] * line.length_m * np.array(line.direction)
    for fin in range(fins.count):
        roll = fins.first_at_rad + 2 * math.pi * fin / fins.count
        out, aside = np.array([math.cos(roll), math.sin(roll)]), np.array([-math.sin(roll), math.cos(roll)])
        for along, reach, shift in points:
            station = fins.station_m + float(along)
            if not 0.0 <= station <= vehicle.skin.length_m:
                continue
            place = shapely.Point(reach * out + shift * aside)
            loops = section_at(vehicle.skin, station).loops
            if any(shapely.Polygon(loop).buffer(-1e-4).contains(place) for loop in loops):
                return station
    return None


def stay_run(fins: FinSet, pair: StayPair) -> StayLine:
    """Run of one wire of a pair."""
    return stay_line(pair, fins.root_radius_m, fins.count)


def wire_strength(vehicle: Vehicle, stay: Stay, share: Estimate) -> Estimate:
    """Return the breaking load of a wire [N], with the share its fittings leave."""
    area = math.pi / 4 * stay.diameter.value**2
    whole = sheet_material(vehicle.sheet, stay.material).ultimate_pa.scaled(area)
    return replace(
        whole,
        value=whole.value * share.value,
        low=whole.low * share.low,
        high=whole.high * share.high,
        known_by=max(whole.known_by, share.known_by, KnownBy.HANDBOOK),
    )
