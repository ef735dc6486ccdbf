"""Everything of the sheet that stands inside, as solids in place; what it leaves open is taken and said."""

import math
from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.inside.fasteners import eye_things, rods_with_nuts
from finial.assemble.inside.placed import Placed, taken_size
from finial.assemble.inside.results import Size, Taken
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import density_of
from finial.assemble.vehicle.motors import MotorPlace, motor_places
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.core.units import Quantity
from finial.files.fields import across_m
from finial.files.sheet import Sheet
from finial.files.sheet_body import GuideEntry, ItemEntry
from finial.files.sheet_motor import ThrustPlateEntry
from finial.files.sheet_recovery import BayEntry, CanopyEntry
from finial.files.sheet_rules import MOTOR_TUBE
from finial.inside.cavity import Cavity
from finial.inside.room import widest_at
from finial.inside.things import Kind, Thing
from finial.inside.usual import MOTOR_PLAY_M, PLATE_M, SCREW_DEPTH_M, SCREW_M
from finial.inside.volumes import lump, room_of_mass
from finial.recovery.charges.powder import HAND_PACK_KG_M3
from finial.shape.fin_set import FinSet
from finial.shape.measures import section_at
from finial.shape.skin import Skin
from finial.structure.rods.threads import thread

KINDS = {
    "ballast": Kind.BALLAST,
    "sled": Kind.SLED,
    "bulkhead": Kind.BULKHEAD,
    "tube": Kind.TUBE,
    "screw": Kind.SCREW,
    "other": Kind.OTHER,
}
"""Kinds of items that take room of their own; ``spread`` takes none."""
THRUST_PLATE = "thrust plate"
"""Name of the plate under ``[motor]``."""
_SAME_BORE_M = 1e-3
"""A tube as wide inside as a bay, within this, is its wall [m]."""
_UNBOUNDED_M = 10.0
"""Stands for no room to measure: the thing is drawn as long as wide [m]."""
_SNUG_SHARE = 0.999
"""A thing without a size fills this share of the room it stands in: it touches nothing [-]."""


def placed_things(vehicle: LoadedVehicle, fins: tuple[FinSet, ...], cavity: Cavity) -> tuple[Placed, ...]:
    """All things inside, motors first."""
    sheet = vehicle.sheet
    return (
        *motors_and_tubes(vehicle),
        *thrust_plate_ring(sheet),
        *_bays(sheet),
        *_items(sheet, cavity),
        *rods_with_nuts(sheet.rod),
        *fin_tabs(sheet, fins),
        *(button_screws(sheet.guide, vehicle.skin) if sheet.guide else ()),
    )


def _items(sheet: Sheet, cavity: Cavity) -> Iterator[Placed]:
    """All items that take room of their own, and the eyes in them."""
    for item in sheet.item:
        if _has_room(item):
            placed = _item(sheet, item, cavity)
            yield placed
            yield from eye_things(sheet, item, placed.thing)


def _has_room(item: ItemEntry) -> bool:
    return item.kind != "spread" and item.room_of is None and item.mass.value > 0.0


def motors_and_tubes(vehicle: LoadedVehicle) -> Iterator[Placed]:
    """Motors and what holds them, in place."""
    yield from _in_mounts(motor_places(vehicle))


# What no slider moves stays the very same, and what was found of it is found again at once.
@kept(8)
def _in_mounts(places: tuple[MotorPlace, ...]) -> tuple[Placed, ...]:
    return tuple(_mounted(places))


def _mounted(places: tuple[MotorPlace, ...]) -> Iterator[Placed]:
    for number, place in enumerate(places, start=1):
        mark = f" {number}" if len(places) > 1 else ""
        half = place.motor.length_m / 2
        motor = Thing(
            name=f"{place.motor.name}{mark}",
            kind=Kind.MOTOR,
            middle_m=place.nozzle_station_m - half * math.cos(place.tilt_rad),
            length_m=place.motor.length_m,
            across_m=place.motor.diameter_m,
            offset_m=_ahead(place.offset_m, half * math.sin(place.tilt_rad), place.toward_rad),
            tilt_rad=place.tilt_rad,
            toward_rad=place.toward_rad,
        )
        yield Placed(thing=motor)
        if place.mount is None:
            continue
        fore, aft = (end.value for end in place.mount.stations)
        middle = (fore + aft) / 2
        shift = (place.nozzle_station_m - middle) * math.tan(place.tilt_rad)
        bore = place.mount.bore or Quantity(value=place.motor.diameter_m + MOTOR_PLAY_M)
        tube = Thing(
            name=f"{MOTOR_TUBE}{mark}",
            kind=Kind.MOTOR_TUBE,
            middle_m=middle,
            length_m=(aft - fore) / math.cos(place.tilt_rad),
            across_m=place.mount.across.value,
            bore_m=min(bore.value, 0.999 * place.mount.across.value),
            offset_m=_ahead(place.offset_m, shift, place.toward_rad),
            slack_m=(place.mount.across.tolerance / 2, max(end.tolerance for end in place.mount.stations)),
            tilt_rad=place.tilt_rad,
            toward_rad=place.toward_rad,
            moves_with=motor.name,
            pressed_in_m=place.mount.pressed_in.value / 2,
        )
        taken = [] if place.mount.bore else [taken_size(tube.name, Size.BORE, bore.value)]
        yield Placed(thing=tube, taken=tuple(taken))


def _ahead(offset_m: tuple[float, float], by_m: float, toward_rad: float) -> tuple[float, float]:
    return offset_m[0] + by_m * math.cos(toward_rad), offset_m[1] + by_m * math.sin(toward_rad)


def thrust_plate_ring(sheet: Sheet) -> Iterator[Placed]:
    """Ring that takes the thrust, where the sheet puts it somewhere."""
    if sheet.motor.thrust_plate is not None and sheet.motor.thrust_plate.station is not None:
        yield _ring(sheet.motor.thrust_plate, sheet.motor.thrust_plate.station, across_m(sheet.motor.offset))


@kept(8)
def _ring(plate: ThrustPlateEntry, station: Quantity, offset_m: tuple[float, float]) -> Placed:
    across = plate.across or plate.held_at
    return Placed(
        thing=Thing(
            name=THRUST_PLATE,
            kind=Kind.BULKHEAD,
            middle_m=station.value,
            length_m=plate.thickness.value,
            across_m=across.value,
            bore_m=min(plate.hole.value, 0.999 * across.value),
            offset_m=offset_m,
            slack_m=(across.tolerance / 2, station.tolerance),
            pressed_in_m=plate.pressed_in.value / 2,
        ),
        taken=() if plate.across else (taken_size(THRUST_PLATE, Size.ACROSS, across.value),),
    )


def _bays(sheet: Sheet) -> Iterator[Placed]:
    for bay in sheet.recovery.bay:
        has_tube = bool(bay.wall and bay.round_tube and not bay_tubes(sheet, bay))
        yield from _bay(bay, tuple(one for one in sheet.recovery.canopy if one.bay == bay.name), has_tube)


@kept(32)
def _bay(bay: BayEntry, canopies: tuple[CanopyEntry, ...], has_tube: bool) -> tuple[Placed, ...]:
    return (
        Placed(thing=bay_room(bay)),
        *((Placed(thing=bay_tube(bay)),) if has_tube else ()),
        *(_pack(bay, canopy) for canopy in canopies),
    )


def bay_room(bay: BayEntry) -> Thing:
    """Return the room of a bay, which only what lies in it may take."""
    fore, aft = (end.value for end in bay.stations)
    return Thing(
        name=bay.name,
        kind=Kind.BAY,
        middle_m=(fore + aft) / 2,
        length_m=(aft - fore) / math.cos(bay.tilt.value),
        across_m=bay.diameter.value,
        offset_m=across_m(bay.offset),
        tilt_rad=bay.tilt.value,
        toward_rad=bay.toward.value,
        slack_m=(bay.diameter.tolerance / 2, max(end.tolerance for end in bay.stations)),
    )


def bay_tube(bay: BayEntry) -> Thing:
    """Return the tube of a bay: its wall round its room."""
    room, wall = bay_room(bay), bay.wall.value if bay.wall else 0.0
    tolerance = bay.wall.tolerance if bay.wall else 0.0
    return replace(
        room,
        kind=Kind.TUBE,
        across_m=room.across_m + 2 * max(wall, 1e-4),
        bore_m=room.across_m,
        slack_m=(room.slack_m[0] + tolerance, room.slack_m[1]),
    )


def bay_tubes(sheet: Sheet, bay: BayEntry) -> tuple[ItemEntry, ...]:
    """Return the tubes among the items that are the wall of a bay: as wide inside, and beside it."""
    return tuple(item for item in sheet.item if _is_tube_of(item, bay))


def _is_tube_of(item: ItemEntry, bay: BayEntry) -> bool:
    if item.kind != "tube" or not item.bore or not item.length or item.room_of is not None:
        return False
    fore, aft = (end.value for end in bay.stations)
    half = item.length.value / 2
    beside = item.station.value - half < aft and item.station.value + half > fore
    return beside and abs(item.bore.value - bay.diameter.value) <= _SAME_BORE_M


def _pack(bay: BayEntry, canopy: CanopyEntry) -> Placed:
    """Return a packed canopy in its bay, as dense as packed by hand where its size is not given."""
    across = (canopy.packed_across or bay.diameter).value
    cloth = canopy.mass.value + (canopy.protector.value if canopy.protector else 0.0)
    length = cloth / HAND_PACK_KG_M3 / (math.pi / 4 * across**2)
    if canopy.packed_length:
        length = canopy.packed_length.value
    middle = canopy.station.value if canopy.packed_length else _within(bay, canopy.station.value, length)
    start = (bay.stations[0].value + bay.stations[1].value) / 2
    ahead = (start - middle) * math.tan(bay.tilt.value)
    pack = Thing(
        name=canopy.name,
        kind=Kind.PACK,
        middle_m=middle,
        length_m=length,
        across_m=across,
        offset_m=_ahead(across_m(bay.offset), ahead, bay.toward.value),
        tilt_rad=bay.tilt.value,
        toward_rad=bay.toward.value,
        known_by=KnownBy.ASSUMED if canopy.packed_length is None else KnownBy.MEASURED,
        lies_in=bay.name,
    )
    taken = [] if canopy.packed_across else [taken_size(canopy.name, Size.ACROSS, across)]
    taken += [] if canopy.packed_length else [taken_size(canopy.name, Size.LENGTH, length)]
    return Placed(thing=pack, taken=tuple(taken))


def _within(bay: BayEntry, station_m: float, length_m: float) -> float:
    """Station of a pack, whose length nobody gave, as near to its own as both ends of its bay let it [m]."""
    fore, aft = (end.value for end in bay.stations)
    least, most = fore + length_m / 2, aft - length_m / 2
    return min(max(station_m, least), most) if least <= most else station_m


def _item(sheet: Sheet, item: ItemEntry, cavity: Cavity) -> Placed:
    free = _free_across(cavity, item.station.value, across_m(item.offset))
    return item_in_place(item, density_of(sheet, item), free)


@kept(64)
def _free_across(cavity: Cavity, station_m: float, offset_m: tuple[float, float]) -> float:
    return widest_at(cavity, station_m, offset_m)


# On the page one item changes, and the others stay the very same.
@kept(64)
def item_in_place(item: ItemEntry, density: Estimate, free_across_m: float) -> Placed:
    """Return an item as its sizes say; what they leave open from its mass, density and the room there.

    Parameters
    ----------
    item : ItemEntry
        The item with its mass [kg] and those of its sizes that are given [m].
    density : Estimate
        What it is made of [kg/m^3].
    free_across_m : float
        Diameter of the free circle where it stands [m]; 0 where there is none.

    Returns
    -------
    placed : Placed
        The thing, and the same at both ends of its density where a size was taken from that.
    """
    room = room_of_mass(item.mass.estimate(item.known_by), density)
    widest = _SNUG_SHARE * free_across_m
    whole = _sized(item, room.value, widest)
    taken: list[Taken] = []
    if item.length is None and (item.across or item.sides):
        taken.append(taken_size(item.name, Size.LENGTH, whole.length_m, room))
    elif item.length is None:
        taken.append(Taken(thing=item.name, size=Size.ROOM, value=room))
    elif not (item.across or item.sides):
        taken.append(taken_size(item.name, Size.ACROSS, whole.across_m, room))
    others = (
        ()
        if not taken or room.low == room.high
        else tuple(_sized(item, volume, widest) for volume in (room.low, room.high) if volume > 0.0)
    )
    known = KnownBy.MEASURED if not taken else room.known_by
    return Placed(thing=replace(whole, known_by=known), others=others, taken=tuple(taken))


def _sized(item: ItemEntry, room_m3: float, widest_m: float) -> Thing:
    sides = [side.value for side in item.sides] if item.sides else []
    across, length = _across_and_length(item, room_m3, widest_m)
    tolerances = [one.tolerance for one in (item.across, *(item.sides or ())) if one is not None]
    along = item.station.tolerance + (item.length.tolerance / 2 if item.length else 0.0)
    return Thing(
        name=item.name,
        kind=KINDS[item.kind],
        middle_m=item.station.value,
        length_m=length,
        across_m=sides[0] if sides else across,
        depth_m=sides[1] if sides else 0.0,
        bore_m=item.bore.value if item.bore else 0.0,
        offset_m=across_m(item.offset),
        tilt_rad=item.tilt.value,
        toward_rad=item.toward.value,
        roll_rad=item.turned.value,
        slack_m=(max(tolerances, default=0.0) / 2 + max(one.tolerance for one in item.offset), along),
        passes=item.passes,
        pressed_in_m=item.pressed_in.value / 2,
    )


def _across_and_length(item: ItemEntry, room_m3: float, widest_m: float) -> tuple[float, float]:
    """Diameter and length of an item, what is open from the room that its mass takes."""
    if item.length is not None:
        if item.across or item.sides:
            return (item.across.value if item.across else 0.0), item.length.value
        if item.kind == "bulkhead" and widest_m > 0.0:
            return widest_m, item.length.value
        return math.sqrt(room_m3 / item.length.value * 4 / math.pi), item.length.value
    if item.sides:
        return 0.0, room_m3 / math.prod(side.value for side in item.sides)
    if item.across:
        bore = item.bore.value if item.bore else 0.0
        thick = PLATE_M if item.kind == "bulkhead" and _weightless(item) else None
        return item.across.value, thick or room_m3 / (math.pi / 4 * (item.across.value**2 - bore**2))
    if widest_m <= 0.0:
        return lump(room_m3, _UNBOUNDED_M)
    # As flat as the room it stands in allows: if not even that fits, nothing of that mass does.
    return widest_m, room_m3 / (math.pi / 4 * widest_m**2)


def _weightless(item: ItemEntry) -> bool:
    """Whether an item's mass says nothing of its thickness: neither material nor density is given."""
    return item.material is None and item.density is None


def fin_tabs(sheet: Sheet, fins: tuple[FinSet, ...]) -> Iterator[Placed]:
    """Tabs of fins that reach through the wall: boxes from the root inward."""
    for fin, given in zip(fins, sheet.fin, strict=True):
        if given.fixing is None or given.fixing.kind != "tab" or given.fixing.depth is None:
            continue
        root = fin.root_m
        length, depth = float(root.max() - root.min()), given.fixing.depth.value
        out = fin.root_radius_m - depth / 2
        for roll in fin.rolls_rad:
            yield Placed(
                thing=Thing(
                    name=fin.name,
                    kind=Kind.TAB,
                    middle_m=fin.station_m + float(root.min()) + length / 2,
                    length_m=length,
                    across_m=depth,
                    depth_m=fin.thickness_m,
                    roll_rad=roll,
                    offset_m=_ahead(fin.offset_m, out, roll),
                    slack_m=(given.fixing.depth.tolerance, given.station.tolerance),
                )
            )


@kept(8)
def button_screws(guide: GuideEntry, skin: Skin) -> tuple[Placed, ...]:
    """Screws of the rail buttons, from the skin inward."""
    return tuple(_screws(guide, skin))


def _screws(guide: GuideEntry, skin: Skin) -> Iterator[Placed]:
    """Screws of the rail buttons: from the skin inward, square to it at the side they stand on."""
    from finial.inside.rail import side_radius

    across = thread(guide.screw).diameter_m if guide.screw else SCREW_M
    deep = guide.engagement.value if guide.engagement else SCREW_DEPTH_M
    aside = _ahead((0.0, 0.0), guide.aside.value, guide.at.value + math.pi / 2)
    for button in guide.buttons:
        section = section_at(skin, min(button.value, skin.length_m))
        out = side_radius(section, guide.at.value, across, guide.aside.value)
        if not math.isfinite(out):
            continue
        taken = [] if guide.screw and guide.engagement else [taken_size("button screw", Size.SCREW, deep)]
        yield Placed(
            thing=Thing(
                name="button screw",
                kind=Kind.SCREW,
                middle_m=button.value,
                length_m=deep,
                across_m=across,
                offset_m=_ahead(aside, out - deep / 2, guide.at.value),
                tilt_rad=math.pi / 2,
                toward_rad=guide.at.value,
            ),
            taken=tuple(taken),
        )
