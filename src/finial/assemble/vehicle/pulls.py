"""Everything of a sheet that sizing may pull at: from what it is to the most that is tried.

Each is a lever with its two ends, so that advice and mending try the same things in the same steps.
"""

import math
from collections.abc import Iterator

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.hardware_pulls import hardware_pulls
from finial.assemble.vehicle.levers import (
    ballast,
    canopy,
    degrees,
    grams,
    metres,
    metres_a_second,
    newtons,
    rail,
    span,
    swept_span,
    with_tolerance,
)
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.move_pulls import move_pulls
from finial.assemble.vehicle.tweak import (
    CHARGE_STEP,
    MOST_TIMES,
    PRELOAD_STEP_N,
    WALL_STEP,
    Tweak,
    TweakKind,
    tweak,
)
from finial.core.constants import ZERO_CELSIUS_K
from finial.core.dimensions import Dimension
from finial.core.units import Quantity
from finial.files.edit import Value
from finial.files.sheet import Sheet
from finial.files.toml_places import KeyPath
from finial.mass.printed import printed_part
from finial.mass.thin_walls import wall_share
from finial.materials.material import material
from finial.printing.walls import PrintedWalls
from finial.recovery.cords.kinds import cord_named
from finial.structure.rods.threads import stress_area, thread

MOST_BALLAST_KG, LONGEST_RAIL_M, WIDEST_SPAN, WIDEST_CANOPY = 5.0, 12.0, 2.0, 2.0
FARTHEST_WIDTHS = 1.5
"""How far fins may reach out where that is more, in widths of the vehicle [-]; chosen."""
MOST_PINS = 8
STIFFER_PLATES = "G10", "carbon plate"
"""Plates that fins are cut from, the usual one first; common practice."""
TIGHTEST = 0.5
"""How far a rod may be tightened, as a share of what it yields at [-]; common practice for a reused rod."""
USUAL_PIN = "2-56 nylon"
FARTHEST_PORTS = 0.85
"""How far aft static ports are tried, as a share of the length [-]: behind lie motor and base; chosen."""
FARTHEST_PEOPLE_M = 1000.0
"""How far back people are tried [m]; chosen."""
SEAM_M = 5e-3
"""How near a recovery joint a seam is that joint's own [m]; common practice."""
THICKEST_WALL_M = 0.02
WARM_DAY_K = ZERO_CELSIUS_K + 20.0
"""How warm a day is waited for in the cold [K]; chosen."""


def pulls_of(vehicle: LoadedVehicle) -> tuple[Tweak, ...]:
    """Every pull that a vehicle's sheet has, in the order in which a builder would try them."""
    sheet = vehicle.sheet
    found = [
        *_ballast(sheet),
        *_fins(sheet, vehicle.skin.width_m),
        *_walls(vehicle),
        *_rods(sheet),
        *_pins(sheet),
        *_charges(sheet),
        *_canopies(sheet),
        *_cords(sheet),
        *_launch(vehicle),
        *_glued(vehicle),
        *_ports(vehicle),
        *_painted(sheet),
        *hardware_pulls(sheet),
        *move_pulls(vehicle),
        *_day(sheet),
    ]
    return tuple(one for one in found if not math.isclose(one.now, one.most))


def ballast_items(sheet: Sheet) -> tuple[str, ...]:
    """Names of the items that may be made heavier: those the sheet marks, else the foremost."""
    forward = sorted(sheet.item, key=lambda item: item.station.value)
    marked = [item.name for item in forward if item.ballast]
    return tuple(marked or [item.name for item in forward[:1]])


def _ballast(sheet: Sheet) -> Iterator[Tweak]:
    masses = {item.name: item.mass.value for item in sheet.item}
    for name in ballast_items(sheet):
        ends = masses[name], max(MOST_BALLAST_KG, masses[name]), 0.005

        def heavier(mass_kg: float, item: str = name) -> Changes:
            return ballast(sheet, item, mass_kg)

        yield tweak(TweakKind.BALLAST, name, ends, Dimension.MASS, heavier)
        ends = masses[name], 0.0, 0.005
        yield tweak(TweakKind.LESS_BALLAST, name, ends, Dimension.MASS, heavier)


def _fins(sheet: Sheet, width_m: float) -> Iterator[Tweak]:
    for index, fin in enumerate(sheet.fin):
        reach = max(outward.value for _, outward in fin.outline)
        widest = max(WIDEST_SPAN, FARTHEST_WIDTHS * width_m / reach)

        def longer(scale: float, name: str = fin.name) -> Changes:
            return span(sheet, name, scale)

        def thicker(thickness_m: float, at: int = index) -> Changes:
            return {("fin", at, "thickness"): metres(thickness_m)}

        def swept(scale: float, name: str = fin.name) -> Changes:
            return swept_span(sheet, name, scale)

        yield tweak(TweakKind.SPAN, fin.name, (1.0, widest, 0.01), Dimension.RATIO, longer)
        yield tweak(TweakKind.SWEPT, fin.name, (1.0, widest, 0.01), Dimension.RATIO, swept)
        ends = fin.thickness.value, MOST_TIMES * fin.thickness.value, 0.0001
        yield tweak(TweakKind.THICKNESS, fin.name, ends, Dimension.LENGTH, thicker)
        yield from _plates(sheet, index)
        yield from _straight(sheet, index)


def _straight(sheet: Sheet, index: int) -> Iterator[Tweak]:
    fin = sheet.fin[index]

    def canted(cant_rad: float) -> Changes:
        return {("fin", index, "cant"): with_tolerance(degrees, cant_rad, fin.cant.tolerance)}

    ends = fin.cant.value, 0.0, math.radians(0.1)
    yield tweak(TweakKind.CANT, fin.name, ends, Dimension.ANGLE, canted)


def _plates(sheet: Sheet, index: int) -> Iterator[Tweak]:
    """One pull for each plate that is stiffer than what a fin is cut from."""
    fin = sheet.fin[index]
    now = sheet_material(sheet, fin.material)
    for plate in STIFFER_PLATES:
        if material(plate).modulus_pa.low <= now.modulus_pa.high:
            continue

        def cut_from(done: float, of: str = plate) -> Changes:
            return {("fin", index, "material"): of if done else fin.material}

        yield Tweak(
            kind=TweakKind.PLATE,
            name=fin.name,
            now=0.0,
            most=1.0,
            step=1.0,
            dimension=Dimension.RATIO,
            changes=cut_from,
            to=plate,
        )


def _walls(vehicle: LoadedVehicle) -> Iterator[Tweak]:
    printed = [part for part in vehicle.parts if part.spec.print]
    thickest = max((part.spec.print.wall.value for part in printed if part.spec.print), default=0.0)
    if not thickest:
        return

    def thicker(scale: float) -> Changes:
        changes: dict[KeyPath, Value] = {}
        for index, part in enumerate(vehicle.parts):
            changes |= _wall(vehicle.sheet, index, part, scale)
        return changes

    most = min(MOST_TIMES, THICKEST_WALL_M / thickest)
    yield tweak(TweakKind.WALLS, "", (1.0, most, WALL_STEP), Dimension.RATIO, thicker)
    yield from _walls_of_pieces(vehicle)


def _walls_of_pieces(vehicle: LoadedVehicle) -> Iterator[Tweak]:
    """One pull for each piece that a joint parts: what one needs, the others need not carry."""
    joints = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    pieces: dict[int, dict[int, PlacedPart]] = {}
    for index, part in enumerate(vehicle.parts):
        if part.spec.print is not None:
            ahead = sum(joint < part.span_m[0] + SEAM_M for joint in joints)
            pieces.setdefault(ahead, {})[index] = part
    for piece in pieces.values() if len(pieces) > 1 else ():

        def thicker(scale: float, of: dict[int, PlacedPart] = piece) -> Changes:
            changes: dict[KeyPath, Value] = {}
            for index, part in of.items():
                changes |= _wall(vehicle.sheet, index, part, scale)
            return changes

        thickest = max(part.spec.print.wall.value for part in piece.values() if part.spec.print)
        ends = 1.0, min(MOST_TIMES, THICKEST_WALL_M / thickest), WALL_STEP
        names = ", ".join(part.spec.name for part in piece.values())
        yield tweak(TweakKind.WALLS, names, ends, Dimension.RATIO, thicker)


def _wall(sheet: Sheet, index: int, part: PlacedPart, scale: float) -> dict[KeyPath, Value]:
    """Wall of one part; one that was weighed grows by what its walls add."""
    printed = part.spec.print
    if printed is None:
        return {}
    changes: dict[KeyPath, Value] = {("part", index, "print", "wall"): metres(printed.wall.value * scale)}
    if part.spec.weighed:
        density = sheet_material(sheet, part.spec.material).density_kg_m3
        before, after = (
            printed_part(
                part.solid,
                density,
                PrintedWalls(wall_m=printed.wall.value * times, infill=printed.infill.value),
                wall_share(part.mended, printed.wall.value * times),
            ).mass.value
            for times in (1.0, scale)
        )
        changes[("part", index, "weighed")] = grams(part.spec.weighed.value * after / before)
    return changes


def _rods(sheet: Sheet) -> Iterator[Tweak]:
    for index, rod in enumerate(sheet.rod):
        if not rod.preload:
            continue
        name, now = rod.name or rod.thread, rod.preload.value
        share = rod.preload.tolerance / now if now else 0.0

        def tightened(force_n: float, at: int = index, off: float = share) -> Changes:
            return {("rod", at, "preload"): with_tolerance(newtons, force_n, off * force_n)}

        metal = sheet_material(sheet, rod.material)
        tightest = TIGHTEST * metal.yield_pa.low * stress_area(thread(rod.thread))
        for kind, end in (
            (TweakKind.PRELOAD, max(now, tightest)),
            (TweakKind.LESS_PRELOAD, now / MOST_TIMES),
        ):
            yield tweak(kind, name, (now, end, PRELOAD_STEP_N), Dimension.FORCE, tightened)


def _pins(sheet: Sheet) -> Iterator[Tweak]:
    used = next((joint.pins.screw for joint in sheet.recovery.joint if joint.pins), USUAL_PIN)
    for index, joint in enumerate(sheet.recovery.joint):
        there = joint.pins

        def pinned(count: float, at: int = index, screw: str = there.screw if there else used) -> Changes:
            return {("recovery", "joint", at, "pins"): {"screw": screw, "count": round(count)}}

        ends = float(there.count if there else 0), float(MOST_PINS), 1.0
        if ends[0] < ends[1]:
            yield tweak(TweakKind.PINS, joint.name, ends, Dimension.RATIO, pinned)


def _charges(sheet: Sheet) -> Iterator[Tweak]:
    for bay in sheet.recovery.bay:
        loaded = [
            (index, charge.powder)
            for index, charge in enumerate(sheet.recovery.charge)
            if charge.bay == bay.name and charge.powder
        ]
        if not loaded:
            continue

        def larger(scale: float, powders: list[tuple[int, Quantity]] = loaded) -> Changes:
            return {
                ("recovery", "charge", at, "powder"): with_tolerance(
                    _fine_grams, powder.value * scale, powder.tolerance
                )
                for at, powder in powders
            }

        yield tweak(TweakKind.CHARGE, bay.name, (1.0, MOST_TIMES, CHARGE_STEP), Dimension.RATIO, larger)
        yield tweak(TweakKind.LESS_CHARGE, bay.name, (1.0, 0.3, CHARGE_STEP), Dimension.RATIO, larger)


def _fine_grams(mass_kg: float) -> str:
    """Write a charge's mass to a hundredth of a gram."""
    return f"{1e3 * mass_kg:.2f} g"


def _canopies(sheet: Sheet) -> Iterator[Tweak]:
    for one in sheet.recovery.canopy:

        def sized(diameter_m: float, name: str = one.name) -> Changes:
            return canopy(sheet, name, diameter_m)

        now = one.diameter.value
        yield tweak(TweakKind.CANOPY, one.name, (now, WIDEST_CANOPY * now, 0.01), Dimension.LENGTH, sized)
        smaller = now, now / WIDEST_CANOPY, 0.01
        yield tweak(TweakKind.SMALLER_CANOPY, one.name, smaller, Dimension.LENGTH, sized)


def _cords(sheet: Sheet) -> Iterator[Tweak]:
    for index, cord in enumerate(sheet.recovery.cord):
        own = cord.breaking_load
        holds = own.value if own else cord_named(cord.material).breaking_load_n.value

        def stronger(load_n: float, at: int = index) -> Changes:
            return {("recovery", "cord", at, "breaking_load"): newtons(load_n)}

        def longer(length_m: float, at: int = index) -> Changes:
            return {("recovery", "cord", at, "length"): metres(length_m)}

        ends = holds, MOST_TIMES * holds, 50.0
        yield tweak(TweakKind.CORD, cord.name, ends, Dimension.FORCE, stronger)
        length = cord.length.value
        ends = length, MOST_TIMES * length, 0.05
        yield tweak(TweakKind.LONGER_CORD, cord.name, ends, Dimension.LENGTH, longer)


def _launch(vehicle: LoadedVehicle) -> Iterator[Tweak]:
    sheet, length = vehicle.sheet, vehicle.skin.length_m
    now = sheet.launch.rail_length.value

    def raised(length_m: float) -> Changes:
        return rail(sheet, "", length_m)

    yield tweak(TweakKind.RAIL, "", (now, max(LONGEST_RAIL_M, now), 0.05), Dimension.LENGTH, raised)
    if sheet.guide is None or len(sheet.guide.buttons) < 2:
        return
    stations = [button.value for button in sheet.guide.buttons]
    last = stations.index(max(stations))

    def farther_aft(station_m: float) -> Changes:
        moved = [button.text for button in sheet.guide.buttons] if sheet.guide else []
        moved[last] = metres(station_m)
        return {("guide", "buttons"): list[object](moved)}

    aft = max(length - 0.02, stations[last])
    yield tweak(TweakKind.GUIDES, "", (stations[last], aft, 0.001), Dimension.LENGTH, farther_aft)


def _day(sheet: Sheet) -> Iterator[Tweak]:
    """Pull at the day and the field: a calmer hour, a rail nearer upright, people farther away."""
    launch = sheet.launch

    def calmer(wind_m_s: float) -> Changes:
        blown = with_tolerance(metres_a_second, wind_m_s, min(launch.wind.tolerance, wind_m_s))
        return {("launch", "wind"): blown}

    def upright(tilt_rad: float) -> Changes:
        return {("launch", "tilt"): with_tolerance(degrees, tilt_rad, launch.tilt.tolerance)}

    def farther(distance_m: float) -> Changes:
        return {("launch", "crowd_distance"): metres(distance_m)}

    yield tweak(TweakKind.CALMER, "", (launch.wind.value, 0.0, 0.1), Dimension.SPEED, calmer)
    ends = launch.tilt.value, 0.0, math.radians(0.5)
    yield tweak(TweakKind.UPRIGHT, "", ends, Dimension.ANGLE, upright)
    if launch.crowd_distance:
        ends = launch.crowd_distance.value, max(FARTHEST_PEOPLE_M, launch.crowd_distance.value), 5.0
        yield tweak(TweakKind.PEOPLE, "", ends, Dimension.LENGTH, farther)
    yield from _warmer(sheet)


def _warmer(sheet: Sheet) -> Iterator[Tweak]:
    air = sheet.launch.temperature

    def warmer(air_k: float) -> Changes:
        tolerance = f" +- {air.tolerance:.1f} K" if air.tolerance else ""
        return {("launch", "temperature"): f"{air_k - ZERO_CELSIUS_K:.1f} degC{tolerance}"}

    ends = air.value, max(WARM_DAY_K, air.value), 0.5
    yield tweak(TweakKind.WARMER, "", ends, Dimension.TEMPERATURE, warmer)


def _glued(vehicle: LoadedVehicle) -> Iterator[Tweak]:
    """One pull for each seam that neither glue holds nor a joint of the recovery parts."""
    joints = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    last_m = max((part.span_m[1] for part in vehicle.parts), default=0.0)
    for index, part in enumerate(vehicle.parts):
        aft_m = part.span_m[1]
        parts_there = any(part.span_m[0] + SEAM_M < joint < aft_m + SEAM_M for joint in joints)
        if part.spec.glued or not part.spec.outside or parts_there or aft_m > last_m - SEAM_M:
            continue

        def glued(done: float, at: int = index) -> Changes:
            return {("part", at, "glued"): bool(done)}

        ends = 0.0, 1.0, 1.0
        yield tweak(TweakKind.GLUE, part.spec.name, ends, Dimension.RATIO, glued)


def _painted(sheet: Sheet) -> Iterator[Tweak]:
    def painted(_one: float) -> Changes:
        return {("vehicle", "colour"): "white"}

    if sheet.vehicle.colour != "white":
        yield tweak(TweakKind.WHITE, "", (0.0, 1.0, 1.0), Dimension.RATIO, painted)


def _ports(vehicle: LoadedVehicle) -> Iterator[Tweak]:
    farthest_m = FARTHEST_PORTS * vehicle.skin.length_m
    for index, port in enumerate(vehicle.sheet.electronics.port):

        def farther_aft(station_m: float, at: int = index) -> Changes:
            return {("electronics", "port", at, "station"): metres(station_m)}

        ends = port.station.value, max(farthest_m, port.station.value), 0.005
        yield tweak(TweakKind.PORTS, port.name, ends, Dimension.LENGTH, farther_aft)
