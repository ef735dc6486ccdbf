"""Ways of things: in at building, and through what is open on the field and in the flight."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import WayOccasion, WayOut
from finial.assemble.inside.things import bay_room, bay_tube
from finial.assemble.vehicle.bays import bay_contents
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry
from finial.inside.cavity import Cavity, Printed
from finial.inside.order import Passage, WayIn, passage, ways_in
from finial.inside.room import nearest_part
from finial.inside.things import Kind, Thing
from finial.recovery.packs.packing import Pack, pack_diameter

_STAYS = frozenset({Kind.MOTOR_TUBE, Kind.TUBE, Kind.ROD, Kind.BALLAST, Kind.OTHER})
"""What stays in place while a sled is taken out; plates come out with it or before it."""

_NO_WAY = frozenset({Kind.BAY, Kind.EYE})
"""What goes in by itself: room is no thing, and an eye goes in with its plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Opening:
    """Where the vehicle is open: at the base, at a joint, or between parts that are only clamped."""

    name: str
    station_m: float


def building_ways(placed: Sequence[Placed], sheet: Sheet, cavity: Cavity) -> tuple[WayIn, ...]:
    """How each thing gets into each part before the parts are put together."""
    round_it = {item.name for item in sheet.item if item.put_in == "while printing"}
    return tuple(
        way
        for one in placed
        if one.thing.name not in round_it and not one.thing.lies_in and one.thing.kind not in _NO_WAY
        for way in _ways_in(one.thing, cavity)
    )


@kept(512)
def _ways_in(thing: Thing, cavity: Cavity) -> tuple[WayIn, ...]:
    return ways_in(thing, cavity)


def ways_out(placed: Sequence[Placed], sheet: Sheet, cavity: Cavity) -> tuple[WayOut, ...]:
    """Ways of motors onto the field, of packs out of their bays, and of sleds to the hand."""
    things = [one.thing for one in placed]
    return (
        *_loading(things, sheet, cavity),
        *(way for bay in sheet.recovery.bay for way in _leaving(bay, things, sheet, cavity)),
        *_reaching(things, sheet, cavity),
    )


def _loading(things: Sequence[Thing], sheet: Sheet, cavity: Cavity) -> Iterator[WayOut]:
    """Motors go in from aft, past everything that stays; or from a joint, where that is nearer open."""
    openings = [_Opening(name="", station_m=cavity.length_m), *_joints(sheet)]
    fixed = tuple(thing for thing in things if thing.kind not in (Kind.MOTOR, Kind.PACK, Kind.SLED))
    for motor in things:
        if motor.kind is Kind.MOTOR:
            yield _best(motor, WayOccasion.LOADING, openings, fixed, cavity)


def _reaching(things: Sequence[Thing], sheet: Sheet, cavity: Cavity) -> Iterator[WayOut]:
    """Sleds come out at a joint, at the base, or where parts are only clamped together."""
    openings = [
        *_joints(sheet),
        _Opening(name="", station_m=cavity.length_m),
        *(
            _Opening(name=part.name, station_m=part.span_m[1])
            for part, entry in zip(cavity.parts, sheet.part, strict=True)
            if entry.outside and not entry.glued and part.span_m[1] < cavity.length_m - 1e-3
        ),
    ]
    shells = [bay_tube(bay) for bay in sheet.recovery.bay]
    fixed = (*shells, *(thing for thing in things if thing.kind in _STAYS))
    closed_in = {item.name for item in sheet.item if item.put_in == "while printing"}
    for sled in things:
        if sled.kind is Kind.SLED and sled.name in closed_in:
            yield _closed_in(sled, cavity)
        elif sled.kind is Kind.SLED:
            yield _best(sled, WayOccasion.REACHING, openings, fixed, cavity)


def _closed_in(thing: Thing, cavity: Cavity) -> WayOut:
    """Tell of a thing that the print goes on over: nothing less than its own width lets it out."""
    number = nearest_part(thing, cavity)
    return WayOut(
        thing=thing.name,
        occasion=WayOccasion.REACHING,
        gap=_around(-thing.across_m, 0.0, thing.known_by),
        opening="",
        opening_m=thing.middle_m,
        blocker="" if number is None else cavity.parts[number].name,
        station_m=thing.middle_m,
    )


def _joints(sheet: Sheet) -> list[_Opening]:
    return [_Opening(name=joint.name, station_m=joint.station.value) for joint in sheet.recovery.joint]


def _best(
    thing: Thing,
    occasion: WayOccasion,
    openings: Sequence[_Opening],
    fixed: tuple[Thing, ...],
    cavity: Cavity,
) -> WayOut:
    ways = [(_passage(thing, cavity, one.station_m, fixed), one) for one in openings]
    way, opening = max(ways, key=lambda pair: pair[0].gap_m)
    return WayOut(
        thing=thing.name,
        occasion=occasion,
        gap=_around(min(way.gap_m, 1.0), thing.slack_m[0], thing.known_by),
        opening=opening.name,
        opening_m=opening.station_m,
        blocker=way.blocker,
        station_m=way.station_m,
    )


@kept(1024)
def _passage(
    thing: Thing,
    cavity: Cavity,
    opening_m: float,
    fixed: tuple[Thing, ...],
    parts: tuple[int, ...] | None = None,
) -> Passage:
    return passage(thing, cavity, opening_m, fixed, parts)


def _around(value: float, slack: float, known_by: KnownBy) -> Estimate:
    return Estimate(
        value=value, low=value - slack, high=value + slack, known_by=known_by, method="way along its axis"
    )


def _leaving(bay: BayEntry, things: Sequence[Thing], sheet: Sheet, cavity: Cavity) -> Iterator[WayOut]:
    """Find how what lies in a bay leaves through its joint, past what stays on its side."""
    packs = [thing for thing in things if thing.lies_in == bay.name]
    joint = next(one for one in sheet.recovery.joint if one.name == bay.joint)
    if not packs:
        return
    station = joint.station.value
    middle = (bay.stations[0].value + bay.stations[1].value) / 2
    ahead = station <= middle
    moving = bay_room(bay)
    stays = tuple(
        thing
        for thing in things
        if thing.kind not in (Kind.PACK, Kind.SCREW, Kind.TAB, Kind.BAY)
        and (_side_of(thing, cavity) > station) == ahead
    )
    parts = tuple(number for number, part in enumerate(cavity.parts) if (_middle(part) > station) == ahead)
    way = _passage(moving, cavity, station, stays, parts)
    width = bay.diameter.value + 2 * min(way.gap_m, 0.0)
    yield WayOut(
        thing=packs[0].name,
        occasion=WayOccasion.LEAVING,
        gap=_around(min(way.gap_m, 1.0), moving.slack_m[0], KnownBy.MEASURED),
        opening=joint.name,
        opening_m=station,
        blocker=way.blocker,
        station_m=way.station_m,
        needed_m=_needed(bay, sheet),
        width_m=max(width, 0.0),
    )


def _middle(part: Printed) -> float:
    return sum(part.span_m) / 2


@kept(512)
def _side_of(thing: Thing, cavity: Cavity) -> float:
    """Station that tells which half a thing belongs to: the middle of the part that it stands in [m].

    A plate in a shoulder leaves with the part that the shoulder is on, though it stands beyond the joint.
    """
    number = nearest_part(thing, cavity)
    return thing.middle_m if number is None else _middle(cavity.parts[number])


def _needed(bay: BayEntry, sheet: Sheet) -> float:
    """Least width that lets what lies in a bay out [m]: the widest pack as measured, else as by hand."""
    measured = [
        canopy.packed_across.value
        for canopy in sheet.recovery.canopy
        if canopy.bay == bay.name and canopy.packed_across
    ]
    return max(_rolled(bay, sheet), *measured, 0.0)


def _rolled(bay: BayEntry, sheet: Sheet) -> float:
    """Diameter of the pack rolled as by hand to the length of its bay [m]."""
    contents = bay_contents(sheet, bay)
    if contents.value <= 0.0:
        return 0.0
    length = bay.stations[1].value - bay.stations[0].value
    mouth = bay.mouth.value if bay.mouth else bay.diameter.value
    try:
        rolled = pack_diameter(
            Pack(contents_kg=contents, diameter_m=bay.diameter.value, length_m=length, mouth_m=mouth)
        )
    except OutsideRange:
        return bay.diameter.value
    return min(rolled, bay.diameter.value)
