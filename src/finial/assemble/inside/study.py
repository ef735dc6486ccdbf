"""The inside of a vehicle as a whole."""

from finial.assemble.inside.cavity import room_inside
from finial.assemble.inside.fittings import fittings_of
from finial.assemble.inside.guide import guide_check
from finial.assemble.inside.holding import loose_things
from finial.assemble.inside.meetings import meetings_of
from finial.assemble.inside.results import InsideResult
from finial.assemble.inside.rooms import bay_rooms, joint_checks, root_checks, wall_checks
from finial.assemble.inside.things import placed_things
from finial.assemble.inside.ways import building_ways, ways_out
from finial.assemble.mass.results import MassResult
from finial.assemble.vehicle.loading import Vehicle
from finial.core.kept_parts import kept
from finial.inside.cavity import Cavity
from finial.inside.walls import DrawnWall, drawn_walls
from finial.shape.fin_set import FinSet


def inside_result(vehicle: Vehicle, fins: tuple[FinSet, ...], mass: MassResult) -> InsideResult:
    """Put everything in its place, and see what it meets and how it gets there.

    ``fins`` are those of the sheet, in its order. What the meshes alone decide is found once.
    """
    sheet, cavity = vehicle.sheet, room_inside(vehicle)
    placed = placed_things(vehicle, fins, cavity)
    guide, on_rail = guide_check(vehicle, fins, mass.lift_off_balance)
    loose = sum(item.mass.value for item in sheet.item if item.kind == "spread")
    meetings = meetings_of(placed, cavity)
    return InsideResult(
        cavity=cavity,
        width_m=vehicle.skin.width_m,
        things=tuple(one.thing for one in placed),
        taken=(*(taken for one in placed for taken in one.taken), *on_rail),
        meetings=meetings,
        ways_in=building_ways(placed, sheet, cavity),
        ways_out=ways_out(placed, sheet, cavity),
        bays=bay_rooms(sheet),
        walls=wall_checks(sheet, _walls(cavity)),
        roots=root_checks(sheet, fins, vehicle.skin),
        guide=guide,
        joints=joint_checks(sheet, cavity),
        spread_share=loose / mass.lift_off.mass_kg,
        plate_placed=sheet.motor.thrust_plate is None or sheet.motor.thrust_plate.station is not None,
        electronics_placed=not sheet.electronics.computer or any(item.kind == "sled" for item in sheet.item),
        doubts=cavity.doubts,
        loose=loose_things(sheet, placed, meetings),
        fittings=fittings_of(vehicle, placed, cavity),
    )


@kept(4)
def _walls(cavity: Cavity) -> tuple[DrawnWall, ...]:
    return drawn_walls(cavity)
