"""Fins of the sheet as plates, their roots as springs, their stays as pairs of wires."""

from finial.aero.fins.fin_set import FinSet
from finial.assemble.strength.cuts import part_at
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.estimates import Estimate
from finial.files.sheet_body import FinEntry, FixingEntry
from finial.materials.material import Material
from finial.shape.measures import section_at
from finial.structure.fins.modes import FinPlate
from finial.structure.fins.root import (
    RootHold,
    bolted_pieces,
    slot_turning_stiffness,
    tab_turning_stiffness,
    wall_turning_stiffness,
)
from finial.structure.walls.outline import wall_area

USUAL_WALL_M = 0.0016


def fin_stuff(vehicle: Vehicle, given: FinEntry) -> Material:
    """Material of a fin."""
    return sheet_material(vehicle.sheet, given.material)


def plate_of(vehicle: Vehicle, fins: FinSet, given: FinEntry, corner: float = 0.0) -> FinPlate:
    """Fin as a plate.

    Parameters
    ----------
    vehicle : Vehicle
        For its materials.
    fins : FinSet
        The fins as the air sees them.
    given : FinEntry
        The fins as the sheet has them.
    corner : float
        -1 or 1 takes the soft or the stiff end of thickness and modulus, 0 their middle [-].

    Returns
    -------
    plate : FinPlate
        Outline, thickness and material.
    """
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


def root_of(vehicle: Vehicle, fins: FinSet, given: FinEntry, plate: FinPlate) -> RootHold:
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


def _wall(vehicle: Vehicle, fins: FinSet, fixing: FixingEntry) -> tuple[float, float, float]:
    """Modulus [Pa], thickness [m] and width [m] of the wall a fin stands on."""
    middle = fins.station_m + float(fins.outline_m[:, 0].mean()) / 2
    part = part_at(vehicle, min(middle, vehicle.skin.length_m))
    name = fixing.material or (part.spec.material if part else "PETG")
    printed = part.spec.print if part else None
    wall = fixing.wall.value if fixing.wall else (printed.wall.value if printed else USUAL_WALL_M)
    loops = section_at(vehicle.skin, min(middle, vehicle.skin.length_m)).loops
    width = fixing.width.value if fixing.width else wall_area(loops, wall).flat_width_m
    return sheet_material(vehicle.sheet, name).modulus_pa.low, wall, width


def _bolted(fins: FinSet, fixing: FixingEntry) -> RootHold:
    root = fins.outline_m[fins.outline_m[:, 1] <= 1e-9, 0]
    ends = (float(root.min()), float(root.max()))
    bolts = tuple(bolt.value for bolt in fixing.bolts) or (ends[0] + 0.02, ends[1] - 0.02)
    washer = fixing.washer.value if fixing.washer else 0.012
    return RootHold(
        name=f"{len(bolts)} bolts with {1e3 * washer:.0f} mm washers",
        pieces_m=bolted_pieces(bolts, washer, ends),
    )
