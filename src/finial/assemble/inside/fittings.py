"""What holds, closes and weighs: motors in their tubes, ends of bays, tubes of bays, densities of items."""

import math
from collections.abc import Iterator, Sequence

from finial.assemble.inside.guide import skin_beside
from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import BayEnd, Elsewhere, Fittings, ItemDensity, MotorHold, TubeCover
from finial.assemble.inside.things import MOTOR_TUBE, THRUST_PLATE, bay_room, bay_tubes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import density_of, sheet_material
from finial.assemble.vehicle.motors import MotorPlace, motor_places
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.files.sheet_body import ItemEntry
from finial.files.sheet_motor import ThrustPlateEntry
from finial.files.sheet_recovery import BayEntry
from finial.inside.cavity import Cavity
from finial.inside.closing import is_near, lean_of_play, open_share
from finial.inside.things import Kind, Thing
from finial.inside.usual import MOTOR_PLAY_M, usual_density

CLOSES_WITHIN_M = 15e-3
"""How far from the end of a bay a plate or floor still closes it [m]; common practice."""
PLATE_SHARE = 0.7
"""Least diameter of a plate that takes the push of a charge, of the bay's [-]: a ledge of print may bear its
edge; a judgement of this project."""
THROUGH_M = 2e-3
"""How much narrower than the motor a hole may be that it still goes through [m]: play of what is measured."""
_STOPS = (Kind.BULKHEAD, Kind.BAY, Kind.SLED, Kind.BALLAST)
"""What a longer motor would run into."""
_CLOSERS = (Kind.BULKHEAD, Kind.BALLAST, Kind.MOTOR, Kind.OTHER)


def fittings_of(vehicle: LoadedVehicle, placed: Sequence[Placed], cavity: Cavity) -> Fittings:
    """Look at everything that holds or closes something else."""
    sheet, things = vehicle.sheet, [one.thing for one in placed]
    return Fittings(
        motors=tuple(_motor(vehicle, place, things) for place in motor_places(vehicle)),
        bay_ends=tuple(end for bay in _charged(sheet) for end in _ends(bay, things, cavity)),
        tubes=tuple(cover for bay in sheet.recovery.bay if (cover := _cover(sheet, bay))),
        densities=tuple(
            found
            for item in sheet.item
            for found in (_density(sheet, item, things), _density_said(sheet, item))
            if found
        ),
        tubes_unweighed=_unweighed(sheet, things),
        bays_untubed=tuple(bay.name for bay in sheet.recovery.bay if _untubed(sheet, bay)),
        elsewhere=tuple(found for item in sheet.item if (found := _elsewhere(item, things))),
        standoff=_standoff(vehicle),
    )


def _motor(vehicle: LoadedVehicle, place: MotorPlace, things: Sequence[Thing]) -> MotorHold:
    motor, mount, plate = place.motor, place.mount, vehicle.sheet.motor.thrust_plate
    fore, aft = place.nozzle_station_m - motor.length_m, place.nozzle_station_m
    held, play, lean = None, MOTOR_PLAY_M, 0.0
    if mount is not None:
        ends = [end.value for end in mount.stations]
        length = max(min(aft, ends[1]) - max(fore, ends[0]), 0.0)
        held = exact(length / motor.length_m, known_by=KnownBy.COMPUTED, method="stations of its tube")
        if mount.bore:
            play = mount.bore.value - motor.diameter_m
        lean = lean_of_play(play, length) if length > 0.0 else math.pi / 2
    tolerance = mount.bore.tolerance if mount and mount.bore else 0.0
    ahead, room = _next_ahead(place, fore, things), vehicle.sheet.motor.room
    return MotorHold(
        motor=motor.name,
        station_m=(fore + aft) / 2,
        held=held,
        play=_about(play, tolerance),
        lean_rad=lean,
        slips=_about(plate.hole.value - motor.diameter_m, plate.hole.tolerance) if plate else None,
        off_plate=_off_plate(plate, (fore, aft), motor.diameter_m) if plate else None,
        room=room.estimate(KnownBy.MEASURED) if room else None,
        run_m=aft - (ahead.span_m[1] if ahead else 0.0),
        ahead=ahead.name if ahead else "",
    )


def _next_ahead(place: MotorPlace, fore_m: float, things: Sequence[Thing]) -> Thing | None:
    """Return the last thing before a motor's fore end that stops a longer one; its plate goes with it."""
    in_its_way = (
        thing
        for thing in things
        if thing.kind in _STOPS
        and thing.name != THRUST_PLATE
        and thing.span_m[1] <= fore_m + THROUGH_M
        and math.dist(thing.offset_m, place.offset_m) < (thing.across_m + place.motor.diameter_m) / 2
    )
    return max(in_its_way, key=lambda thing: thing.span_m[1], default=None)


def _off_plate(plate: ThrustPlateEntry, ends_m: tuple[float, float], across_m: float) -> Estimate | None:
    """How far the end that pushes stands behind the plate: through a hole of its size it is the aft one."""
    if plate.station is None:
        return None
    face = plate.station.value + plate.thickness.value / 2
    pushes = ends_m[1] if plate.hole.value > across_m - THROUGH_M else ends_m[0]
    return _about(pushes - face, plate.station.tolerance)


def _about(value: float, tolerance: float) -> Estimate:
    return Estimate(
        value=value,
        low=value - tolerance,
        high=value + tolerance,
        known_by=KnownBy.MEASURED,
        method="sizes in the sheet",
    )


def _charged(sheet: Sheet) -> list[BayEntry]:
    charged = {charge.bay for charge in sheet.recovery.charge}
    return [bay for bay in sheet.recovery.bay if bay.name in charged]


def _ends(bay: BayEntry, things: Sequence[Thing], cavity: Cavity) -> Iterator[BayEnd]:
    room = bay_room(bay)
    closers = [thing for thing in things if thing.kind in _CLOSERS]
    for end in bay.stations:
        near = tuple(one for one in closers if is_near(one, end.value, CLOSES_WITHIN_M))
        share = _open_share(room, near, cavity, end.value)
        plate = _plate(bay, near, end.value)
        pushed = _pushed_motor(plate, near)
        yield BayEnd(
            bay=bay.name,
            station_m=end.value,
            open_share=exact(share, known_by=KnownBy.COMPUTED, method="things and print near the end"),
            plate=plate.name if plate else "",
            motor=pushed.name if pushed else "",
            motor_across_m=pushed.across_m if pushed else 0.0,
        )


def _plate(bay: BayEntry, near: Sequence[Thing], station_m: float) -> Thing | None:
    """Return what takes the push at an end: a bulkhead before all else, and the one that faces the bay."""
    middle = (bay.stations[0].value + bay.stations[1].value) / 2
    wide = [one for one in near if one.across_m >= PLATE_SHARE * bay.diameter.value]

    def behind_it(thing: Thing) -> float:
        fore, aft = thing.span_m
        return station_m - aft if station_m < middle else fore - station_m

    return min(wide, key=lambda one: (one.kind is not Kind.BULKHEAD, behind_it(one)), default=None)


def _pushed_motor(plate: Thing | None, near: Sequence[Thing]) -> Thing | None:
    """Return the motor that the charge pushes on: one at the end of the bay with no plate before it."""
    if plate is not None and plate.kind is not Kind.MOTOR:
        return None
    motors = (thing for thing in near if thing.kind is Kind.MOTOR)
    return max(motors, key=lambda thing: thing.across_m, default=None)


@kept(64)
def _open_share(room: Thing, closers: tuple[Thing, ...], cavity: Cavity, station_m: float) -> float:
    return open_share(room, closers, cavity, station_m, CLOSES_WITHIN_M)


def _cover(sheet: Sheet, bay: BayEntry) -> TubeCover | None:
    """How much of a bay its tubes among the items cover; none where its wall is drawn or said otherwise."""
    tubes = bay_tubes(sheet, bay)
    if not tubes:
        return None
    fore, aft = (end.value for end in bay.stations)
    halves = [(tube.station.value, (tube.length.value if tube.length else 0.0) / 2) for tube in tubes]
    covered = sum(max(min(at + half, aft) - max(at - half, fore), 0.0) for at, half in halves)
    return TubeCover(
        bay=bay.name,
        tube=tubes[0].name,
        station_m=tubes[0].station.value,
        share=exact(covered / (aft - fore), known_by=KnownBy.MEASURED, method="stations in the sheet"),
        wall=_wall_said(tubes[0], bay),
        stuffs=_stuffs(sheet, (bay.material, *(tube.material for tube in tubes))),
    )


def _stuffs(sheet: Sheet, said: Sequence[str | None]) -> tuple[str, ...]:
    """Names of the materials, each once, whichever of its names the sheet uses."""
    return tuple(dict.fromkeys(sheet_material(sheet, one).name for one in said if one))


def _wall_said(tube: ItemEntry, bay: BayEntry) -> Estimate | None:
    """Wall of a bay over that of the tube it is said to be [-]; ``None`` without one of its sizes."""
    if bay.wall is None or tube.across is None or tube.bore is None:
        return None
    wall_m = (tube.across.value - tube.bore.value) / 2
    return exact(bay.wall.value / wall_m, known_by=KnownBy.MEASURED, method="sizes in the sheet")


def _density(sheet: Sheet, item: ItemEntry, things: Sequence[Thing]) -> ItemDensity | None:
    """Mass over room of an item of which the sheet says all sizes; none where one is worked out."""
    volume_m3 = _volume(item, things)
    if volume_m3 is None:
        return None
    alone = item.eye is None or item.density is not None
    item = _of_its_bay(sheet, item)
    usual = density_of(sheet, item)
    return ItemDensity(
        item=item.name,
        station_m=item.station.value,
        found=item.mass.estimate(item.known_by).scaled(1.0 / volume_m3),
        usual=usual,
        named=item.material is not None or item.density is not None,
        # An eye with its nuts may weigh more than the plate it stands in.
        heaviest=usual if alone else usual_density(item.kind),
        alone=alone,
    )


def _density_said(sheet: Sheet, item: ItemEntry) -> ItemDensity | None:
    """Density that the sheet gives an item beside its material: its room may have been worked out of it."""
    if item.density is None or item.material is None:
        return None
    usual = sheet_material(sheet, item.material).density_kg_m3
    return ItemDensity(
        item=item.name,
        station_m=item.station.value,
        found=item.density.estimate(KnownBy.MEASURED),
        usual=usual,
        named=True,
        heaviest=usual,
    )


def _of_its_bay(sheet: Sheet, item: ItemEntry) -> ItemEntry:
    """Take the tube of a bay as made of what the bay's wall is said to be, where it says nothing itself."""
    bays = [bay for bay in sheet.recovery.bay if bay.material and item in bay_tubes(sheet, bay)]
    if not bays or item.material is not None or item.density is not None:
        return item
    return item.model_copy(update={"material": bays[0].material})


def _volume(item: ItemEntry, things: Sequence[Thing]) -> float | None:
    """Room of an item whose sizes are all said, or of the motors' tubes that it is [m^3]."""
    if item.room_of == MOTOR_TUBE:
        return sum(thing.volume_m3 for thing in things if thing.kind is Kind.MOTOR_TUBE) or None
    thing = next((one for one in things if one.name == item.name), None)
    said = item.length is not None and (item.across is not None or item.sides is not None)
    return thing.volume_m3 if thing is not None and said else None


def _unweighed(sheet: Sheet, things: Sequence[Thing]) -> tuple[str, ...]:
    if any(item.room_of == MOTOR_TUBE for item in sheet.item):
        return ()
    return tuple(thing.name for thing in things if thing.kind is Kind.MOTOR_TUBE)


def _untubed(sheet: Sheet, bay: BayEntry) -> bool:
    """Whether the sheet says a bay's wall is of something that is neither printed round it nor built in."""
    drawn = {part.material for part in sheet.part}
    return bay.material is not None and bay.material not in drawn and not bay_tubes(sheet, bay)


def _elsewhere(item: ItemEntry, things: Sequence[Thing]) -> Elsewhere | None:
    if item.room_of is None:
        return None
    if item.room_of == MOTOR_TUBE:
        spans = [thing.span_m for thing in things if thing.kind is Kind.MOTOR_TUBE]
    else:
        spans = [thing.span_m for thing in things if thing.name == item.room_of]
    if not spans:
        return None
    at = item.station.value
    off = min(max(fore - at, at - aft, 0.0) for fore, aft in spans)
    return Elsewhere(item=item.name, room_of=item.room_of, station_m=at, off_m=off)


def _standoff(vehicle: LoadedVehicle) -> Estimate | None:
    guide = vehicle.sheet.guide
    if guide is None or guide.rail_from_axis is None:
        return None
    outs = [skin_beside(guide, vehicle.skin, button.value) for button in guide.buttons]
    found = [guide.rail_from_axis.value - out for out in outs if math.isfinite(out)]
    return _about(max(found), guide.rail_from_axis.tolerance) if found else None
