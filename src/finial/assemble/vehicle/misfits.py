"""Hardware that no shape like this can have: what is in another unit, or leaves nothing to compute.

What only stands in the wrong place is told of by the findings of the inside.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np

from finial.assemble.vehicle.crowded import fins_in_one_place, rods_in_one_place, stays_off_their_fin
from finial.assemble.vehicle.on_scales import readings_clash, told
from finial.assemble.vehicle.rods import rod_count, rod_places
from finial.core.dimensions import Dimension
from finial.core.errors import BuildSheetError, MeshError
from finial.core.units import Quantity, show
from finial.electronics.rates import has_rest, switch_kinds
from finial.files.fields import across_m
from finial.files.sheet import LoadedSheet, Sheet
from finial.files.sheet_body import FinEntry, ItemEntry
from finial.shape.measures import extents_m, radius_at, section_at
from finial.shape.skin import Skin
from finial.structure.rods.threads import thread

Where = tuple[str | int, ...]
Misfit = tuple[Where, str, str, str]
"""Where in the sheet, what was given, what is accepted, the likely slip."""
Shown = Callable[[float], str]

_FAR_LENGTHS = 2.0
"""Beyond so many lengths of the vehicle a station or a size is in another unit [-]."""
_SHORT = 1.25
"""A nozzle farther aft than so many lengths of the shape stands on another axis [-]: some ends stick out."""
_LEAST_AREA_M2 = 1e-6
_MOST_TILT_RAD = 0.5
"""Beyond this the flight knows no line of thrust [rad]."""
_SHORTEST_ROOT_M = 1e-3
_NARROWEST_BAY_M = 0.01
_NARROWEST_EYE = 2.5
"""Least outer diameter of an eye, of its thread's [-]: the ring on both sides, half of it between."""
_WIDEST_EYE = 8.0
"""Most outer diameter of a single eye, of its thread's [-]: they are sold up to five; common practice."""
_WIDEST_WASHERS = 0.8
"""Widest that the washers of an eye are together, of their plate's diameter [-]; a judgement of this project:
the rest is glue and what its bending is computed of."""


def refuse_misfits(files: LoadedSheet, skin: Skin, spans: Sequence[tuple[float, float]]) -> None:
    """Refuse hardware that nothing could be computed with, all at once.

    Parameters
    ----------
    files : LoadedSheet
        What was written, and where.
    skin : Skin
        The vehicle's.
    spans : sequence of (float, float)
        First and last station of each printed part [m].

    Raises
    ------
    BuildSheetError
        Things far beyond the vehicle or far larger than it, fins that are no plates, buttons in one place.
    """
    source = files.source
    us_units = files.sheet.vehicle.us_units

    def shown(metres: float) -> str:
        return show(metres, Dimension.LENGTH, us_units)

    faults = [
        source.fault(where, given=given, accepted=accepted, likely_slip=slip)
        for where, given, accepted, slip in (
            *_misfits(files, skin, shown),
            *_bores(files, skin, spans, shown),
            *_cuts(files, spans, shown),
            *_made(files),
        )
        if where[0] not in files.missing
    ]
    if faults:
        raise BuildSheetError(faults)


def _misfits(files: LoadedSheet, skin: Skin, shown: Shown) -> Iterable[Misfit]:
    sheet = files.sheet
    yield from _lying(sheet, skin, shown)
    yield from _fins(sheet, skin, shown)
    yield from _rods(sheet, skin, shown)
    yield from _crowded(sheet)
    yield from _motor(files, skin, shown)
    yield from _stations(sheet, skin, shown)
    yield from _joints(sheet, skin, shown)
    yield from _buttons(sheet, shown)
    yield from _bays(sheet, skin, shown)
    yield from _eyes(sheet, shown)
    yield from _weighing(files)
    yield from _switches(sheet)


def _lying(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    """Find a shape that lies on its side: across its axis it is as long as its stations say it is."""
    needed, across = sheet.motor.nozzle_station.value, max(extents_m(skin))
    if needed > _SHORT * skin.length_m and needed < _SHORT * across:
        yield (
            ("vehicle", "up"),
            f'"{sheet.vehicle.up}", along which the shape is {shown(skin.length_m)} long',
            f"the mesh axis that points at the sky; across this one it is {shown(across)} long",
            "all stations that are told of below as too far aft follow from this",
        )


def _switches(sheet: Sheet) -> Iterator[Misfit]:
    """Find switches with a rest that nothing holds them off: they stay where they are put."""
    for index, switch in enumerate(sheet.electronics.switch):
        if switch.rest is not None and not has_rest(switch.kind):
            held = ", ".join(f'"{kind}"' for kind in switch_kinds() if has_rest(kind))
            yield (
                ("electronics", "switch", index, "rest"),
                f'rest = "{switch.rest}" for a {switch.kind}, which stays where it is put',
                f"rest for a kind that a pin or a magnet holds: {held}",
                "",
            )


def _eyes(sheet: Sheet, shown: Shown) -> Iterator[Misfit]:
    """Find eyes that leave a cord no room: their ring is as thick as their thread, all round."""
    for index, item in enumerate(sheet.item):
        if item.eye is None:
            continue
        yield from _wide_washers(("item", index, "eye", "washer"), item, shown)
        if item.eye.across is None:
            continue
        least_m = _NARROWEST_EYE * thread(item.eye.thread).diameter_m
        if item.eye.across.value < least_m:
            yield (
                ("item", index, "eye", "across"),
                f"an eye {shown(item.eye.across.value)} across on {item.eye.thread}",
                f"one that a cord goes through, {shown(least_m)} across at least",
                "the outer diameter of the eye is asked for, not that of its thread",
            )
        elif item.eye.legs == 1 and item.eye.across.value > _WIDEST_EYE * thread(item.eye.thread).diameter_m:
            yield (
                ("item", index, "eye", "across"),
                f"an eye {shown(item.eye.across.value)} across on {item.eye.thread}",
                "a ring as eye bolts of that thread have it, eight threads at most: a wider one bends open",
                "the plate's own diameter was given",
            )


def _wide_washers(where: Where, item: ItemEntry, shown: Shown) -> Iterator[Misfit]:
    """Find washers that leave their plate no rim: it could neither bend nor be glued as it is computed."""
    eye, plate = item.eye, item.across or (min(item.sides, key=lambda one: one.value) if item.sides else None)
    if eye is None or plate is None:
        return
    if eye.legs * eye.washer.value > _WIDEST_WASHERS * plate.value:
        yield (
            where,
            f"{eye.legs} x a washer of {shown(eye.washer.value)} on a plate of {shown(plate.value)}",
            f"washers that leave it a rim, {shown(_WIDEST_WASHERS * plate.value)} together at most",
            "the plate's own diameter was given",
        )


def _weighing(files: LoadedSheet) -> Iterator[Misfit]:
    """Find readings that contradict each other, and a whole that weighs less than the motors in it."""
    entry, us_units = files.sheet.weighing, files.sheet.vehicle.us_units
    if entry is None:
        return
    mass, _ = told(entry)
    if readings_clash(entry):
        yield (
            ("weighing",),
            "mass or balance other than what the two scales give",
            "readings that agree within their tolerances",
            "one of them taken with something else in or out",
        )
    motors_kg = sum(motor.loaded_mass.value for motor in (files.motor, *files.more_motors))
    if entry.motor == "loaded" and "motor" not in files.missing and mass.value <= motors_kg:
        yield (
            ("weighing",),
            show(mass.value, Dimension.MASS, us_units),
            f"more than the motors alone weigh, {show(motors_kg, Dimension.MASS, us_units)}",
            'weighed with motor = "out", or in another unit',
        )


def _fins(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    for index, fin in enumerate(sheet.fin):
        if fin.station.value > _FAR_LENGTHS * skin.length_m:
            yield (
                ("fin", index, "station"),
                f"a root that begins at {shown(fin.station.value)}",
                f"a root on the body, which ends at {shown(skin.length_m)}",
                "the station is where the root begins, measured aft from the tip",
            )
        elif max(outward.value for _, outward in fin.outline) <= 1e-6:
            yield ("fin", index, "outline"), "an outline without span", "points outward of the root", ""
        elif _reach(fin) > _FAR_LENGTHS * skin.length_m:
            yield (
                ("fin", index, "outline"),
                f"a corner {shown(_reach(fin))} from the root's fore end",
                f"corners within twice the vehicle's length, {shown(2 * skin.length_m)}",
                "one corner in another unit",
            )
        elif not _is_plate(fin):
            yield (
                ("fin", index, "outline"),
                "corners that cross or enclose no area, or do not begin and end on the root",
                "corners in order round the plate, the first and the last with 0 outward",
                "each corner is [along, outward], counted from the root's fore end",
            )
        elif fin.root is not None and fin.root.value > skin.length_m:
            yield (
                ("fin", index, "root"),
                f"a root {shown(fin.root.value)} from the axis",
                f"a distance within the length of the vehicle, {shown(skin.length_m)}",
                "root in another unit",
            )
        elif fin.root is None and not _axis_inside(fin, skin):
            yield (
                ("fin", index, "root"),
                f"no root, and at roll {fin.first_at.text} the axis is outside the shape there",
                "root = the distance of the fin's root from the axis",
                "two towers side by side, or an axis that misses the shape",
            )


def _crowded(sheet: Sheet) -> Iterator[Misfit]:
    """Find sets of fins or rods that go through one another, and wires that hold a point beside their fin."""
    for one, other in fins_in_one_place([fin for fin in sheet.fin if _is_plate(fin)]):
        yield _twice("fin", one, other, "its plates stand in those")
    for one, other in rods_in_one_place(sheet.rod):
        yield _twice("rod", one, other, "its rods run through those")
    for index, fin in enumerate(sheet.fin):
        for number in stays_off_their_fin(fin) if _is_plate(fin) else ():
            stay = fin.stays[number]
            yield (
                ("fin", index, "stays", number),
                f"a wire held {stay.along.text} along and {stay.outward.text} outward, beside the fin",
                "a point within the fin's outline",
                "along is counted aft from the fin's station, outward from its root",
            )


def _twice(table: str, one: int, other: int, how: str) -> Misfit:
    return (
        (table, other),
        f"{table}[{other + 1}]: {how} of {table}[{one + 1}]",
        "every set in a place of its own",
        "one set entered twice",
    )


def _reach(fin: FinEntry) -> float:
    """Largest step along or outward from the root's fore end to a corner [m]."""
    return max(abs(step.value) for corner in fin.outline for step in corner)


def _is_plate(fin: FinEntry) -> bool:
    """Tell whether the corners go once round an area, beginning and ending on the root."""
    from shapely.geometry import Polygon

    corners = np.array([[along.value, outward.value] for along, outward in fin.outline])
    plate = Polygon(corners)
    on_root = bool(np.all(corners[[0, -1], 1] <= 1e-9))
    chord_m = float(np.ptp(corners[corners[:, 1] <= 1e-9, 0])) if on_root else 0.0
    return chord_m > _SHORTEST_ROOT_M and plate.is_valid and plate.area > _LEAST_AREA_M2


def _axis_inside(fin: FinEntry, skin: Skin) -> bool:
    """Tell whether the skin is met from the axis at the middle of the root."""
    along = [along.value for along, outward in fin.outline if outward.value <= 1e-9]
    middle = fin.station.value + sum(along) / len(along)
    at = min(middle, skin.length_m)
    return _radius(skin, at, fin.first_at.value, across_m(fin.offset)) is not None


def _radius(
    skin: Skin, station_m: float, roll_rad: float, from_m: tuple[float, float] = (0.0, 0.0)
) -> float | None:
    """Distance of the skin from the axis [m]; ``None`` where the axis is outside the shape."""
    try:
        return radius_at(section_at(skin, station_m), roll_rad, from_m)
    except MeshError:
        return None


def _rods(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    for index, rod in enumerate(sheet.rod):
        fore, aft = (station.value for station in rod.stations)
        if aft > _FAR_LENGTHS * skin.length_m or fore >= aft:
            yield (
                ("rod", index, "stations"),
                f"{shown(fore)} to {shown(aft)}",
                f"two stations between 0 and the base, {shown(skin.length_m)}, the forward one first",
                "stations run aft from the tip",
            )
        elif rod.on_circle is not None and rod.on_circle.value <= 0.0 and rod_count(rod) > 1:
            yield (
                ("rod", index, "on_circle"),
                f"a circle of {shown(0.0)}",
                "a circle above zero for more than one rod",
                "",
            )
        elif (far := float(np.linalg.norm(rod_places(rod), axis=1).max())) > skin.length_m:
            yield (
                ("rod", index, "places" if rod.places else "on_circle"),
                f"a rod {shown(far)} from the axis",
                f"a place within the length of the vehicle, {shown(skin.length_m)}",
                "in another unit",
            )


def _motor(files: LoadedSheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    far = _FAR_LENGTHS * skin.length_m
    nozzle, length = files.sheet.motor.nozzle_station.value, files.motor.length.value
    for where, tilt in _tilts(files.sheet):
        if tilt.value > _MOST_TILT_RAD:
            yield (
                where,
                f"a motor that leans by {tilt.text}",
                "one that pushes along the vehicle, 0.5 rad (28 deg) at most",
                "the angle in another unit",
            )
    if length > far:
        yield (
            ("motor", "data"),
            f"a motor {shown(length)} long",
            f"one that a vehicle of {shown(skin.length_m)} can hold",
            "the motor's length is in another unit",
        )
    if nozzle > far:
        yield (
            ("motor", "nozzle_station"),
            shown(nozzle),
            f"a nozzle near the base, {shown(skin.length_m)}",
            "stations run aft from the tip",
        )
    if files.motor.diameter.value > max(extents_m(skin)):
        yield (
            ("motor", "data"),
            f"a motor {shown(files.motor.diameter.value)} across",
            f"one that fits the body, {shown(max(extents_m(skin)))} at its widest",
            "diameter in another unit",
        )


def _tilts(sheet: Sheet) -> Iterator[tuple[Where, Quantity]]:
    """Angle of every motor, and where it stands in the sheet."""
    yield ("motor", "tilt"), sheet.motor.tilt
    for index, more in enumerate(sheet.motor.more):
        yield ("motor", "more", index, "tilt"), more.tilt


def _stations(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    """Stations of small things that lie far beyond the base."""
    places: list[tuple[Where, float]] = [
        (("item", index, "station"), item.station.value) for index, item in enumerate(sheet.item)
    ]
    places += [
        (("recovery", "canopy", index, "station"), canopy.station.value)
        for index, canopy in enumerate(sheet.recovery.canopy)
    ]
    places += [
        (("recovery", "bay", index, "stations"), bay.stations[1].value)
        for index, bay in enumerate(sheet.recovery.bay)
    ]
    if sheet.guide:
        places += [(("guide", "buttons"), button.value) for button in sheet.guide.buttons]
    for where, station in places:
        if station > _FAR_LENGTHS * skin.length_m:
            yield (
                where,
                f"station {shown(station)}",
                f"a station between 0 and the base, {shown(skin.length_m)}",
                "stations run aft from the tip",
            )


def _joints(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    """Joints with nothing behind them: there are no two pieces to compute with."""
    for index, joint in enumerate(sheet.recovery.joint):
        if joint.station.value >= skin.length_m:
            yield (
                ("recovery", "joint", index, "station"),
                f"a joint at {shown(joint.station.value)}",
                f"one ahead of the base, {shown(skin.length_m)}",
                "stations run aft from the tip",
            )


def _buttons(sheet: Sheet, shown: Shown) -> Iterator[Misfit]:
    """Rail buttons that the rail cannot hold."""
    if not sheet.guide:
        return
    stations = sorted(button.value for button in sheet.guide.buttons)
    if stations[0] == stations[-1]:
        given = f"buttons at {shown(stations[0])} only"
        yield ("guide", "buttons"), given, "at least two buttons at different stations", ""
    needed = sheet.motor.nozzle_station.value - stations[0]
    if sheet.launch.rail_length.value <= needed:
        yield (
            ("launch", "rail_length"),
            f"a rail of {shown(sheet.launch.rail_length.value)}",
            f"one that reaches past the fore button, {shown(needed)} above the nozzle",
            "the rail's length in another unit",
        )


def _bores(
    files: LoadedSheet, skin: Skin, spans: Sequence[tuple[float, float]], shown: Shown
) -> Iterator[Misfit]:
    """Holes that lie beyond their part, as after two meshes are swapped, or are wider than the vehicle."""
    for number, (part, (fore, aft)) in enumerate(zip(files.sheet.part, spans, strict=True)):
        for index, bore in enumerate(part.bores):
            begins, ends = (station.value for station in bore.stations)
            if max(begins, fore) >= min(ends, aft):
                yield (
                    ("part", number, "bores", index, "stations"),
                    f"a hole from {shown(begins)} to {shown(ends)} in {part.name}",
                    f"one within that part, which stands from {shown(fore)} to {shown(aft)}",
                    "the meshes of two parts swapped, or a part drawn in another unit",
                )
            widest = max(side.value for side in bore.sides or filter(None, (bore.across,)))
            if widest > max(extents_m(skin)):
                yield (
                    ("part", number, "bores", index),
                    f"a hole {shown(widest)} wide in {part.name}",
                    f"one within the vehicle, {shown(max(extents_m(skin)))} at its widest",
                    "the hole in another unit",
                )


def _cuts(files: LoadedSheet, spans: Sequence[tuple[float, float]], shown: Shown) -> Iterator[Misfit]:
    """Seams that do not go through their part, or two in one place."""
    for number, (part, (fore, aft)) in enumerate(zip(files.sheet.part, spans, strict=True)):
        before = fore
        for index, cut in enumerate(part.cuts):
            at = cut.station.value
            if not fore < at < aft or not before < at:
                yield (
                    ("part", number, "cuts", index, "station"),
                    f"a seam at {shown(at)} in {part.name}",
                    f"seams from the tip aft, each within the part, from {shown(fore)} to {shown(aft)}",
                    "a seam of another part, or two in the wrong order",
                )
            before = at


def _made(files: LoadedSheet) -> Iterator[Misfit]:
    """Pieces of parts that are not there, and made pieces that say nothing."""
    sheet = files.sheet
    parts = [part.name for part in sheet.part]
    for index, made in enumerate(sheet.print.made if sheet.print else ()):
        if made.part not in parts:
            yield ("print", "made", index, "part"), f'"{made.part}"', f"one of {', '.join(parts)}", ""
        if made.weighed is None and (made.took is None or made.took.value == 0.0):
            yield (
                ("print", "made", index),
                "neither weighed nor took",
                "what the piece weighs, or how long it took",
                "",
            )


def _bays(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    """Bays wider than the vehicle is long, or too narrow for a fist of cloth."""
    for index, bay in enumerate(sheet.recovery.bay):
        if not _NARROWEST_BAY_M <= bay.diameter.value <= skin.length_m:
            yield (
                ("recovery", "bay", index, "diameter"),
                f"a bay {shown(bay.diameter.value)} across",
                f"one of {shown(_NARROWEST_BAY_M)} or more, at most its length, {shown(skin.length_m)}",
                "the diameter in another unit",
            )
