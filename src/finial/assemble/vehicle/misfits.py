"""Hardware that does not fit the shape."""

from collections.abc import Callable, Iterable, Iterator
from typing import cast

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.rods import rod_count, rod_places
from finial.core.dimensions import Dimension
from finial.core.errors import BuildSheetError, MeshError
from finial.core.units import show
from finial.files.fields import across_m
from finial.files.sheet import LoadedSheet, Sheet
from finial.files.sheet_body import FinEntry
from finial.shape.measures import extents_m, radius_at, section_at
from finial.shape.skin import Skin

Where = tuple[str | int, ...]
Misfit = tuple[Where, str, str, str]
"""Where in the sheet, what was given, what is accepted, the likely slip."""
Shown = Callable[[float], str]

_SLACK_M = 0.02
"""How far a motor, a fin or a rail button may reach past the base [m]: nozzles and tips do."""
_LEAST_AREA_M2 = 1e-6
_SHORTEST_ROOT_M = 1e-3
_LARGEST_FIN_LENGTHS = 2.0
_NARROWEST_BAY_M = 0.01


def refuse_misfits(files: LoadedSheet, skin: Skin) -> None:
    """Refuse hardware that does not fit the shape, all at once.

    Raises
    ------
    BuildSheetError
        Fins or motor beyond the base, rods or items outside the body, buttons off it.
    """
    source = files.source
    us_units = files.sheet.vehicle.us_units
    faults = [
        source.fault(where, given=given, accepted=accepted, likely_slip=slip)
        for where, given, accepted, slip in _misfits(
            files, skin, lambda m: show(m, Dimension.LENGTH, us_units)
        )
        if where[0] not in files.missing
    ]
    if faults:
        raise BuildSheetError(faults)


def _misfits(files: LoadedSheet, skin: Skin, shown: Shown) -> Iterable[Misfit]:
    sheet = files.sheet
    yield from _fins(sheet, skin, shown)
    yield from _rods(sheet, skin, shown)
    yield from _motor(files, skin, shown)
    yield from _stations(sheet, skin, shown)
    yield from _buttons(sheet, shown)
    yield from _bays(sheet, skin, shown)


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
        elif _reach(fin) > _LARGEST_FIN_LENGTHS * skin.length_m:
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
        elif fin.root is not None and fin.root.value > _farthest(fin, skin) + _SLACK_M:
            yield (
                ("fin", index, "root"),
                f"a root {shown(fin.root.value)} from the axis",
                f"at most where the skin is, {shown(_farthest(fin, skin))} from the axis there",
                "root is a distance from the axis, not a diameter",
            )
        elif fin.root is None and not _axis_inside(fin, skin):
            yield (
                ("fin", index, "root"),
                f"no root, and at roll {fin.first_at.text} the axis is outside the shape there",
                "root = the distance of the fin's root from the axis",
                "two towers side by side, or an axis that misses the shape",
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


def _farthest(fin: FinEntry, skin: Skin) -> float:
    """Largest distance of the skin from the axis along the root, at the rolls of the fins [m]."""
    along = [along.value for along, outward in fin.outline if outward.value <= 1e-9]
    stations = fin.station.value + np.linspace(min(along), max(along), 5)
    rolls = fin.first_at.value + 2 * np.pi * np.arange(fin.count) / fin.count
    line = across_m(fin.offset)
    found = [
        _radius(skin, min(s, skin.length_m), float(roll), line) or 0.0 for s in stations for roll in rolls
    ]
    return max(found)


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
        if aft > skin.length_m + _SLACK_M or fore >= aft:
            yield (
                ("rod", index, "stations"),
                f"{shown(fore)} to {shown(aft)}",
                f"two stations between 0 and the base, {shown(skin.length_m)}, the forward one first",
                "stations run aft from the tip",
            )
            continue
        if rod.on_circle is not None and rod.on_circle.value <= 0.0 and rod_count(rod) > 1:
            yield (
                ("rod", index, "on_circle"),
                f"a circle of {shown(0.0)}",
                "a circle above zero for more than one rod",
                "",
            )
            continue
        places, field = rod_places(rod), "places" if rod.places else "on_circle"
        for station in (fore, (fore + aft) / 2, aft):
            room = _room(skin, station, places)
            if room < 0:
                yield (
                    ("rod", index, field),
                    f"a rod {shown(float(np.linalg.norm(places, axis=1).max()))} from the axis"
                    f" at station {shown(station)}",
                    f"rods inside the skin, whose wall they pass by {shown(-room)} there",
                    "on_circle is a diameter" if rod.on_circle else "",
                )
                break


def _room(skin: Skin, station_m: float, places: NDArray[np.float64]) -> float:
    """Smallest distance between the middles of rods and the skin [m]; negative outside."""
    import shapely

    loops = section_at(skin, min(station_m, skin.length_m)).loops
    solid = shapely.union_all([shapely.Polygon(loop) for loop in loops])
    points = shapely.points(places)
    rim = shapely.boundary(solid)
    # The types of shapely's functions leave their keywords and what comes back open.
    away = cast("NDArray[np.float64]", shapely.distance(rim, points))  # pyright: ignore[reportUnknownMemberType]
    return float(np.where(shapely.intersects(solid, points), away, -away).min())


def _motor(files: LoadedSheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    nozzle, length = files.sheet.motor.nozzle_station.value, files.motor.length.value
    if length > nozzle:
        yield (
            ("motor", "data" if nozzle > skin.length_m / 2 else "nozzle_station"),
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
    radius = _radius(skin, min(nozzle, skin.length_m), 0.0)
    widest = skin.width_m if radius is None else min(skin.width_m, 2 * radius)
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
    places += [
        (("recovery", "bay", index, "stations"), bay.stations[1].value)
        for index, bay in enumerate(sheet.recovery.bay)
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


def _bays(sheet: Sheet, skin: Skin, shown: Shown) -> Iterator[Misfit]:
    """Bays wider than the whole vehicle, or too narrow for a fist of cloth."""
    widest = max(extents_m(skin))
    for index, bay in enumerate(sheet.recovery.bay):
        if not _NARROWEST_BAY_M <= bay.diameter.value <= widest:
            yield (
                ("recovery", "bay", index, "diameter"),
                f"a bay {shown(bay.diameter.value)} across",
                f"one of {shown(_NARROWEST_BAY_M)} or more, inside the skin, {shown(widest)} at its widest",
                "the diameter in another unit",
            )
