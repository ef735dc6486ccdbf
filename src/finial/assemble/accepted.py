"""Faults that only show once the sheet meets the tables and the shape."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from difflib import get_close_matches
from functools import partial
from typing import Any

from finial.assemble.strength_materials import sheet_material
from finial.assemble.strength_names import strength_names
from finial.atmosphere.wind import terrain_named
from finial.core.dimensions import Dimension
from finial.core.errors import BuildSheetError, Fault, MissingData
from finial.core.units import show
from finial.files.sheet import LoadedSheet, Sheet
from finial.files.sheet_recovery import Recovery
from finial.files.source import TomlSource, read_toml
from finial.materials.material import material
from finial.recovery.canopies import canopy_kind
from finial.recovery.cords import cord_named
from finial.recovery.pins import pins_hold
from finial.shape.measures import radius_at, section_at
from finial.shape.skin import Skin
from finial.structure.section import rod_circle
from finial.structure.threads import thread

Where = tuple[str | int, ...]
Named = tuple[Where, str, Callable[[str], Any]]
"""Where a name stands in the sheet, the name, and what looks it up in its table."""

Misfit = tuple[Where, str, str, str]
Shown = Callable[[float], str]

_TIP_M = 50e-6
_GAP_SHARE = 0.05
"""A gap between outside parts beyond this share of the length is a part that stands elsewhere [-]."""
_INNER_SLACK_M = 0.05
"""How far a part with ``outside = false``, such as a motor tube, may reach beyond the skin [m]."""
_SLACK_M = 0.02
"""How far a motor, a fin or a rail button may reach past the base [m]: nozzles and tips do."""


def unknown_names(files: LoadedSheet, also: Iterable[Named] = ()) -> list[Fault]:
    """Find the names that no table has; ``also`` holds those that only later stages know."""
    source = read_toml(files.path)
    return [
        fault
        for where, name, look_up in (*_names(files.sheet), *also)
        if (fault := _unknown(source, where, name, look_up)) is not None
    ]


def _names(sheet: Sheet) -> Iterator[Named]:
    """Every name in the sheet that some table must have, where it stands, and how to look it up."""
    for table in ("part", "rod", "fin"):
        for index, record in enumerate(getattr(sheet, table)):
            yield (table, index, "material"), record.material, partial(sheet_material, sheet)
    for index, rod in enumerate(sheet.rod):
        yield ("rod", index, "thread"), rod.thread, thread
    yield from strength_names(sheet)
    yield ("launch", "terrain"), sheet.launch.terrain, terrain_named
    yield from _recovery_names(sheet.recovery)


def _recovery_names(recovery: Recovery) -> Iterator[Named]:
    for index, canopy in enumerate(recovery.canopy):
        yield ("recovery", "canopy", index, "kind"), canopy.kind, canopy_kind
    for index, cord in enumerate(recovery.cord):
        if not (cord.breaking_load and cord.stretch_at_break):
            yield ("recovery", "cord", index, "material"), cord.material, cord_named
    for index, bay in enumerate(recovery.bay):
        if bay.material:
            yield ("recovery", "bay", index, "material"), bay.material, material
        if bay.lip and bay.lip.material:
            yield ("recovery", "bay", index, "lip", "material"), bay.lip.material, material
        if bay.lip and bay.lip.ring:
            yield ("recovery", "bay", index, "lip", "ring", "material"), bay.lip.ring.material, material
    for index, joint in enumerate(recovery.joint):
        if joint.pins:
            yield ("recovery", "joint", index, "pins", "screw"), joint.pins.screw, screw_named


def screw_named(name: str) -> None:
    """Look a shear pin's screw up.

    Raises
    ------
    MissingData
        If the table has no such screw.
    """
    pins_hold(name, 1)


def _unknown(source: TomlSource, where: Where, name: str, look_up: Callable[[str], Any]) -> Fault | None:
    try:
        look_up(name)
    except MissingData as error:
        close = get_close_matches(name.casefold(), [known.casefold() for known in error.known], n=1)
        meant = next((known for known in error.known if known.casefold() in close), None)
        slip = f'did you mean "{meant}"?' if meant else ""
        return source.fault(where, given=repr(name), accepted=str(error), likely_slip=slip)
    return None


def refuse_scattered(files: LoadedSheet, spans_m: Sequence[tuple[bool, tuple[float, float]]]) -> None:
    """Refuse parts that do not stand together: a tip that is none, gaps, inner parts that stick out.

    Parameters
    ----------
    files : LoadedSheet
        The sheet.
    spans_m : sequence
        For each part: does it belong to the outside, and the stations it reaches from and to [m].

    Raises
    ------
    BuildSheetError
        With all such parts.
    """
    source, us_units = read_toml(files.path), files.sheet.vehicle.us_units
    faults = [
        source.fault(("part", index), given=given, accepted=accepted, likely_slip=slip)
        for index, given, accepted, slip in _scattered(
            files.sheet, spans_m, lambda m: show(m, Dimension.LENGTH, us_units)
        )
    ]
    if faults:
        raise BuildSheetError(faults)


_ORIGINS = "another mesh_unit, or meshes that do not share one origin"


def _scattered(
    sheet: Sheet, spans_m: Sequence[tuple[bool, tuple[float, float]]], shown: Shown
) -> Iterator[tuple[int, str, str, str]]:
    outer = sorted((span, index) for index, (outside, span) in enumerate(spans_m) if outside)
    if not outer:
        yield 0, "no part with outside = true", "at least one part that the air sees", ""
        return
    (fore, reached), ahead = outer[0]
    if fore > _TIP_M:
        given = f"a first part that begins at station {shown(fore)}"
        yield ahead, given, "a tip at station 0", "tip_station counts from the tip of the whole vehicle"
    length = max(aft for (_, aft), _ in outer)
    for (fore, aft), index in outer[1:]:
        if fore - reached > _GAP_SHARE * length:
            given = f"a gap of {shown(fore - reached)} between {sheet.part[ahead].name} and this part"
            yield index, given, "outside parts that touch, tip to base", _ORIGINS
        if aft >= reached:
            reached, ahead = aft, index
    for index, (outside, (fore, aft)) in enumerate(spans_m):
        beyond = max(-fore, aft - length)
        if not outside and beyond > _INNER_SLACK_M:
            given = (
                f"{sheet.part[index].name} has outside = false, and sticks {shown(beyond)} out of the skin"
            )
            yield index, given, f"an inner part between 0 and {shown(length)}", _ORIGINS


def refuse_misfits(files: LoadedSheet, skin: Skin) -> None:
    """Refuse hardware that does not fit the shape, all at once.

    Raises
    ------
    BuildSheetError
        Fins or motor beyond the base, rods or items outside the body, buttons off it.
    """
    source = read_toml(files.path)
    us_units = files.sheet.vehicle.us_units
    faults = [
        source.fault(where, given=given, accepted=accepted, likely_slip=slip)
        for where, given, accepted, slip in _misfits(
            files, skin, lambda m: show(m, Dimension.LENGTH, us_units)
        )
    ]
    if faults:
        raise BuildSheetError(faults)


def _misfits(files: LoadedSheet, skin: Skin, shown: Shown) -> Iterable[Misfit]:
    sheet = files.sheet
    yield from _fins(sheet, skin, shown)
    yield from _rods(sheet, skin, shown)
    yield from _motor(files, skin, shown)
    yield from _stations(sheet, skin, shown)


def _fins(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    for index, fin in enumerate(sheet.fin):
        on_root = [along.value for along, outward in fin.outline if outward.value <= 1e-9]
        root_end = fin.station.value + max(on_root, default=0.0)
        if root_end > skin.length_m + _SLACK_M:
            yield (
                ("fin", index, "station"),
                f"a root that ends at {shown(root_end)}",
                f"an end at the base at most, {shown(skin.length_m)}",
                "the station is where the root begins, measured aft from the tip",
            )
        elif max(outward.value for _, outward in fin.outline) <= 1e-6:
            yield ("fin", index, "outline"), "an outline without span", "points outward of the root", ""


def _rods(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    for index, rod in enumerate(sheet.rod):
        fore, aft = (station.value for station in rod.stations)
        if aft > skin.length_m + _SLACK_M or fore >= aft:
            yield (
                ("rod", index, "stations"),
                f"{shown(fore)} to {shown(aft)}",
                f"two stations between 0 and the base, {shown(skin.length_m)}, the forward one first",
                "stations run aft from the tip",
            )
            continue
        places = rod_circle(rod.count, rod.on_circle.value, rod.first_at.value)
        for station in (fore, (fore + aft) / 2, aft):
            room = _room(skin, station, places)
            if room < 0:
                yield (
                    ("rod", index, "on_circle"),
                    f"a circle of {shown(rod.on_circle.value)} at station {shown(station)}",
                    f"rods inside the skin, whose wall they pass by {shown(-room)} there",
                    "on_circle is a diameter",
                )
                break


def _room(skin: Skin, station_m: float, places: Any) -> float:
    """Smallest distance between rods and skin along each rod's own ray [m]; negative outside."""
    section = section_at(skin, min(station_m, skin.length_m))
    return min(radius_at(section, math.atan2(z, y)) - math.hypot(y, z) for y, z in places)


def _motor(files: LoadedSheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    nozzle, length = files.sheet.motor.nozzle_station.value, files.motor.length.value
    if length > nozzle:
        yield (
            ("motor", "data"),
            f"a motor {shown(length)} long with its nozzle at {shown(nozzle)}",
            f"a motor shorter than the {shown(nozzle)} of body ahead of its nozzle",
            "nozzle_station runs aft from the tip; or the motor's length is in another unit",
        )
    if nozzle > skin.length_m + length / 2:
        yield (
            ("motor", "nozzle_station"),
            shown(nozzle),
            f"a nozzle near the base, {shown(skin.length_m)}",
            "stations run aft from the tip",
        )
    widest = min(skin.width_m, 2 * radius_at(section_at(skin, min(nozzle, skin.length_m)), 0.0))
    if files.motor.diameter.value > widest:
        yield (
            ("motor", "data"),
            f"a motor {shown(files.motor.diameter.value)} across",
            f"one that fits the body, {shown(widest)} across there",
            "diameter in another unit",
        )


def _stations(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    """Stations of small things that lie beyond the base."""
    places: list[tuple[Where, float]] = [
        (("item", index, "station"), item.station.value) for index, item in enumerate(sheet.item)
    ]
    places += [
        (("recovery", "canopy", index, "station"), canopy.station.value)
        for index, canopy in enumerate(sheet.recovery.canopy)
    ]
    places += [
        (("recovery", "joint", index, "station"), joint.station.value)
        for index, joint in enumerate(sheet.recovery.joint)
    ]
    if sheet.guide:
        places += [(("guide", "buttons"), button.value) for button in sheet.guide.buttons]
    for where, station in places:
        if station > skin.length_m + _SLACK_M:
            yield (
                where,
                f"station {shown(station)}",
                f"a station between 0 and the base, {shown(skin.length_m)}",
                "stations run aft from the tip",
            )
