"""Rods, eye bolts, their nuts and washers, as solids in place."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.inside.placed import Placed, taken_size
from finial.assemble.inside.results import Size
from finial.assemble.vehicle.bays import bay_of_joint
from finial.assemble.vehicle.rods import rod_name, rod_places
from finial.core.kept_parts import kept
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import EyeEntry, ItemEntry, RodEntry
from finial.files.sheet_recovery import BayEntry
from finial.inside.nuts import eye_ring, leg_offsets_m, nut_on_washer
from finial.inside.things import Kind, Thing, moved_along
from finial.inside.usual import Nut, usual_eye_m, usual_nut
from finial.structure.rods.threads import thread


@kept(8)
def rods_with_nuts(rods: tuple[RodEntry, ...]) -> tuple[Placed, ...]:
    """Return all rods, each set with its nuts and washers."""
    return tuple(placed for rod in rods for placed in (*_rod(rod), *_nuts(rod)))


def _rod(rod: RodEntry) -> Iterator[Placed]:
    fore, aft = (end.value for end in rod.stations)
    for place in rod_places(rod).tolist():
        yield Placed(
            thing=Thing(
                name=rod_name(rod),
                kind=Kind.ROD,
                middle_m=(fore + aft) / 2,
                length_m=aft - fore,
                across_m=thread(rod.thread).diameter_m,
                offset_m=(place[0], place[1]),
                slack_m=(0.0, max(end.tolerance for end in rod.stations)),
            )
        )


def _nuts(rod: RodEntry) -> Iterator[Placed]:
    """Nuts flush with the ends of their rods, and the washers under them."""
    nut, name = usual_nut(rod.thread), rod_name(rod)
    stack_m = nut.height_m + (nut.washer_thickness_m if rod.washer else 0.0)
    fore, aft = rod.stations
    for end, inward in ((fore, 1.0), (aft, -1.0)):
        for place in rod_places(rod).tolist():
            seat = Thing(
                name=name,
                kind=Kind.NUT,
                middle_m=end.value + inward * stack_m,
                length_m=stack_m,
                across_m=nut.across_m,
                offset_m=(place[0], place[1]),
                slack_m=(0.0, end.tolerance),
                passes=(name,),
                moves_with=name,
            )
            yield from _fastened(seat, -inward, nut, rod.washer)


def _fastened(seat: Thing, outward: float, nut: Nut, washer: Quantity | None) -> Iterator[Placed]:
    """Return a nut on its seat, and its washer with the tolerance of its own diameter."""
    top, *under = nut_on_washer(seat, outward, nut, washer.value if washer else None)
    yield Placed(thing=top)
    for one in under:
        assert washer is not None
        yield Placed(thing=replace(one, slack_m=(washer.tolerance / 2, one.slack_m[1])))


def eye_things(sheet: Sheet, item: ItemEntry, plate: Thing) -> tuple[Placed, ...]:
    """Return eye, nuts and washers of a plate: the eye on the side of the bay whose cord it holds."""
    if item.eye is None:
        return ()
    names = tuple(bay.name for bay in sheet.recovery.bay)
    return _eye_things(item.eye, item.name, plate, _eye_bay(sheet, plate), names)


@kept(64)
def _eye_things(
    eye: EyeEntry, item: str, plate: Thing, bay: BayEntry | None, bays: tuple[str, ...]
) -> tuple[Placed, ...]:
    return tuple(_eye(eye, item, plate, bay, bays))


def _eye(
    eye: EyeEntry, item: str, plate: Thing, bay: BayEntry | None, bays: tuple[str, ...]
) -> Iterator[Placed]:
    inward = -1.0 if bay is not None and _middle(bay) < plate.middle_m else 1.0
    nut, wire = usual_nut(eye.thread), thread(eye.thread).diameter_m
    across = eye.across.value if eye.across else usual_eye_m(wire, eye.legs, eye.washer.value)
    name = f"eye of {item}"
    seat = replace(plate, name=name, moves_with=item, passes=(item, *bays))
    ring = eye_ring(seat, inward, across, wire)
    taken = () if eye.across else (taken_size(name, Size.ACROSS, across),)
    yield Placed(thing=replace(ring, passes=(item, bay.name) if bay else (item,)), taken=taken)
    back = moved_along(seat, -inward * plate.length_m / 2)
    for leg in leg_offsets_m(back, eye.legs, across - wire):
        yield from _fastened(replace(back, offset_m=leg), -inward, nut, eye.washer)


def _eye_bay(sheet: Sheet, plate: Thing) -> BayEntry | None:
    """Return the bay whose cord is tied to a plate; the one with the nearest end where nobody says."""
    said = [
        bay
        for cord in sheet.recovery.cord
        if cord.tied_to and plate.name in cord.tied_to and (bay := bay_of_joint(sheet, cord.joint))
    ]
    return min(
        said or sheet.recovery.bay,
        key=lambda bay: min(abs(plate.middle_m - end.value) for end in bay.stations),
        default=None,
    )


def _middle(bay: BayEntry) -> float:
    return (bay.stations[0].value + bay.stations[1].value) / 2
