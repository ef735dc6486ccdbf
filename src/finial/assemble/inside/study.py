"""The inside of a vehicle as a whole."""

from finial.assemble.inside.cavity import room_inside
from finial.assemble.inside.fittings import fittings_of
from finial.assemble.inside.guide import guide_check
from finial.assemble.inside.holding import loose_things
from finial.assemble.inside.meetings import meetings_of
from finial.assemble.inside.nuts_in_print import buried_nuts
from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import InsideResult, Meeting
from finial.assemble.inside.rooms import bay_rooms, joint_checks, root_checks, wall_checks
from finial.assemble.inside.things import placed_things
from finial.assemble.inside.ways import building_ways, ways_out
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.inside.cavity import Cavity
from finial.inside.walls import DrawnWall, drawn_walls
from finial.shape.fin_set import FinSet


def inside_result(
    vehicle: LoadedVehicle, fins: tuple[FinSet, ...], *, balance_m: Estimate, lift_off_kg: float
) -> InsideResult:
    """Put everything in its place, and see what it meets and how it gets there.

    ``fins`` are those of the sheet, in its order, ``balance_m`` [m] and ``lift_off_kg`` [kg] those of
    lift-off. What the meshes alone decide is found once.
    """
    sheet, cavity = vehicle.sheet, room_inside(vehicle)
    placed = placed_things(vehicle, fins, cavity)
    guide, on_rail = guide_check(vehicle, fins, balance_m)
    loose = sum(item.mass.value for item in sheet.item if item.kind == "spread")
    meetings = _meetings(placed, cavity)
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
        spread_share=loose / lift_off_kg,
        plate_placed=sheet.motor.thrust_plate is None or sheet.motor.thrust_plate.station is not None,
        electronics_placed=_electronics_placed(sheet),
        doubts=cavity.doubts,
        loose=loose_things(sheet, placed, meetings, {part.spec.name: part.span_m for part in vehicle.parts}),
        buried=buried_nuts(sheet, placed, cavity),
        fittings=fittings_of(vehicle, placed, cavity),
    )


# Fins grow on the page, and everything inside meets as before.
@kept(8)
def _meetings(placed: tuple[Placed, ...], cavity: Cavity) -> tuple[Meeting, ...]:
    return meetings_of(placed, cavity)


@kept(4)
def _walls(cavity: Cavity) -> tuple[DrawnWall, ...]:
    return drawn_walls(cavity)


def _electronics_placed(sheet: Sheet) -> bool:
    """Whether there is a sled with its place for every name that computers give theirs."""
    named = {computer.sled for computer in sheet.electronics.computer}
    return len(named) <= sum(item.kind == "sled" for item in sheet.item)
